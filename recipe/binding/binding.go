// Package binding reads the tables of loaded notebooks by the schema. Each cell
// becomes a plain value, or a formula that is evaluated later. A section that
// builds on one of a linked notebook gets it as its base.
package binding

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Limits for one notebook, far above what anybody writes: they keep the work of
// a hostile one finite.
const (
	maxDefinitions = 1000
	maxRecords     = 1000 // of one section
)

// Notebook is a notebook with what it defines.
type Notebook struct {
	*notebook.Notebook
	// Linked are the notebooks that it may take definitions from: those that
	// it links directly and, for a recipe without a machine, the studio's.
	Linked      []*Notebook
	Definitions []*Definition

	bound map[*notebook.Notebook]*Notebook // all notebooks so far
}

// Recipe is a recipe with its tables and all notebooks that it reaches.
type Recipe struct {
	*Notebook
	Notebooks     []*Notebook    // in the order in which they were first linked
	Sheets        []*source.File // the files of linked swatch recipes and of their readings
	BottomUp      []*Notebook    // each after all that it links, the recipe last
	Sheet         *Definition    // nil where it is missing, as is Machine
	Machine       *Definition
	Layers        []*Record
	Wells         []*Record
	Trials        []*Record
	RegisterMarks []*Record
	Clamps        []*Record
	Seating       []*Record // of the tables with a column layer
	Heights       []*Record // of Flatness, if the sheet states where brushes are touched off
	Inert         []*Record // of sections that change no program
	Results       []Result
	// MissingBrushes holds the brushes that layers and trials name and that do not exist,
	// as formulas write their names.
	MissingBrushes map[string]bool
}

// Result is what was written about one impression after painting.
type Result struct {
	Heading section.Text
	Entry   *section.Entry
	Strips  []Strip
	Painted []Strip // tables of programs that painted parts of layers
	SetOffs []Strip // tables of when layers were dry
	Widths  []Strip // tables of the widths of a scanned painting
}

// Strip is a table of marks measured on a check strip.
type Strip struct {
	Table *section.Table
	Marks []*Record
}

// Bind reads the tables of a recipe and of its notebooks.
func Bind(set *notebook.Set) (*Recipe, problem.List) {
	var problems problem.List
	out := &Recipe{Sheets: set.Sheets}
	bound := map[*notebook.Notebook]*Notebook{}
	for _, loaded := range set.BottomUp {
		nb := &Notebook{Notebook: loaded, bound: bound}
		bound[loaded] = nb
		for _, linked := range loaded.LinksTo {
			nb.Linked = append(nb.Linked, bound[linked])
		}
		problems = append(problems, define(nb)...)
		out.BottomUp = append(out.BottomUp, nb)
	}
	for _, loaded := range set.Notebooks {
		out.Notebooks = append(out.Notebooks, bound[loaded])
	}
	out.Notebook = bound[set.Recipe]
	b := &recipeBinder{recipe: out, tables: newReader(out.Notebook)}
	b.machine(bound[set.Studio])
	out.Sheet = b.only(schema.Sheet)
	b.records()
	out.MissingBrushes = out.missingBrushes()
	b.checkNames(out.Layers, "layer")
	b.checkNames(out.Trials, "trial")
	b.checkNames(out.RegisterMarks, "mark")
	b.checkNames(out.Clamps, "clamp")
	b.results()
	problems = append(problems, b.tables.problems...)
	return out, append(problems, checkHeadings(out)...)
}

// LinkedBy is the notebook that a cell links, or nil.
func (nb *Notebook) LinkedBy(c *Cell) *Notebook {
	for _, link := range c.Source.Links {
		if linked := nb.bound[nb.ByLink(link)]; linked != nil {
			return linked
		}
	}
	return nil
}

// Brushes lists the brushes that a notebook states, and those of the notebooks
// that it links.
func (nb *Notebook) Brushes() (own, linked []*Definition) {
	for _, d := range nb.Definitions {
		if d.Schema.Word == schema.Brush {
			own = append(own, d)
		}
	}
	for _, other := range nb.Linked {
		for _, d := range other.Definitions {
			if d.Schema.Word == schema.Brush && d.Section != nil {
				linked = append(linked, d)
			}
		}
	}
	return own, linked
}

// recipeBinder reads the sections that only a recipe has.
type recipeBinder struct {
	recipe *Recipe
	tables *reader
}

// only returns the recipe's definition of a kind of which it may have one, and
// reports a second one.
func (b *recipeBinder) only(word string) *Definition {
	var first *Definition
	for _, d := range b.recipe.Definitions {
		switch {
		case d.Schema.Word != word:
		case first == nil:
			first = d
		default:
			b.tables.problems.Add(problem.Problem{Code: problem.TwoSources, Place: d.Place, Fix: problem.Advise("keep one, and move the other to a notebook of its own"),
				Message: "a recipe has one " + word + ", and this is a second", Related: []problem.Related{{Place: first.Place, Note: "the first"}}})
		}
	}
	return first
}

