package binding

import (
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Definition is a sheet, machine, brush or ink: the rows of a section. Rows that
// it does not state come from its base, a definition in another notebook.
type Definition struct {
	Schema   *schema.Section
	Section  *section.Section // nil if it has no section of its own
	Notebook *Notebook
	Name     string // folded, as formulas write it
	Title    string // as it is shown
	Place    source.Place
	Rows     map[string]*Cell
	Base     *Definition

	Swatch *section.Section // of a brush, as are the marks in it
	Marks  []SwatchMark
	Sheets []SwatchSheet // the swatch recipes that the swatch links
	// SwatchBroken reports that a row of the swatch lacks a required cell.
	SwatchBroken bool

	// broken reports that the link to its base could not be followed, or that a
	// table could not be read: rows may seem to be missing because of that.
	broken bool
	// misspelt holds rows that seem to be missing because their words were
	// misspelt, which was reported.
	misspelt map[string]bool
}

// Find returns the stated cell of a row and the definition that states it.
func (d *Definition) Find(word string) (*Cell, *Definition) {
	for def := d; def != nil; def = def.Base {
		if c := def.Rows[word]; c != nil {
			return c, def
		}
	}
	return nil, nil
}

// Word is the choice made in a row, or its default.
func (d *Definition) Word(row string) string {
	if c, _ := d.Find(row); c != nil && c.Known {
		return c.Word
	}
	return d.Schema.Find(row).Default
}

// Heading is the definition's heading on the page: "Brush: fine sable".
func (d *Definition) Heading() string {
	if d.Title == "" || d.Title == d.Schema.Word {
		return d.Schema.Word
	}
	return d.Schema.Word + ": " + d.Title
}

// AbsenceReported reports whether the user already has a message that explains
// why a row is missing.
func (d *Definition) AbsenceReported(word string) bool {
	for def := d; def != nil; def = def.Base {
		if def.broken || def.misspelt[word] || def.Notebook.Doc.Incomplete {
			return true
		}
		if def.Schema.Word == schema.Brush && def.Base == nil && def.Notebook.AnyBroken() {
			return true // it may be in a notebook that could not be read
		}
	}
	return false
}

// MissingRows reports the required rows that a definition lacks. measured reports
// whether a row's value comes from readings.
func (d *Definition) MissingRows(measured func(word string) bool) problem.List {
	var list problem.List
	for i := range d.Schema.Rows {
		field := &d.Schema.Rows[i]
		if c, _ := d.Find(field.Word); !field.Required || c != nil || measured(field.Word) || d.AbsenceReported(field.Word) {
			continue
		}
		at, fix := d.Place, problem.AddBelow("\n| "+strings.ToLower(d.Schema.Word)+" | |\n|---|---|\n| "+field.Word+" | "+field.Sample()+" |")
		if s := d.tableOwner(); s != nil {
			last := s.Tables[len(s.Tables)-1]
			at, fix = last.Head, problem.AddBelow("| "+field.Word+" | "+field.Sample()+" |")
			if n := len(last.Rows); n > 0 {
				at = last.Rows[n-1].Place
			}
		}
		if field.Measure != "" {
			fix = problem.Advise("add the row " + field.Word + ": " + field.Measure)
		}
		list.Errorf(problem.MissingRow, at, fix, "%s has no row %q", d.Heading(), field.Word)
	}
	return list
}

// tableOwner is the section whose table a missing row belongs to.
func (d *Definition) tableOwner() *section.Section {
	for def := d; def != nil; def = def.Base {
		if def.Section != nil && len(def.Section.Tables) > 0 {
			return def.Section
		}
	}
	return nil
}

// definer reads the definitions of one notebook.
type definer struct {
	nb     *Notebook
	tables *reader
}

// define reads the definitions of a notebook, and the swatches of its brushes.
func define(nb *Notebook) problem.List {
	d := &definer{nb, newReader(nb)}
	list := &d.tables.problems
	first := map[string]*section.Section{}
	for _, s := range nb.Doc.Sections {
		def := schema.Find(s.Word)
		checkHeading(list, def, s)
		if s.Word == schema.Results {
			continue
		}
		key := s.Word + ":" + formula.Fold(s.Name.String)
		if before := first[key]; before != nil {
			list.Add(problem.Problem{Code: problem.DefinedTwice, Place: s.Heading.Place, Fix: problem.Advise("put both into one section, or rename one of them"),
				Message: "two sections are called " + quote(s.Heading.String),
				Related: []problem.Related{{Place: before.Heading.Place, Note: "the first"}}})
			continue
		}
		first[key] = s
		if def.Rows == nil {
			continue
		}
		if len(nb.Definitions) >= maxDefinitions {
			list.Errorf(problem.TooMany, s.Heading.Place, problem.Advise("keep brushes in notebooks of their own"), "a notebook has at most %d sections of brushes, inks and the like", maxDefinitions)
			break
		}
		nb.Definitions = append(nb.Definitions, d.definition(def, s))
	}
	for _, s := range nb.Doc.Sections {
		if s.Word == schema.Swatch && first[s.Word+":"+formula.Fold(s.Name.String)] == s {
			d.swatch(s)
		}
	}
	return d.tables.problems
}

// definition reads one section of rows.
func (d *definer) definition(def *schema.Section, s *section.Section) *Definition {
	out := &Definition{Schema: def, Section: s, Notebook: d.nb, Place: s.Heading.Place, Rows: map[string]*Cell{}, misspelt: map[string]bool{}, broken: s.LostTable}
	rows := d.rows(out)
	out.Base = d.base(out, rows)
	out.Name, out.Title = d.nameOf(out)
	if out.Base == nil && def.Word == schema.Brush {
		// A linked brush of the same name: the notebook's own rows count first.
		out.Base = d.nb.linkedBrush(out.Name)
	}
	var step quantity.Quantity
	if out.Base != nil {
		// Whoever overrides a reading took it with the same instrument, unless
		// another is stated.
		if c, _ := out.Base.Find("caliper"); c != nil && c.Known {
			step = c.Quantity
		}
	}
	for pass := range 2 { // the caliper first: the other cells need its step
		for _, row := range rows {
			field := row.col.field
			if caliper := field.Word == "caliper"; caliper != (pass == 0) {
				continue
			}
			c := d.tables.cell(row.col, row.value, FullName(out.Name, field.Word), step)
			switch {
			case c == nil:
				d.emptyRow(row)
				continue
			case field.Word == "caliper" && c.Formula != nil:
				d.tables.problems.Errorf(problem.PlainValue, c.Source.Place, problem.Advise("write the step itself, such as 0.02 mm"), "the step of the caliper cannot be a formula")
			case field.Word == "caliper":
				step = c.Quantity
			}
			out.Rows[field.Word] = c
		}
	}
	return out
}

// nameOf names a definition by its heading, else by its base, else by its
// notebook.
func (d *definer) nameOf(def *Definition) (name, title string) {
	word, s := def.Schema.Word, def.Section
	switch {
	case !s.Name.Empty():
		return formula.Fold(s.Name.String), s.Name.String
	case d.nb.IsRecipe && (word == schema.Sheet || word == schema.Machine || def.Base == nil):
		if def.Base != nil {
			return strings.ToLower(word), def.Base.Title
		}
		return strings.ToLower(word), word
	case def.Base != nil:
		return def.Base.Name, def.Base.Title
	case d.nb.Doc.Title.Empty():
		return d.nb.Name, word
	}
	return d.nb.Name, d.nb.Doc.Title.String
}

func (d *definer) emptyRow(row row) {
	field := row.col.field
	if field.Required {
		return // reported as missing
	}
	message := field.Word + " is empty"
	if field.Default != "" {
		message += ": the default is " + field.Default
	}
	d.tables.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: row.col.head, Fix: problem.TakeOut(", or give it a value"), Message: message})
}

