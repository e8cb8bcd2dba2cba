package binding

import (
	"regexp"
	"slices"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Record is one row of a table with a column for each field: a layer, a mark.
type Record struct {
	Schema *schema.Section
	Row    section.Row
	Owner  string           // its name as formulas write it, "" if they cannot use it
	Cells  map[string]*Cell // stated cells, by their column's word
	// Complete reports that all required cells are filled.
	Complete bool
}

// Defaults makes cells with the defaults of the fields that the record leaves
// out, as far as formulas can use them.
func (r *Record) Defaults() []*Cell {
	var out []*Cell
	for i := range r.Schema.Columns {
		field := &r.Schema.Columns[i]
		name := FullName(r.Owner, field.Word)
		if q, ok := Default(field); ok && field.Kind == schema.Quantity && r.Cells[field.Word] == nil && name != "" {
			out = append(out, &Cell{Field: field, Name: name, Known: true, Quantity: q})
		}
	}
	return out
}

// Cells lists the cells of all records in the order of the text, each record
// followed by its defaults.
func (r *Recipe) Cells() []*Cell {
	var out []*Cell
	for _, record := range slices.Concat(r.RegisterMarks, r.Clamps, r.Layers, r.Wells, r.Trials, r.Seating, r.Heights, r.Inert) {
		for i := range record.Schema.Columns {
			if c := record.Cells[record.Schema.Columns[i].Word]; c != nil {
				out = append(out, c)
			}
		}
		out = append(out, record.Defaults()...)
	}
	return out
}

// columns reads the header row of a table. It returns false if the table cannot
// be read.
func (r *reader) columns(def *schema.Section, table *section.Table) ([]*column, bool) {
	out := make([]*column, len(table.Header))
	first := map[string]source.Place{}
	ok := true
	for i, head := range table.Header {
		if head.Empty() {
			r.problems.Errorf(problem.UnknownColumn, head.Place, problem.Advise("write one of: "+strings.Join(def.Words(), ", ")), "a column of %s has no word", def.Word)
			continue
		}
		col, good := r.column(def, head)
		if !good {
			ok = false
			continue
		}
		if before, twice := first[col.field.Word]; twice {
			r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: head.Place, Fix: problem.Advise("remove one of the columns"),
				Message: "the table has two columns " + quote(col.field.Word), Related: []problem.Related{{Place: before, Note: "the first"}}})
			ok = false
			continue
		}
		first[col.field.Word] = head.Place
		out[i] = col
	}
	for i := range def.Columns {
		field := &def.Columns[i]
		if _, there := first[field.Word]; !there && field.Required && ok {
			r.problems.Errorf(problem.MissingColumn, table.Head, withColumn(table.Head.Text(), field.Word), "the table of %s has no column %q", def.Word, field.Word)
			return out, false
		}
	}
	return out, ok
}

// column reads one cell of a header row.
func (r *reader) column(def *schema.Section, head section.Cell) (*column, bool) {
	words, unit, has, list := quantity.Header(head.String, head.Place)
	field := def.Find(head.String)
	if field == nil {
		field = def.Find(words)
		r.problems = append(r.problems, list...)
	}
	if field == nil {
		if len(list) == 0 {
			r.unknownField(problem.UnknownColumn, "a column", def, section.Text{String: words, Place: head.Place.Sub(0, len(words))})
		}
		return nil, false
	}
	return &column{field: field, head: head.Place, unit: unit, hasUnit: has}, true
}

// withColumn rewrites the header and the row of dashes with one more column.
func withColumn(head, word string) problem.Fix {
	lines := strings.Split(strings.ReplaceAll(head, "\r\n", "\n"), "\n")
	add := []string{" " + word + " |", "---|"}
	for i, l := range lines {
		l = strings.TrimRight(l, " \t")
		if !strings.HasSuffix(l, "|") {
			l += "|"
		}
		lines[i] = l + add[min(i, 1)]
	}
	return problem.Write(strings.Join(lines, "\n"))
}

// unknownField reports a word that is not in the section's schema.
func (r *reader) unknownField(code problem.Code, what string, def *schema.Section, word section.Text) {
	fix := def.Correction(word.String)
	if other := sectionThatKnows(word.String); fix.None() && other != "" {
		fix = problem.Advise("put it under " + other)
	}
	fix = fix.Else(problem.Advise("write one of: " + strings.Join(def.Words(), ", ")))
	r.problems.Errorf(code, word.Place, fix, "%q is not %s of %s", word.String, what, def.Word)
}

func sectionThatKnows(word string) string {
	for i := range schema.Sections {
		if s := &schema.Sections[i]; s.Find(word) != nil {
			return s.Word
		}
	}
	return ""
}