// machine uses the machine of the studio if the recipe states none.
func (b *recipeBinder) machine(studio *Notebook) {
	b.recipe.Machine = b.only(schema.Machine)
	if b.recipe.Machine != nil || studio == nil {
		return
	}
	for _, d := range studio.Definitions {
		if d.Schema.Word == schema.Machine {
			b.recipe.Machine = b.recipe.extend(d, d.Section)
			b.recipe.Machine.Name = "machine"
			if !slices.Contains(b.recipe.Linked, studio) {
				b.recipe.Linked = append(b.recipe.Linked, studio)
			}
			return
		}
	}
}

// records reads the tables in which each row is a record.
func (b *recipeBinder) records() {
	for _, s := range b.recipe.Doc.Sections {
		def := schema.Find(s.Word)
		if def.Columns == nil || s.Word == schema.Swatch || s.Word == schema.Results {
			continue
		}
		records := b.tables.records(def, s.Tables, b.recipe.caliper())
		if len(records) > maxRecords {
			b.tables.problems.Errorf(problem.TooMany, records[maxRecords].Row.Place, problem.Advise("divide the job into several recipes"), "%s has %d rows, more than %d", s.Word, len(records), maxRecords)
			records = records[:maxRecords]
		}
		switch s.Word {
		case schema.Layers:
			b.recipe.Layers = append(b.recipe.Layers, records...)
		case schema.Wells:
			b.recipe.Wells = append(b.recipe.Wells, records...)
		case schema.Trials:
			b.recipe.Trials = append(b.recipe.Trials, records...)
		case schema.Registration:
			b.recipe.RegisterMarks = append(b.recipe.RegisterMarks, records...)
		case schema.Clamps:
			b.recipe.Clamps = append(b.recipe.Clamps, records...)
		case schema.Seating:
			if namesLayer(s.Tables) {
				b.recipe.Seating = append(b.recipe.Seating, records...)
				continue
			}
			if !b.fromAlone(s.Tables) {
				b.changesNothing(s, records)
			}
		default:
			if s.Word == schema.Flatness && b.recipe.touchedOff() {
				b.recipe.Heights = append(b.recipe.Heights, records...)
				continue
			}
			b.changesNothing(s, records)
		}
	}
}

// changesNothing keeps the records of a section that is only shown.
func (b *recipeBinder) changesNothing(s *section.Section, records []*Record) {
	b.recipe.Inert = append(b.recipe.Inert, records...)
	b.tables.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.ChangesNothing, Place: s.Heading.Place, Fix: problem.Advise("keep it for your records"),
		Message: s.Word + " is shown on the page; it changes no program"})
}

// namesLayer reports whether one of the tables has a column for layers.
func namesLayer(tables []*section.Table) bool {
	return slices.ContainsFunc(tables, func(t *section.Table) bool { return headOf(t, "layer") != nil })
}

// headOf is the head of a column of a table, nil if it has none of that word.
func headOf(t *section.Table, word string) *section.Cell {
	for i := range t.Header {
		if formula.Fold(t.Header[i].String) == word {
			return &t.Header[i]
		}
	}
	return nil
}

// fromAlone reports strokes from which the sheet lies otherwise, where no layer is
// named to which they belong.
func (b *recipeBinder) fromAlone(tables []*section.Table) (alone bool) {
	for _, t := range tables {
		if c := headOf(t, "from"); c != nil {
			alone = true
			b.tables.problems.Errorf(problem.MissingColumn, c.Place, problem.Advise("add a column \"layer\" that names the layer of these strokes"),
				"a column \"from\" counts the strokes of a layer, and no column names one")
		}
	}
	return alone
}

// touchedOff reports whether the sheet states where brushes are touched off.
func (r *Recipe) touchedOff() bool {
	if r.Sheet == nil {
		return false
	}
	x, _ := r.Sheet.Find("touch-off x")
	y, _ := r.Sheet.Find("touch-off y")
	return x != nil || y != nil
}

// caliper is the caliper's step, if a brush in the recipe states it.
func (r *Recipe) caliper() quantity.Quantity {
	for _, d := range r.Definitions {
		if c := d.Rows["caliper"]; c != nil && c.Known {
			return c.Quantity
		}
	}
	return quantity.Quantity{}
}

