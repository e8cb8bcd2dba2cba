// Package recipe reads a recipe and all notebooks that it links, works out its
// formulas, and freezes what it says into plain values: the model.Job on which
// everything else is built.
//
// Reading goes on after each problem, so that one look shows all of them. No
// time, no locale and no order of a map plays a part: the same files give the
// same job and the same list of problems.
package recipe

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Read reads the recipe of that name below the studio's root, with forward
// slashes. The list holds all problems, sorted by place. The job is whole only
// where the list has no errors; otherwise it holds what could be read, and
// must not be painted.
func Read(root fs.FS, name string) (*model.Job, problem.List) {
	return readJob(newReader(root), name)
}

// ReadUndrawn is Read for a recipe whose drawings need not be there yet.
func ReadUndrawn(root fs.FS, name string) (*model.Job, problem.List) {
	r := newReader(root)
	r.undrawn = true
	return readJob(r, name)
}

func readJob(r *reader, name string) (*model.Job, problem.List) {
	job := &model.Job{Name: JobName(name)}
	at := source.New(name, nil).Place(0, 0) // for what is wrong before it is read
	if !fs.ValidPath(name) {
		r.problems.Errorf(problem.MissingFile, at, problem.Advise("write the path of a recipe in the studio"), "%q is no path of a file in the studio", name)
		return job, r.problems
	}
	if !r.isRecipe(name, at) {
		return job, r.problems
	}
	nb := r.read(name, at)
	if nb == nil {
		return job, first(r.problems.Sorted())
	}
	b := &binder{reader: r, nb: nb, job: job}
	b.bind()
	for _, nb := range r.order {
		job.Files = append(job.Files, nb.file)
	}
	return job, first(r.problems.Sorted())
}

// mostProblems are enough to be read at once.
const mostProblems = 1000

// first cuts a list short: errors stay before warnings, warnings before hints,
// and what is left out is counted.
func first(list problem.List) problem.List {
	if len(list) <= mostProblems {
		return list
	}
	var kept problem.List
	var rest []problem.Problem
	for _, severity := range []problem.Severity{problem.Error, problem.Warning, problem.Hint} {
		for _, p := range list {
			switch {
			case p.Severity != severity:
			case len(kept) < mostProblems:
				kept = append(kept, p)
			default:
				rest = append(rest, p)
			}
		}
	}
	kept = append(kept, problem.Problem{Severity: rest[0].Severity, Code: problem.TooManyProblems, Place: rest[0].Place, Fix: problem.Advise("fix the others first"),
		Message: fmt.Sprintf("here and below, %d more problems are not told", len(rest))})
	return kept.Sorted()
}

// binder puts the job together.
type binder struct {
	*reader
	nb      *notebook
	job     *model.Job
	sheet   *thing
	machine *thing
	layers  []*line
	marks   []*line
	inert   []*line
	brushes map[*thing]*model.Brush
	inked   map[*thing]bool // inks that a layer is painted in
	// workings are those of the house, behind the recipe's own.
	house []houseWorking
	// unreachable counts the brushes whose names no formula can write.
	unreachable int
}

func (b *binder) bind() {
	b.brushes, b.inked = map[*thing]*model.Brush{}, map[*thing]bool{}
	b.job.Title = b.nb.doc.Title.String
	if b.job.Title == "" {
		b.job.Title = b.job.Name
		if !b.nb.doc.Cut {
			b.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.MissingTitle, Place: b.nb.file.Place(0, 0),
				Fix: problem.Advise("begin with a line such as: # " + b.job.Name), Message: "the recipe has no title"})
		}
	}
	b.machine = b.only(machineWord)
	if b.machine == nil {
		b.machine = b.studioMachine()
	}
	b.sheet = b.only(sheetWord)
	b.tables()
	var cells []*cell
	for _, lines := range [][]*line{b.marks, b.layers, b.inert} {
		for _, l := range lines {
			for i := range l.def.Columns {
				if c := l.cells[l.def.Columns[i].Word]; c != nil {
					cells = append(cells, c)
				}
			}
			cells = append(cells, l.defaults()...)
		}
	}
	b.noteAstray()
	b.reader.bind(b.nb, cells)
	b.bindSheet()
	b.bindMachine()
	b.bindMarks()
	b.bindLayers()
	b.requireBrushes()
	b.bindResults()
	b.strayHeadings()
	b.complete()
	b.page()
	b.unused()
}

