package recipe

import (
	"regexp"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// line is one line of a table with a column for each word.
type line struct {
	def   *schema.Section
	row   section.Row
	owner string           // its name as formulas write it, "" where none can
	cells map[string]*cell // stated ones
	whole bool             // nothing that is required is missing
}

// get gives a stated cell that could be read.
func (l *line) get(word string) (*cell, bool) {
	c := l.cells[word]
	return c, c != nil && c.known
}

// defaults are the values that hold because the line does not state them.
func (l *line) defaults() []*cell {
	var out []*cell
	for i := range l.def.Columns {
		e := &l.def.Columns[i]
		name := reachable(l.owner, e.Word)
		if q, ok := byDefault(e); ok && e.Kind == schema.Quantity && l.cells[e.Word] == nil && name != "" {
			out = append(out, &cell{field: e, name: name, known: true, q: q})
		}
	}
	return out
}

// columns reads the header row of a table. It answers false where the table
// cannot be read.
func (r *reader) columns(def *schema.Section, table *section.Table) ([]*column, bool) {
	out := make([]*column, len(table.Header))
	first := map[string]source.Place{}
	ok := true
	for i, head := range table.Header {
		if head.Empty() {
			r.problems.Errorf(problem.UnknownColumn, head.Place, problem.Advise("write one of: "+strings.Join(def.Words(), ", ")), "a column of %s has no word", def.Word)
			continue
		}
		words, unit, has, list := quantity.Header(head.String, head.Place)
		e := def.Find(head.String)
		if e == nil {
			e = def.Find(words)
			r.problems = append(r.problems, list...)
		}
		if e == nil {
			if len(list) == 0 {
				r.unknownField(problem.UnknownColumn, "a column", def, section.Text{String: words, Place: head.Place.Sub(0, len(words))})
			}
			ok = false
			continue
		}
		if was, twice := first[e.Word]; twice {
			r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: head.Place, Fix: problem.Advise("take one of the columns out"),
				Message: "the column " + quote(e.Word) + " stands here twice", Related: []problem.Related{{Place: was, Note: "here first"}}})
			ok = false
			continue
		}
		first[e.Word] = head.Place
		out[i] = &column{e, head.Place, unit, has}
	}
	for i := range def.Columns {
		e := &def.Columns[i]
		if _, there := first[e.Word]; !there && e.Required && ok {
			r.problems.Errorf(problem.MissingColumn, table.Head, withColumn(table.Head.Text(), e.Word), "the table of %s has no column %q", def.Word, e.Word)
			return out, false
		}
	}
	return out, ok
}

// withColumn writes the two header rows with one more column.
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

// lines reads the tables of a section. step is the step of the instrument.
func (r *reader) lines(nb *notebook, def *schema.Section, tables []*section.Table, step quantity.Quantity) []*line {
	var out []*line
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
			l := &line{def: def, row: row, cells: map[string]*cell{}}
			if r.missing(l, columns) {
				owner := ""
				if columns[0] != nil && columns[0].field.Kind == schema.Name {
					owner = formula.Fold(row.Cells[0].String)
				}
				if owners[owner] {
					owner = "" // told where the names are checked
				}
				owners[owner] = true
				l.owner = owner
				for i, col := range columns {
					if col == nil {
						continue
					}
					if c := r.cell(nb, *col, row.Cells[i], reachable(owner, col.field.Word), step); c != nil {
						l.cells[col.field.Word] = c
					}
				}
				out = append(out, l)
			}
		}
	}
	return out
}

// plainName is a layer's name that can be a file's name without ado.
var plainName = regexp.MustCompile(`^[\pL\d_-]+$`)

// missing reports required cells that are empty; those behind the row's end
// together. It answers false for a row that is empty altogether.
func (r *reader) missing(l *line, columns []*column) bool {
	if !stated(l.row) {
		r.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: l.row.Place, Fix: problem.TakeOut(""), Message: "the row is empty"})
		return false
	}
	l.whole = true
	end := l.row.Place.End
	var words, samples []string
	needed := 0
	for i, col := range columns {
		if col == nil {
			continue
		}
		e := col.field
		c := l.row.Cells[i]
		behind := c.Empty() && c.Place.Start >= end
		if behind {
			sample := ""
			if e.Required {
				words = append(words, e.Word)
				sample = e.Sample()
			}
			samples = append(samples, " "+sample)
			if e.Required {
				needed = len(samples)
			}
			continue
		}
		if c.Empty() && e.Required {
			l.whole = false
			sample := e.Sample()
			if named := l.row.Cells[0]; e.Word == "drawing" && plainName.MatchString(named.String) {
				sample = "[" + named.String + "](" + named.String + ".dxf)"
			}
			r.problems.Errorf(problem.MissingValue, c.Place, problem.Write(sample+" "), "%s is left empty", e.Word)
		}
	}
	if needed > 0 {
		l.whole = false
		fix := strings.Join(samples[:needed], " |") + " |"
		if !strings.HasSuffix(l.row.Place.Text(), "|") {
			fix = " |" + fix
		}
		r.problems.Errorf(problem.MissingValue, l.row.Place.Sub(end-l.row.Place.Start, end-l.row.Place.Start), problem.Write(strings.TrimRight(fix, " ")),
			"the row ends before %s", either(words))
	}
	return true
}
