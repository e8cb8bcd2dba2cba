// Package notebook loads a recipe and every notebook that it links, each file
// once, and nothing outside the studio. It knows files, links and headings;
// what the tables say is read later.
package notebook

import (
	"path"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// StudioFile is the notebook that makes a folder a studio.
const StudioFile = "studio.md"

// Notebook is one file and the notebooks that it links.
type Notebook struct {
	File     *source.File
	Doc      *section.Document
	IsRecipe bool
	// Name is the first word of its formulas' names in other notebooks.
	Name string
	// Direct are the notebooks that its data sections link, each once, in the
	// order of the links.
	Direct []*Notebook

	linked map[int]*Notebook // by the start of the link
	broken map[int]bool      // links that could not be followed, by their start
}

// Set is a recipe with all notebooks that it reaches.
type Set struct {
	Recipe *Notebook
	// Studio is the studio's own notebook, where the recipe states no machine
	// and takes the studio's; otherwise nil.
	Studio *Notebook
	// Notebooks are all of them in the order in which they were first linked,
	// the recipe first.
	Notebooks []*Notebook
	// BottomUp are the same, each after all that it links, the recipe last.
	BottomUp []*Notebook
}

// ByLink is the notebook to which a link leads, nil where there is none.
func (nb *Notebook) ByLink(link section.Link) *Notebook { return nb.linked[link.Place.Start] }

// Broken says whether a link could not be followed, which was reported.
func (nb *Notebook) Broken(link section.Link) bool { return nb.broken[link.Place.Start] }

// AnyBroken says whether any link could not be followed.
func (nb *Notebook) AnyBroken() bool { return len(nb.broken) > 0 }

// Has says whether the notebook has a section of that word.
func (nb *Notebook) Has(word string) bool {
	for _, s := range nb.Doc.Sections {
		if s.Word == word {
			return true
		}
	}
	return false
}

// nameOf is the name that all named sections of a notebook share, else its
// title, else its file's name.
func nameOf(doc *section.Document) string {
	shared := ""
	for _, s := range doc.Sections {
		if !schema.Find(s.Word).Named || s.Name.Empty() {
			continue
		}
		switch name := formula.Fold(s.Name.String); {
		case shared == "":
			shared = name
		case shared != name:
			shared = "-"
		}
	}
	if shared != "" && shared != "-" {
		return shared
	}
	if title := formula.Fold(doc.Title.String); title != "" {
		return title
	}
	return formula.Fold(strings.TrimSuffix(path.Base(doc.File.Name), path.Ext(doc.File.Name)))
}