// row is a row of a definition: its word and its value.
type row struct {
	col   column
	value section.Cell
}

// rows reads the tables of a section of rows.
func (d *definer) rows(out *Definition) []row {
	def, list := out.Schema, &d.tables.problems
	var rows []row
	first := map[string]source.Place{}
	for _, table := range out.Section.Tables {
		if len(table.Header) != 2 {
			list.Errorf(problem.TwoColumns, table.Head, problem.Advise("write two columns: the words of the rows, and their values"),
				"a table of %s has two columns, not %d", def.Word, len(table.Header))
			out.broken = true
			continue
		}
		if head := table.Header[0]; def.Find(head.String) != nil && !table.Header[1].Empty() {
			text := table.Head.Text()
			if i := strings.IndexAny(text, "\r\n"); i >= 0 {
				text = text[:i]
			}
			list.Errorf(problem.RowInHeader, table.Head, problem.Write("| "+strings.ToLower(def.Word)+" | |\n|---|---|\n"+text),
				"the first line of a table is its header: %q would be lost", head.String)
			out.misspelt[def.Find(head.String).Word] = true
		}
		for _, line := range table.Rows {
			row, ok := d.row(def, line)
			if !ok || line.Broken {
				if near, ok := nearestRow(def, line.Cells[0].String); ok {
					out.misspelt[near] = true
				}
				continue
			}
			word := row.col.field.Word
			if before, twice := first[word]; twice {
				list.Add(problem.Problem{Code: problem.DefinedTwice, Place: row.col.head, Fix: problem.Advise("remove one of them"),
					Message: quote(word) + " is given twice", Related: []problem.Related{{Place: before, Note: "the first"}}})
				continue
			}
			first[word] = row.col.head
			rows = append(rows, row)
		}
	}
	return rows
}

