package notebook

import (
	"cmp"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Limits on what one recipe may load, far above any real studio: they keep the
// work of a hostile one finite.
const (
	maxNotebooks  = 64
	maxReadings   = 256
	maxTotalBytes = 16 << 20
)

// Load reads the recipe at a path below the studio's root, and all notebooks
// that it links. The set is nil if the recipe itself cannot be read.
func Load(root fs.FS, name string) (*Set, problem.List) {
	l := &loader{root: root, recipe: name, set: &Set{}, seen: map[string]*Notebook{}, sheets: map[string]*Sheet{}, csv: map[string]*source.File{}}
	at := source.New(name, nil).Place(0, 0) // for problems found before the file is read
	if !fs.ValidPath(name) {
		l.problems.Errorf(problem.MissingFile, at, problem.Advise("write the path of a recipe in the studio"), "%q is not the path of a file in the studio", name)
		return nil, l.problems
	}
	if list := checkRecipe(root, name, at); len(list) > 0 {
		return nil, list
	}
	if l.set.Recipe = l.load(name, at); l.set.Recipe == nil {
		return nil, l.problems
	}
	return l.set, l.problems
}

// loader is the state of Load.
type loader struct {
	root     fs.FS
	recipe   string // name of its file
	set      *Set
	problems problem.List
	seen     map[string]*Notebook    // nil for one that could not be read
	sheets   map[string]*Sheet       // nil for one that is no swatch recipe
	csv      map[string]*source.File // files of readings, nil for one that could not be read
	open     []*Notebook             // the notebooks being loaded, each linked by the one before
	bytes    int
}

// load reads a notebook and all that it links; nil if it cannot be read.
func (l *loader) load(name string, at source.Place) *Notebook {
	if nb, ok := l.seen[name]; ok {
		if i := slices.Index(l.open, nb); i >= 0 && nb != nil {
			l.linkLoop(l.open[i:], at)
			return nil
		}
		return nb
	}
	l.seen[name] = nil
	if len(l.set.Notebooks) >= maxNotebooks || l.bytes > maxTotalBytes {
		l.problems.Errorf(problem.TooManyNotebooks, at, problem.Advise("link fewer notebooks"), "one job reads at most %d notebooks and %d MB", maxNotebooks, maxTotalBytes>>20)
		return nil
	}
	file := l.read(name, at)
	if file == nil {
		return nil
	}
	doc, list := section.Read(file, schema.Words())
	l.problems = append(l.problems, list...)
	nb := &Notebook{File: file, Doc: doc, IsRecipe: len(l.set.Notebooks) == 0, Name: nameOf(doc), linked: map[int]*Notebook{}, broken: map[int]bool{}, sheets: map[int]*Sheet{}}
	l.seen[name] = nb
	l.set.Notebooks = append(l.set.Notebooks, nb)
	l.open = append(l.open, nb)
	for _, link := range links(doc) {
		l.follow(nb, link)
	}
	l.open = l.open[:len(l.open)-1]
	if nb.IsRecipe && !nb.Has(schema.Machine) && name != StudioFile {
		if _, err := fs.Stat(l.root, StudioFile); err == nil {
			l.set.Studio = l.load(StudioFile, file.Place(0, 0))
		}
	}
	l.set.BottomUp = append(l.set.BottomUp, nb)
	return nb
}

// read reads a file; nil where it cannot be read.
func (l *loader) read(name string, at source.Place) *source.File {
	data, err := ReadFile(l.root, name, section.MaxBytes)
	var large *TooLargeError
	switch {
	case errors.As(err, &large):
		l.problems.Errorf(problem.TooLarge, at, problem.Advise("keep a notebook below 4 MB; store pictures in files of their own"), "%s has %d bytes, more than %d", name, large.Size, section.MaxBytes)
		return nil
	case errors.Is(err, ErrNotAFile):
		l.problems.Errorf(problem.NotAFile, at, problem.Advise("link to a notebook"), "%s is not a file", name)
		return nil
	case errors.Is(err, ErrChanged):
		l.problems.Errorf(problem.ChangedWhileRead, at, problem.Advise("run again when it is saved"), "%s changed while it was read", name)
		return nil
	case err != nil:
		l.problems.Add(unreadable(l.root, name, at, err))
		return nil
	}
	l.bytes += len(data)
	return source.New(name, data)
}

func (l *loader) linkLoop(loop []*Notebook, at source.Place) {
	var names []string
	for _, nb := range append(slices.Clone(loop), loop[0]) {
		names = append(names, nb.File.Name)
	}
	l.problems.Errorf(problem.LinkLoop, at, problem.Advise("remove one of these links"), "these notebooks link to each other in a loop: %s", strings.Join(names, " -> "))
}

// dataLink is a link in a data section; it may lead to a notebook.
type dataLink struct {
	section.Link
	inProse       bool // outside the section's tables
	outsideTables bool // outside the tables of a section that has some
	inSwatch      bool // in a Swatch section: it may lead to a swatch recipe
}

// links lists the links in a notebook's data sections, in the order of the
// text. Links to drawings, and all under Results, are left out.
func links(doc *section.Document) []dataLink {
	var out []dataLink
	for _, s := range doc.Sections {
		if s.Word == schema.Results {
			continue
		}
		for _, link := range s.Links {
			out = append(out, dataLink{link, true, len(s.Tables) > 0, s.Word == schema.Swatch})
		}
		for _, table := range s.Tables {
			out = append(out, tableLinks(schema.Find(s.Word), table)...)
		}
	}
	slices.SortFunc(out, func(a, b dataLink) int { return cmp.Compare(a.Place.Start, b.Place.Start) })
	return out
}

func tableLinks(def *schema.Section, table *section.Table) []dataLink {
	var out []dataLink
	for _, row := range table.Rows {
		for i, cell := range row.Cells {
			if len(cell.Links) == 0 || holdsDrawing(def, table, i) {
				continue
			}
			for _, link := range cell.Links {
				out = append(out, dataLink{Link: link})
			}
		}
	}
	return out
}

// holdsDrawing reports whether a column of a table holds links to drawings.
func holdsDrawing(def *schema.Section, table *section.Table, column int) bool {
	if def.Columns == nil || column >= len(table.Header) {
		return false
	}
	field := def.Find(table.Header[column].String)
	return field != nil && field.Kind == schema.Drawing
}

// follow loads the notebook to which a link leads.
func (l *loader) follow(nb *Notebook, link dataLink) {
	if link.outsideTables && isAddress(link.Target) {
		return
	}
	name, list := Target(l.root, nb.File, link.Link)
	switch {
	case len(list) > 0:
		l.problems = append(l.problems, list...)
		nb.broken[link.Place.Start] = true
		return
	case link.inSwatch && l.sheet(nb, link, name):
		return
	case !strings.EqualFold(path.Ext(name), ".md"):
		if !link.inProse {
			l.problems.Errorf(problem.NotANotebook, link.TargetPlace, problem.Advise("link to a notebook, a file that ends in .md"), "%s is not a notebook", name)
		}
		return
	}
	linked := l.load(name, link.TargetPlace)
	if linked == nil {
		nb.broken[link.Place.Start] = true
		return
	}
	nb.linked[link.Place.Start] = linked
	if !slices.Contains(nb.LinksTo, linked) {
		nb.LinksTo = append(nb.LinksTo, linked)
	}
}

func isAddress(target string) bool {
	return strings.HasPrefix(target, "http://") || strings.HasPrefix(target, "https://") || strings.HasPrefix(target, "mailto:")
}
