package recipe

import (
	"slices"
	"strings"
	"unicode"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// thing is a sheet, machine, brush or ink: the rows of a section, over those
// of the thing in another notebook that it builds on.
type thing struct {
	def   *schema.Section
	src   *section.Section // nil where no section states it
	nb    *notebook
	name  string // folded, as formulas write it
	title string // as it is shown
	place source.Place
	rows  map[string]*cell
	base  *thing
	// broken says that a link to what it builds on could not be followed, or
	// that a table could not be read, so that what is missing is not told.
	broken bool
	// misspelt are rows that seem to be missing because of something reported.
	misspelt map[string]bool

	swatch *section.Section // marks, of a brush
	rungs  []rung
	curve  *brush.Curve
	value  formula.Value // of a brush, once its curve is known
	failed bool          // the curve cannot be made; told already
}

func isLetter(c rune) bool { return unicode.IsLetter(c) }
func isDigit(c rune) bool  { return unicode.IsDigit(c) || unicode.IsMark(c) }

// find gives the stated cell of a row and the thing that states it.
func (t *thing) find(word string) (*cell, *thing) {
	for at := t; at != nil; at = at.base {
		if c := at.rows[word]; c != nil {
			return c, at
		}
	}
	return nil, nil
}

// quantity gives the value of a row, stated or by default; false where it is
// neither, or could not be read.
func (t *thing) quantity(word string) (quantity.Quantity, bool) {
	if c, _ := t.find(word); c != nil {
		return c.q, c.known
	}
	return byDefault(t.def.Find(word))
}

// byDefault reads the default of a row.
func byDefault(e *schema.Field) (quantity.Quantity, bool) {
	if e.Default == "" {
		return quantity.Quantity{}, false
	}
	dim := e.Unit.Dim()
	if e.Kind == schema.Turn {
		dim = quantity.Angle
	}
	q, list := quantity.Parse(strings.TrimPrefix(e.Default, "± "), source.Place{}, quantity.Of(dim))
	return q, len(list) == 0
}

// isSwatch and the like tell sections apart by their word.
const (
	sheetWord   = "Sheet"
	machineWord = "Machine"
	brushWord   = "Brush"
	swatchWord  = "Swatch"
	inkWord     = "Ink"
	layersWord  = "Layers"
	marksWord   = "Registration"
	resultsWord = "Results"
)

// things reads the sections of a notebook that consist of rows, and their
// swatches.
func (r *reader) things(nb *notebook) {
	first := map[string]*section.Section{}
	for _, s := range nb.doc.Sections {
		def := schema.Find(s.Word)
		r.checkHeading(def, s)
		if s.Word == resultsWord {
			continue
		}
		key := s.Word + ":" + formula.Fold(s.Name.String)
		if was := first[key]; was != nil {
			p := problem.Problem{Code: problem.DefinedTwice, Place: s.Heading.Place, Fix: problem.Advise("put both into one section, or give one another name"),
				Message: "the section " + quote(s.Heading.String) + " stands here twice",
				Related: []problem.Related{{Place: was.Heading.Place, Note: "here first"}}}
			r.problems.Add(p)
			continue
		}
		first[key] = s
		if def.Rows != nil && len(nb.things) >= mostThings {
			r.problems.Errorf(problem.TooMany, s.Heading.Place, problem.Advise("keep brushes in notebooks of their own"), "a notebook states at most %d brushes and other things", mostThings)
			break
		}
		if def.Rows != nil {
			nb.things = append(nb.things, r.thing(nb, def, s))
		}
	}
	for _, s := range nb.doc.Sections {
		if s.Word == swatchWord && first[s.Word+":"+formula.Fold(s.Name.String)] == s {
			r.attachSwatch(nb, s)
		}
	}
}

func quote(s string) string { return `"` + s + `"` }

// checkHeading looks at the words behind the section's word.
func (r *reader) checkHeading(def *schema.Section, s *section.Section) {
	switch {
	case def.Named && !s.Rest.Empty():
		at := source.Place{File: s.Heading.Place.File, Start: s.Heading.Place.Start, End: s.Rest.Place.End}
		r.problems.Errorf(problem.HeadingName, at, problem.Write(s.Word+": "+s.Rest.String),
			"a name follows a colon: %q would have none", s.Heading.String)
	case !def.Named && !s.Name.Empty() && s.Word != resultsWord:
		r.problems.Warnf(problem.HeadingName, s.Name.Place, problem.Advise("leave it out"), "%s takes no name", s.Word)
	case def.Named && !s.Name.Empty():
		r.checkName(s.Name, "the "+strings.ToLower(s.Word))
	}
}

// longestName bounds the characters of a name.
const longestName = 60

// checkName refuses names that cannot be used for files or told apart.
func (r *reader) checkName(name section.Text, what string) bool {
	bad := func(c rune) bool { return strings.ContainsRune("/\\:*?\"<>|`", c) || unicode.IsControl(c) }
	letters := strings.ContainsFunc(name.String, func(c rune) bool { return isLetter(c) || unicode.IsDigit(c) })
	switch {
	case !letters:
		r.problems.Errorf(problem.WrongName, name.Place, problem.Advise("write a name with letters"), "%q cannot be the name of %s", name.String, what)
	case strings.ContainsFunc(name.String, bad):
		tidy := strings.Join(strings.Fields(strings.Map(func(c rune) rune {
			if bad(c) {
				return ' '
			}
			return c
		}, name.String)), " ")
		r.problems.Errorf(problem.WrongName, name.Place, problem.Write(tidy), "the name of %s goes into file names: %q cannot", what, name.String)
	case len([]rune(name.String)) > longestName:
		r.problems.Errorf(problem.WrongName, name.Place, problem.Advise("write a shorter name"), "the name of %s has more than %d characters", what, longestName)
	default:
		return true
	}
	return false
}

// thing reads one section of rows.
func (r *reader) thing(nb *notebook, def *schema.Section, s *section.Section) *thing {
	t := &thing{def: def, src: s, nb: nb, place: s.Heading.Place, rows: map[string]*cell{}, misspelt: map[string]bool{}, broken: s.Lost}
	lines := r.rowLines(t)
	t.base = r.baseOf(nb, t, lines)
	switch {
	case !s.Name.Empty():
		t.name, t.title = formula.Fold(s.Name.String), s.Name.String
	case nb.main && (def.Word == sheetWord || def.Word == machineWord || t.base == nil):
		t.name, t.title = strings.ToLower(def.Word), def.Word
		if t.base != nil {
			t.title = t.base.title
		}
	case t.base != nil:
		t.name, t.title = t.base.name, t.base.title
	default:
		t.name, t.title = nb.prefix, nb.doc.Title.String
		if t.title == "" {
			t.title = def.Word
		}
	}
	if t.base == nil && def.Word == brushWord {
		t.base = nb.linkedBrush(t.name)
	}
	var step quantity.Quantity
	if t.base != nil {
		// Whoever overrides a reading took it with the same instrument, unless
		// another is stated.
		if c, _ := t.base.find("caliper"); c != nil && c.known {
			step = c.q
		}
	}
	for pass := range 2 {
		for _, l := range lines {
			if caliper := l.col.field.Word == "caliper"; caliper != (pass == 0) {
				continue
			}
			c := r.cell(nb, l.col, l.value, reachable(t.name, l.col.field.Word), step)
			switch {
			case c == nil:
				r.emptyRow(l)
				continue
			case c.field.Word == "caliper" && c.f != nil:
				r.problems.Errorf(problem.PlainValue, c.src.Place, problem.Advise("write the step itself, such as 0.02 mm"), "the step of the caliper cannot be a formula")
			case c.field.Word == "caliper":
				step = c.q
			}
			t.rows[l.col.field.Word] = c
		}
	}
	return t
}

func (r *reader) emptyRow(l rowLine) {
	e := l.col.field
	if e.Required {
		return // told as missing
	}
	message := e.Word + " is left empty"
	if e.Default != "" {
		message += ": " + e.Default + " holds"
	}
	r.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: l.col.head, Fix: problem.TakeOut(", or give it a value"), Message: message})
}

