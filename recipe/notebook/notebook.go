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
	// Name is the prefix of its formulas' names in other notebooks: the
	// fine_sable of fine_sable.taper.
	Name string
	// LinksTo lists the notebooks that its data sections link, each once, in
	// the order of the links.
	LinksTo []*Notebook

	linked map[int]*Notebook // by the start of the link
	broken map[int]bool      // by the start of the link: it could not be followed
	sheets map[int]*Sheet    // by the start of the link
}

// Set is a recipe with all notebooks that it links, directly or through others.
type Set struct {
	Recipe *Notebook
	// Studio is the studio's own notebook if the recipe states no machine and
	// uses the studio's; otherwise nil.
	Studio *Notebook
	// Notebooks lists all of them in the order in which they were first linked,
	// the recipe first.
	Notebooks []*Notebook
	// Sheets are the files of the swatch recipes that Swatch sections link, and of
	// their readings, in the order in which they were first linked.
	Sheets []*source.File
	// BottomUp lists the same, each after all that it links, the recipe last.
	BottomUp []*Notebook
}

// ByLink is the notebook to which a link leads, or nil.
func (nb *Notebook) ByLink(link section.Link) *Notebook { return nb.linked[link.Place.Start] }

// Broken reports whether a link could not be followed. The user already has a
// message about it.
func (nb *Notebook) Broken(link section.Link) bool { return nb.broken[link.Place.Start] }

// AnyBroken reports whether any link could not be followed.
func (nb *Notebook) AnyBroken() bool { return len(nb.broken) > 0 }

// Has reports whether the notebook has a section with this word.
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
	shared, several := "", false
	for _, s := range doc.Sections {
		if !schema.Find(s.Word).Named || s.Name.Empty() {
			continue
		}
		switch name := formula.Fold(s.Name.String); {
		case shared == "":
			shared = name
		case shared != name:
			several = true
		}
	}
	if shared != "" && !several {
		return shared
	}
	if title := formula.Fold(doc.Title.String); title != "" {
		return title
	}
	return formula.Fold(strings.TrimSuffix(path.Base(doc.File.Name), path.Ext(doc.File.Name)))
}