// nearestRow is the row that was most likely meant by a word, or by a word with
// its value.
func nearestRow(def *schema.Section, text string) (string, bool) {
	fields := strings.Fields(text)
	for n := len(fields); n > 0; n-- {
		if field := def.Find(strings.Join(fields[:n], " ")); field != nil {
			return field.Word, true
		}
	}
	return def.Nearest(text)
}

func (d *definer) row(def *schema.Section, line section.Row) (row, bool) {
	word, value := line.Cells[0], line.Cells[1]
	list := &d.tables.problems
	if word.Empty() {
		if !value.Empty() {
			list.Errorf(problem.MissingWord, word.Place, problem.Advise("write the name of a row of "+def.Word), "the row has a value but no name")
		}
		return row{}, false
	}
	words, unit, has, problems := quantity.Header(word.String, word.Place)
	if len(problems) > 0 && def.Find(word.String) == nil && def.Find(words) != nil {
		*list = append(*list, problems...)
		return row{}, false
	}
	field := def.Find(words)
	if field == nil && d.missingBar(def, line) {
		return row{}, false
	}
	if field == nil {
		d.tables.unknownField(problem.UnknownRow, "a row", def, word.Text)
		return row{}, false
	}
	return row{column{field: field, head: word.Place, unit: unit, hasUnit: has}, value}, true
}

// missingBar reports a row whose word and value are in one cell.
func (d *definer) missingBar(def *schema.Section, line section.Row) bool {
	word, value := line.Cells[0], line.Cells[1]
	fields := strings.Fields(word.String)
	for n := len(fields) - 1; n > 0 && value.Empty(); n-- {
		name, rest := strings.Join(fields[:n], " "), strings.Join(fields[n:], " ")
		if def.Find(name) == nil || !wholeValue.MatchString(rest) && len(word.Links) == 0 {
			continue
		}
		at := word.Place
		if value.Place.Start < line.Place.End {
			at = source.Place{File: at.File, Start: at.Start, End: value.Place.End} // the second cell exists and is empty
		}
		d.tables.problems.Errorf(problem.UnknownRow, at, problem.Write(name+" | "+rest), "a | is missing between %q and its value", name)
		return true
	}
	return false
}

// base finds the definition of another notebook that a section builds on: by a
// link in its body or, for a sheet, in its row for the paper.
func (d *definer) base(out *Definition, rows []row) *Definition {
	links := slices.Clone(out.Section.Links)
	for _, row := range rows {
		if row.col.field.Word == "paper" {
			links = append(links, row.value.Links...)
		}
	}
	var base *Definition
	var from section.Link
	for _, link := range links {
		linked := d.nb.bound[d.nb.ByLink(link)]
		if linked == nil {
			out.broken = out.broken || d.nb.Broken(link)
			continue
		}
		found, list := linked.pick(out.Schema, link)
		if len(list) > 0 {
			d.tables.problems = append(d.tables.problems, list...)
			out.broken = true
			continue
		}
		switch {
		case found == nil:
		case base == nil:
			base, from = found, link
		case base != found:
			d.tables.problems.Add(problem.Problem{Code: problem.TwoSources, Place: link.Place, Fix: problem.Advise("keep one link, or move the other out of this section"),
				Message: out.Schema.Word + " cannot come from two notebooks", Related: []problem.Related{{Place: from.Place, Note: "the first link"}}})
		}
	}
	return base
}

// Pick returns the definition of a kind to which a link into this notebook
// leads. If there is none, it returns nil and a problem.
func (nb *Notebook) Pick(word string, link section.Link) (*Definition, problem.List) {
	def := schema.Find(word)
	found, list := nb.pick(def, link)
	if found == nil && len(list) == 0 && !nb.Doc.Incomplete {
		list.Errorf(problem.WrongNotebook, link.TargetPlace, problem.Advise("link to the notebook of a "+strings.ToLower(word)+", or give this one a section "+word),
			"%s has no section %s", nb.File.Name, word)
	}
	return found, list
}

// pick is like Pick, but a link to something else is not reported.
func (nb *Notebook) pick(def *schema.Section, link section.Link) (found *Definition, list problem.List) {
	var names []string
	for _, d := range nb.Definitions {
		if d.Schema != def || d.Section == nil {
			continue
		}
		if link.Fragment != "" && (section.Anchor(d.Section.Heading.String) == link.Fragment || formula.Fold(link.Fragment) == d.Name) {
			return d, nil
		}
		names = append(names, d.Title)
		found = d
	}
	if len(names) > 1 {
		sorted := slices.Sorted(slices.Values(names))
		list.Errorf(problem.WhichOne, link.TargetPlace, problem.Advise("say which one in the link, such as "+strings.TrimSuffix(link.TargetPlace.Text(), "#"+link.Fragment)+"#"+section.Anchor(sorted[0])),
			"%s holds more than one %s: %s", nb.File.Name, strings.ToLower(def.Word), strings.Join(sorted, ", "))
		return nil, list
	}
	return found, nil
}