// rowLine is a row with its two cells.
type rowLine struct {
	col   column
	value section.Cell
}

// rowLines reads the tables of a section of rows.
func (r *reader) rowLines(t *thing) []rowLine {
	def, s := t.def, t.src
	var out []rowLine
	first := map[string]source.Place{}
	for _, table := range s.Tables {
		if len(table.Header) != 2 {
			r.problems.Errorf(problem.TwoColumns, table.Head, problem.Advise("write one column for the rows' words and one for their values"),
				"a table of %s has two columns, not %d", def.Word, len(table.Header))
			t.broken = true
			continue
		}
		if head := table.Header[0]; def.Find(head.String) != nil && !table.Header[1].Empty() {
			row := table.Head.Text()
			if i := strings.IndexAny(row, "\r\n"); i >= 0 {
				row = row[:i]
			}
			r.problems.Errorf(problem.RowInHeader, table.Head, problem.Write("| "+strings.ToLower(def.Word)+" | |\n|---|---|\n"+row),
				"the first line of a table is its header: %q would be lost", head.String)
			t.misspelt[def.Find(head.String).Word] = true
		}
		for _, row := range table.Rows {
			l, ok := r.rowLine(def, row)
			if !ok || row.Broken {
				if near, ok := def.Nearest(row.Cells[0].String); ok {
					t.misspelt[near] = true
				}
				continue
			}
			if was, twice := first[l.col.field.Word]; twice {
				r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: l.col.head, Fix: problem.TakeOut(", or the other"),
					Message: quote(l.col.field.Word) + " is stated twice", Related: []problem.Related{{Place: was, Note: "here first"}}})
				continue
			}
			first[l.col.field.Word] = l.col.head
			out = append(out, l)
		}
	}
	return out
}