// records reads the tables of one section. step is the smallest step of the
// caliper.
func (r *reader) records(def *schema.Section, tables []*section.Table, step quantity.Quantity) []*Record {
	var out []*Record
	owners := map[string]bool{}
	for _, table := range tables {
		columns, ok := r.columns(def, table)
		if !ok {
			continue
		}
		for _, row := range table.Rows {
			if row.Broken {
				continue
			}
			if !hasText(row) {
				r.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: row.Place, Fix: problem.TakeOut(""), Message: "the row is empty"})
				continue
			}
			if r.missingBar(row, columns) {
				out = append(out, &Record{Schema: def, Row: row})
				continue
			}
			owner := ""
			if columns[0] != nil && columns[0].field.Kind == schema.Name {
				owner = formula.Fold(row.Cells[0].String)
			}
			if owners[owner] {
				owner = "" // the repeated name is reported by checkNames
			}
			owners[owner] = true
			out = append(out, r.record(def, row, columns, owner, step))
		}
	}
	return out
}

func (r *reader) record(def *schema.Section, row section.Row, columns []*column, owner string, step quantity.Quantity) *Record {
	out := &Record{Schema: def, Row: row, Owner: owner, Cells: map[string]*Cell{}, Complete: r.complete(row, columns)}
	for i, col := range columns {
		if col == nil {
			continue
		}
		if c := r.cell(*col, row.Cells[i], FullName(owner, col.field.Word), step); c != nil {
			out.Cells[col.field.Word] = c
		}
	}
	return out
}

// hasText reports whether any cell of a row has text.
func hasText(row section.Row) bool {
	return slices.ContainsFunc(row.Cells, func(c section.Cell) bool { return !c.Empty() })
}

// fileName matches a layer's name that can be used as a file name unchanged.
var fileName = regexp.MustCompile(`^[\pL\d_-]+$`)

// wholeValue matches a quantity with its unit, a formula between backticks, a
// link or a colour.
var wholeValue = regexp.MustCompile("^(?:[-−+±]? ?[0-9][0-9.]*(?: ?(?:±|\\+/-) ?[0-9.]+)? ?(?:\\pL[\\pL/²³0-9]*|%|°)|`[^`]+`|\\[[^\\[\\]]*\\]\\([^()]*\\)|#[0-9A-Fa-f]{6})$")

// missingBar reports a cell that holds two values, in a row with one cell too
// few.
func (r *reader) missingBar(row section.Row, columns []*column) bool {
	last := row.Cells[len(row.Cells)-1]
	if !last.Empty() || last.Place.Start < row.Place.End || len(columns) < 2 {
		return false
	}
	for i, c := range row.Cells {
		if columns[i] == nil {
			continue
		}
		for at, char := range c.String {
			left, right := strings.TrimSpace(c.String[:at]), strings.TrimSpace(c.String[at:])
			if char == ' ' && wholeValue.MatchString(left) && wholeValue.MatchString(right) {
				r.problems.Errorf(problem.MissingValue, c.Place, problem.Write(left+" | "+right), "a | is missing between %q and %q", left, right)
				return true
			}
		}
	}
	return false
}

// emptyCell is the fix for a required cell that is empty.
func emptyCell(field *schema.Field, row section.Row) problem.Fix {
	if field.Measure != "" {
		return problem.Advise("fill it in: " + field.Measure)
	}
	sample := field.Sample()
	if named := row.Cells[0]; field.Word == "drawing" && fileName.MatchString(named.String) {
		sample = "[" + named.String + "](" + named.String + ".dxf)"
	}
	return problem.Advise("fill it in, such as " + sample)
}

// complete reports required cells that are empty. Cells missing at the end of a
// short row are reported together.
func (r *reader) complete(row section.Row, columns []*column) bool {
	allFilled := true
	end := row.Place.End
	var words, samples []string
	needed, measure := 0, "" // samples up to the last required one; how to measure the first
	for i, col := range columns {
		if col == nil {
			continue
		}
		field, c := col.field, row.Cells[i]
		switch pastEnd := c.Place.Start >= end; {
		case !c.Empty():
		case pastEnd && !field.Required:
			samples = append(samples, " ")
		case pastEnd:
			words = append(words, field.Word)
			samples = append(samples, " "+field.Sample())
			needed = len(samples)
			if measure == "" {
				measure = field.Measure
			}
		case field.Required:
			allFilled = false
			fix := emptyCell(field, row)
			if col.advised { // one sentence is enough for a whole column
				fix = problem.Advise("fill it in, found in the same way")
			}
			col.advised = field.Measure != ""
			r.problems.Errorf(problem.MissingValue, c.Place, fix, "%s is empty", field.Word)
		}
	}
	if needed == 0 {
		return allFilled
	}
	text := strings.Join(samples[:needed], " |") + " |"
	if !strings.HasSuffix(row.Place.Text(), "|") {
		text = " |" + text
	}
	fix := problem.Advise("add the missing cells, such as" + strings.TrimRight(text, " "))
	if measure != "" {
		fix = problem.Advise("fill it in: " + measure)
	}
	r.problems.Errorf(problem.MissingValue, row.Place.Sub(end-row.Place.Start, end-row.Place.Start), fix, "the row ends before %s", format.Either(words))
	return false
}