// checkNames checks that each record has a usable name and that no two are the same.
// A record that fails is marked as incomplete.
func (b *recipeBinder) checkNames(records []*Record, word string) {
	first := map[string]source.Place{}
	for _, r := range records {
		c := r.Cells[word]
		if c == nil {
			continue
		}
		if !checkName(&b.tables.problems, c.Source.Text, "the "+word) {
			r.Complete = false
			continue
		}
		name := formula.Fold(c.Source.String)
		if before, twice := first[name]; twice {
			b.tables.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: c.Source.Place, Fix: problem.Advise("give one another name, such as " + c.Source.String + " 2, or remove its line"),
				Message: fmt.Sprintf("two rows define the %s %q", word, c.Source.String), Related: []problem.Related{{Place: before, Note: "the first"}}})
			r.Complete = false
			continue
		}
		first[name] = c.Source.Place
	}
}

// missingBrushes finds the brushes that layers and trials name and that do not exist.
func (r *Recipe) missingBrushes() map[string]bool {
	own, linked := r.Brushes()
	known := slices.Concat(own, linked)
	missing := map[string]bool{}
	for _, record := range slices.Concat(r.Layers, r.Trials) {
		c := record.Cells["brush"]
		if c == nil {
			continue
		}
		names := []string{formula.Fold(c.Source.String)}
		found := func(d *Definition) bool { return d.Name == names[0] }
		if len(c.Source.Links) > 0 {
			from, link := r.LinkedBy(c), c.Source.Links[0]
			names = []string{formula.Fold(link.Label), formula.Fold(strings.TrimSuffix(path.Base(link.Target), ".md"))}
			found = func(d *Definition) bool { return d.Notebook == from }
		}
		if !slices.ContainsFunc(known, found) {
			for _, name := range names {
				missing[name] = true
			}
		}
	}
	return missing
}

// results reads what was written after painting. Every problem there is only a
// warning, because it changes no program.
func (b *recipeBinder) results() {
	r := newReader(b.recipe.Notebook)
	for _, s := range b.recipe.Doc.Sections {
		if s.Word != schema.Results {
			continue
		}
		for i, e := range s.Entries {
			result := Result{Heading: e.Heading, Entry: e}
			if i == 0 {
				result.Heading = s.Heading
				if len(e.Tables) == 0 {
					continue // the page shows it with the section
				}
			}
			for _, table := range e.Tables {
				b.resultTable(r, table, &result)
			}
			b.recipe.Results = append(b.recipe.Results, result)
		}
	}
	for _, p := range r.problems {
		if p.Severity == problem.Error {
			p.Severity = problem.Warning
		}
		b.tables.problems.Add(p)
	}
}

// resultTable reads a table under Results if it is one of those that the schema
// has.
func (b *recipeBinder) resultTable(r *reader, table *section.Table, result *Result) {
	def := schema.Find(schema.Results)
	switch tables := []*section.Table{table}; {
	case isPainted(table):
		result.Painted = append(result.Painted, Strip{table, r.records(&schema.Painted, tables, quantity.Quantity{})})
	case hasColumn(&schema.SetOffs, table, "set-off"):
		result.SetOffs = append(result.SetOffs, Strip{table, r.records(&schema.SetOffs, tables, quantity.Quantity{})})
	case isWidths(table):
		result.Widths = append(result.Widths, Strip{table, r.records(&schema.Widths, tables, quantity.Quantity{})})
	case isStrip(def, table):
		result.Strips = append(result.Strips, Strip{table, r.records(def, tables, b.recipe.caliper())})
	}
}

// isPainted reports whether a table under Results says which programs painted
// what: it has the columns file and from.
func isPainted(table *section.Table) bool {
	has := func(word string) bool {
		return slices.ContainsFunc(table.Header, func(c section.Cell) bool { return schema.Painted.Find(c.String) == schema.Painted.Find(word) })
	}
	return has("file") && has("from")
}

// isWidths reports whether a table under Results has the widths of a painting: a press
// and a width for each row, which is no mark of a strip or of a swatch sheet.
func isWidths(table *section.Table) bool {
	has := func(word string) bool { return hasColumn(&schema.Widths, table, word) }
	strip := schema.Find(schema.Results)
	return has("press") && (has("asked") || has("layer") && has("measured")) && !hasColumn(strip, table, "strip")
}

// hasColumn reports whether a table has a column of a section.
func hasColumn(def *schema.Section, table *section.Table, word string) bool {
	return slices.ContainsFunc(table.Header, func(c section.Cell) bool {
		words, _, _, _ := quantity.Header(c.String, c.Place)
		return def.Find(words) == def.Find(word)
	})
}

// isStrip reports whether a table under Results is that of a check strip: it has
// a column of the schema other than layer, which any table may have.
func isStrip(def *schema.Section, table *section.Table) bool {
	return slices.ContainsFunc(table.Header, func(c section.Cell) bool {
		words, _, _, _ := quantity.Header(c.String, c.Place)
		field := def.Find(words)
		return field != nil && field.Word != "layer"
	})
}