// complete is the last net: no layer and no mark is left out without an error.
func (b *binder) complete() {
	if b.problems.HasErrors() || len(b.job.Layers) == len(b.layers) && len(b.job.Marks) == len(b.marks) {
		return
	}
	for _, l := range slices.Concat(b.layers, b.marks) {
		b.problems.Errorf(problem.LostLine, l.row.Place, problem.Advise("fix what the warnings say"), "a layer or a mark could not be read")
	}
}

// requireBrushes checks the brushes that no layer uses; those that something
// builds on may be completed there.
func (b *binder) requireBrushes() {
	completed := map[*thing]bool{}
	for _, nb := range b.order {
		for _, t := range nb.things {
			completed[t.base] = true
		}
	}
	for _, nb := range b.order {
		for _, t := range nb.things {
			if t.def.Word == brushWord && t.src != nil && !completed[t] {
				b.require(t)
			}
		}
	}
}

// only is the recipe's thing of a kind. A second one would count for nothing.
func (b *binder) only(word string) *thing {
	var first *thing
	for _, t := range b.nb.things {
		switch {
		case t.def.Word != word:
		case first == nil:
			first = t
		default:
			b.problems.Add(problem.Problem{Code: problem.TwoSources, Place: t.place, Fix: problem.Advise("keep one, and give the other a notebook of its own"),
				Message: "a recipe has one " + word + ", and this is another", Related: []problem.Related{{Place: first.place, Note: "the first"}}})
		}
	}
	return first
}

// studioMachine takes the machine of the studio where the recipe names none.
func (b *binder) studioMachine() *thing {
	if _, err := fs.Stat(b.root, StudioFile); err != nil || b.nb.file.Name == StudioFile {
		return nil
	}
	at := b.nb.doc.File.Place(0, 0)
	studio := b.read(StudioFile, at)
	if studio == nil {
		return nil
	}
	for _, t := range studio.things {
		if t.def.Word == machineWord {
			own := b.nb.over(t, t.src)
			own.name = "machine"
			b.nb.direct = append(b.nb.direct, studio)
			return own
		}
	}
	return nil
}

// tables reads the tables of the recipe that have a line for each thing.
func (b *binder) tables() {
	for _, s := range b.nb.doc.Sections {
		def := schema.Find(s.Word)
		if def.Columns == nil || s.Word == swatchWord || s.Word == resultsWord {
			continue
		}
		lines := b.lines(b.nb, def, s.Tables, b.step())
		if len(lines) > mostLines {
			b.problems.Errorf(problem.TooMany, lines[mostLines].row.Place, problem.Advise("part the job into several recipes"), "%s has %d lines, more than %d", s.Word, len(lines), mostLines)
			lines = lines[:mostLines]
		}
		switch s.Word {
		case layersWord:
			b.layers = append(b.layers, lines...)
		case marksWord:
			b.marks = append(b.marks, lines...)
		default:
			b.inert = append(b.inert, lines...)
			b.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.ChangesNothing, Place: s.Heading.Place, Fix: problem.Advise("keep it as a note"),
				Message: s.Word + " is shown on the page; it changes no program"})
		}
	}
}

// missingSection reports a section that a recipe cannot do without. Where a
// heading looks like it, that is pointed out.
func (b *binder) missingSection(word string) {
	if b.nb.doc.Cut || b.misspeltSection(word) {
		return
	}
	if !b.nb.states(sheetWord) && !b.nb.states(layersWord) && len(b.nb.doc.Sections) > 0 {
		if word == sheetWord {
			s := b.nb.doc.Sections[0]
			b.problems.Errorf(problem.MissingSection, s.Heading.Place, problem.Advise("run a recipe that links it, or add the sections Sheet and Layers"),
				"this is the notebook of a %s and no recipe: it has no Sheet and no Layers", lower(s.Word))
		}
		return
	}
	def := schema.Find(word)
	end := len(b.nb.file.Data)
	start := end
	for start > 0 && (b.nb.file.Data[start-1] == '\n' || b.nb.file.Data[start-1] == '\r') {
		start--
	}
	at := b.nb.file.Place(start, start)
	if rest := lineOf(b.nb.file, start); rest.Start < rest.End {
		at = rest
	}
	b.problems.Errorf(problem.MissingSection, at, problem.AddBelow(sketch(def)), "the recipe has no section %s", word)
}

