package recipe

import (
	"cmp"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Bounds on what one recipe may pull in.
const (
	mostNotebooks = 64
	mostBytes     = 16 << 20
	mostThings    = 1000 // brushes, sheets, machines and inks of one notebook
	mostLines     = 1000 // layers or marks
	mostFormulas  = 20_000
)

// reader carries what is known while a job is read.
type reader struct {
	root      fs.FS
	problems  problem.List
	notebooks map[string]*notebook
	order     []*notebook // as first linked
	open      []*notebook // being read, outermost first
	bytes     int
	undrawn   bool // drawings that are not there are no problem
	budget    *formula.Budget
	count     int  // formulas of working blocks so far
	full      bool // there were too many; told already
}

func newReader(root fs.FS) *reader {
	return &reader{root: root, notebooks: map[string]*notebook{}, budget: formula.NewBudget()}
}

// notebook is one file with what it links and what it defines.
type notebook struct {
	file   *source.File
	doc    *section.Document
	main   bool // the recipe itself
	prefix string
	// linked are the notebooks of its data sections' links, by the start of
	// the link.
	linked map[int]*notebook
	direct []*notebook // the same, each once, in the order of standing
	things []*thing
	scope  *scope
	// exports are the formulas' values under the names by which others reach
	// them.
	exports  map[string]formula.Value
	places   map[string]source.Place
	results  []formula.Result
	formulas []*formula.Formula
	used     map[string]bool // names that cells or prose use
	lost     map[int]bool    // links that could not be followed, by their start
	// astray are names of brushes that layers ask for and that are not found,
	// as formulas would write them: told with the layer.
	astray map[string]bool
}

// read takes a notebook in with all that it links. It answers nil where that
// cannot be.
func (r *reader) read(name string, at source.Place) *notebook {
	if nb, ok := r.notebooks[name]; ok {
		if i := slices.Index(r.open, nb); i >= 0 && nb != nil {
			r.linkLoop(r.open[i:], at)
			return nil
		}
		return nb
	}
	r.notebooks[name] = nil
	if len(r.order) >= mostNotebooks || r.bytes > mostBytes {
		r.problems.Errorf(problem.TooManyNotebooks, at, problem.Advise("link fewer notebooks"), "one job reads at most %d notebooks and %d MB", mostNotebooks, mostBytes>>20)
		return nil
	}
	file, ok := r.load(name, at)
	if !ok {
		return nil
	}
	doc, list := section.Read(file, schema.Words())
	r.problems = append(r.problems, list...)
	nb := &notebook{file: file, doc: doc, main: len(r.order) == 0, linked: map[int]*notebook{}, lost: map[int]bool{}, used: map[string]bool{},
		exports: map[string]formula.Value{}, places: map[string]source.Place{}}
	nb.prefix = nb.name()
	r.notebooks[name] = nb
	r.order = append(r.order, nb)
	r.open = append(r.open, nb)
	r.follow(nb)
	r.open = r.open[:len(r.open)-1]
	r.things(nb)
	if !nb.main {
		r.bind(nb, nil)
	}
	return nb
}

func (r *reader) load(name string, at source.Place) (*source.File, bool) {
	data, err := ReadFile(r.root, name, section.MaxBytes)
	var large *TooLargeError
	switch {
	case errors.As(err, &large):
		r.problems.Errorf(problem.TooLarge, at, problem.Advise("keep a notebook below 4 MB; pictures belong beside it"), "%s holds %d bytes, more than %d", name, large.Size, section.MaxBytes)
		return nil, false
	case errors.Is(err, ErrNotAFile):
		r.problems.Errorf(problem.NotAFile, at, problem.Advise("link to a notebook"), "%s is not a file", name)
		return nil, false
	case errors.Is(err, ErrChanged):
		r.problems.Errorf(problem.ChangedWhileRead, at, problem.Advise("run again when it is saved"), "%s changed while it was read", name)
		return nil, false
	case err != nil:
		r.unreadable(name, at, err)
		return nil, false
	}
	r.bytes += len(data)
	return source.New(name, data), true
}

func (r *reader) linkLoop(loop []*notebook, at source.Place) {
	var names []string
	for _, nb := range append(slices.Clone(loop), loop[0]) {
		names = append(names, nb.file.Name)
	}
	r.problems.Errorf(problem.LinkLoop, at, problem.Advise("take one of these links out"), "the notebooks link each other in a loop: %s", strings.Join(names, " -> "))
}

// follow reads the notebooks that the data sections link, in the order in
// which the links stand. What is written after painting leads nowhere.
func (r *reader) follow(nb *notebook) {
	type step struct {
		link section.Link
		body bool
		s    *section.Section
	}
	var steps []step
	for _, s := range nb.doc.Sections {
		if s.Word == "Results" {
			continue
		}
		for _, l := range s.Links {
			steps = append(steps, step{l, true, s})
		}
		def := schema.Find(s.Word)
		for _, table := range s.Tables {
			for _, row := range table.Rows {
				for i, c := range row.Cells {
					if len(c.Links) > 0 && !holdsDrawing(def, table, i) {
						for _, l := range c.Links {
							steps = append(steps, step{l, false, s})
						}
					}
				}
			}
		}
	}
	slices.SortFunc(steps, func(a, b step) int { return cmp.Compare(a.link.Place.Start, b.link.Place.Start) })
	for _, step := range steps {
		if step.body && web(step.link.Target) && len(step.s.Tables) > 0 {
			continue // a remark, not where the values come from
		}
		name, ok := r.target(nb.file, step.link)
		if !ok {
			nb.lost[step.link.Place.Start] = true
		}
		if !ok || step.body && !strings.EqualFold(path.Ext(name), ".md") {
			continue
		}
		if !strings.EqualFold(path.Ext(name), ".md") {
			r.problems.Errorf(problem.NotANotebook, step.link.TargetPlace, problem.Advise("link to a notebook, a file that ends in .md"), "%s is not a notebook", name)
			continue
		}
		linked := r.read(name, step.link.TargetPlace)
		if linked == nil {
			nb.lost[step.link.Place.Start] = true
		} else {
			nb.linked[step.link.Place.Start] = linked
			if !slices.Contains(nb.direct, linked) {
				nb.direct = append(nb.direct, linked)
			}
		}
	}
}

func web(target string) bool {
	return strings.HasPrefix(target, "http://") || strings.HasPrefix(target, "https://") || strings.HasPrefix(target, "mailto:")
}

// holdsDrawing says whether a column of a table links drawings.
func holdsDrawing(def *schema.Section, table *section.Table, column int) bool {
	if def == nil || def.Columns == nil || column >= len(table.Header) {
		return false
	}
	e := def.Find(table.Header[column].String)
	return e != nil && e.Kind == schema.Drawing
}

// name is the word by which others reach a notebook's formulas: the name that
// all its named sections share, or its title, or its file's name.
func (nb *notebook) name() string {
	shared := ""
	for _, s := range nb.doc.Sections {
		if def := schema.Find(s.Word); !def.Named || s.Name.Empty() {
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
	if title := formula.Fold(nb.doc.Title.String); title != "" {
		return title
	}
	return formula.Fold(strings.TrimSuffix(path.Base(nb.file.Name), path.Ext(nb.file.Name)))
}