func (r *reader) rowLine(def *schema.Section, row section.Row) (rowLine, bool) {
	word, value := row.Cells[0], row.Cells[1]
	if word.Empty() {
		if !value.Empty() {
			r.problems.Errorf(problem.MissingWord, word.Place, problem.Advise("write which row of "+def.Word+" it is"), "the row has a value and no word")
		}
		return rowLine{}, false
	}
	words, unit, has, list := quantity.Header(word.String, word.Place)
	if len(list) > 0 && def.Find(word.String) == nil && def.Find(words) != nil {
		r.problems = append(r.problems, list...)
		return rowLine{}, false
	}
	e := def.Find(words)
	if e == nil {
		r.unknownField(problem.UnknownRow, "a row", def, word.Text)
		return rowLine{}, false
	}
	return rowLine{column{e, word.Place, unit, has}, value}, true
}

// unknownField reports a word that the section does not know.
func (r *reader) unknownField(code problem.Code, what string, def *schema.Section, word section.Text) {
	fix := problem.Advise("write one of: " + strings.Join(def.Words(), ", "))
	if near, ok := def.Nearest(word.String); ok {
		fix = problem.Write(near)
	} else if other := elsewhere(word.String, def); other != "" {
		fix = problem.Advise("put it under " + other)
	}
	r.problems.Errorf(code, word.Place, fix, "%q is not %s of %s", word.String, what, def.Word)
}

// elsewhere finds the section that knows a word.
func elsewhere(word string, not *schema.Section) string {
	for i := range schema.Sections {
		s := &schema.Sections[i]
		if s != not && s.Find(word) != nil {
			return s.Word
		}
	}
	return ""
}

// baseOf finds the thing of another notebook that a section builds on: by a
// link in its body or, for a sheet, in its row for the paper.
func (r *reader) baseOf(nb *notebook, t *thing, lines []rowLine) *thing {
	links := slices.Clone(t.src.Links)
	for _, l := range lines {
		if l.col.field.Word == "paper" {
			links = append(links, l.value.Links...)
		}
	}
	var base *thing
	var from section.Link
	for _, link := range links {
		linked := nb.linked[link.Place.Start]
		if linked == nil {
			t.broken = t.broken || nb.lost[link.Place.Start]
			continue
		}
		found, ok := r.pick(linked, t.def, link, false)
		if !ok {
			t.broken = true
		}
		if found == nil {
			continue
		}
		if base != nil && base != found {
			r.problems.Add(problem.Problem{Code: problem.TwoSources, Place: link.Place, Fix: problem.Advise("leave one link, or make the other a remark outside this section"),
				Message: t.def.Word + " cannot come from two notebooks", Related: []problem.Related{{Place: from.Place, Note: "the first link"}}})
			continue
		}
		base, from = found, link
	}
	return base
}

// pick gives the thing of a kind in a linked notebook. must says that there
// has to be one. ok is false where a problem was reported.
func (r *reader) pick(linked *notebook, def *schema.Section, link section.Link, must bool) (found *thing, ok bool) {
	var names []string
	for _, t := range linked.things {
		if t.def != def || t.src == nil {
			continue
		}
		if link.Fragment != "" && (section.Anchor(t.src.Heading.String) == link.Fragment || formula.Fold(link.Fragment) == t.name) {
			return t, true
		}
		names = append(names, t.title)
		found = t
	}
	switch {
	case len(names) > 1:
		slices.Sort(names)
		r.problems.Errorf(problem.WhichOne, link.TargetPlace, problem.Write(strings.TrimSuffix(link.TargetPlace.Text(), "#"+link.Fragment)+"#"+section.Anchor(names[0])),
			"%s holds more than one %s: %s", linked.file.Name, strings.ToLower(def.Word), strings.Join(names, ", "))
		return nil, false
	case len(names) == 0 && linked.doc.Cut:
		return nil, false // told already
	case len(names) == 0 && must:
		r.problems.Errorf(problem.WrongNotebook, link.TargetPlace, problem.Advise("link to the notebook of a "+strings.ToLower(def.Word)+", or give this one a section "+def.Word),
			"%s has no section %s", linked.file.Name, def.Word)
		return nil, false
	}
	return found, true
}