// misspeltSection reports a heading that looks like a section's word.
func (b *binder) misspeltSection(word string) bool {
	for _, s := range b.nb.doc.Prose {
		if near, ok := nearHeading(firstWord(s.Heading.String), []string{word}); ok {
			at := s.Heading.Place.Sub(0, len(firstWord(s.Heading.String)))
			b.problems.Errorf(problem.UnknownSection, at, problem.Write(near), "%q is no section of a recipe, and there is no %s", s.Heading.String, word)
			return true
		}
	}
	return false
}

// nearHeading finds the section's word of which a heading is a slip of the
// pen. Headings are prose more often than not: a word only roughly alike is
// none.
func nearHeading(word string, words []string) (string, bool) {
	slips := 2
	if utf8.RuneCountInString(word) <= 5 {
		slips = 1
	}
	near, ok := problem.Nearest(word, words)
	return near, ok && problem.Distance(word, near) <= slips
}

func lineOf(f *source.File, at int) source.Place {
	start := at
	for start > 0 && f.Data[start-1] != '\n' && f.Data[start-1] != '\r' {
		start--
	}
	return f.Place(start, at)
}

func firstWord(s string) string {
	for i, c := range s {
		if c == ' ' || c == ':' || c == '\t' {
			return s[:i]
		}
	}
	return s
}

// sketch writes a section with all that it needs.
func sketch(def *schema.Section) string {
	out := "\n## " + def.Word + "\n"
	if def.Rows != nil {
		out += "| " + firstWord(lower(def.Word)) + " | |\n|---|---|"
		for _, e := range def.Rows {
			if e.Required {
				out += "\n| " + e.Word + " | " + e.Sample() + " |"
			}
		}
		return out
	}
	head, rule, row := "|", "|", "|"
	for _, e := range def.Columns {
		if e.Required {
			head += " " + e.Word + " |"
			rule += "---|"
			row += " " + e.Sample() + " |"
		}
	}
	return out + head + "\n" + rule + "\n" + row
}

// strayHeadings tells of prose that was probably meant as data: a heading
// near a section's word with a table below it.
func (b *binder) strayHeadings() {
	told := map[source.Place]bool{}
	for _, p := range b.problems {
		told[p.Place] = told[p.Place] || p.Code == problem.UnknownSection
	}
	for _, nb := range b.order {
		for _, s := range nb.doc.Prose {
			word := firstWord(s.Heading.String)
			near, ok := nearHeading(word, schema.Words())
			if !ok {
				continue
			}
			at := s.Heading.Place.Sub(0, len(word))
			switch {
			case told[at]:
			case b.fits(near, s):
				b.problems.Errorf(problem.UnknownSection, at, problem.Write(near), "%q is no section; its table would only be shown", s.Heading.String)
			case nb.main && schema.Find(near).Rows != nil && slices.ContainsFunc(s.Links, func(l section.Link) bool { return strings.HasSuffix(l.Target, ".md") }):
				b.problems.Warnf(problem.UnknownSection, at, problem.Write(near), "%q is no section; what it links is only shown", s.Heading.String)
			}
		}
	}
}

// fits says whether the tables below a heading hold words of a section.
func (b *binder) fits(word string, s *section.Section) bool {
	def := schema.Find(word)
	for _, table := range s.Tables {
		for _, c := range table.Header {
			if def.Columns != nil && def.Find(c.String) != nil {
				return true
			}
		}
		for _, row := range table.Rows {
			if def.Rows != nil && def.Find(row.Cells[0].String) != nil {
				return true
			}
		}
	}
	return false
}
