package recipe

import (
	"fmt"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
)

// facts puts the rows of a definition on the page.
func (a *assembler) facts(d *binding.Definition) {
	for i := range d.Schema.Rows {
		a.fact(d, &d.Schema.Rows[i])
	}
}

func (a *assembler) fact(d *binding.Definition, e *schema.Field) {
	f := model.Fact{Section: model.Section{Word: d.Schema.Word, Name: d.Title}, Word: e.Word}
	if e.Kind == schema.Quantity {
		f.Name = binding.FullName(d.Name, e.Word)
		f.Also = a.otherNames(d, e, f.Name)
	}
	c, from := d.Find(e.Word)
	switch {
	case c != nil && !a.values.Known(c), c == nil && e.Default == "":
		return
	case c == nil:
		f.Value, f.Default = e.Default, true
	default:
		f.Value, f.Place = a.text(c), c.Source.Place
		if from.Base != nil {
			a.overridden(&f, c, from.Base)
		}
	}
	a.job.Facts = append(a.job.Facts, f)
}

// otherNames are the names by which formulas reach a row besides its own.
func (a *assembler) otherNames(d *binding.Definition, e *schema.Field, own string) []string {
	var names []string
	for at := d.Base; at != nil; at = at.Base {
		names = append(names, binding.FullName(at.Name, e.Word))
	}
	if d == a.recipe.Machine {
		names = append(names, binding.FullName("machine", e.Word)) // as the built-in formulas write it
	}
	var out []string
	for _, name := range names {
		if name != "" && name != own && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// overridden notes the linked notebook's value that a cell overrides.
func (a *assembler) overridden(f *model.Fact, c *binding.Cell, base *binding.Definition) {
	was, _ := base.Find(c.Field.Word)
	if was == nil || !a.values.Known(was) {
		return
	}
	f.Was, f.WasPlace = a.text(was), was.Source.Place
	if f.Was == f.Value {
		a.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: c.Head, Fix: problem.TakeOut(""),
			Message: fmt.Sprintf("the linked notebook already states %s as %s", c.Field.Word, f.Value), Related: []problem.Related{{Place: was.Source.Place, Note: "there"}}})
	}
}

// recordFacts puts the cells of a record on the page.
func (a *assembler) recordFacts(r *binding.Record, name string) {
	for i := range r.Schema.Columns {
		e := &r.Schema.Columns[i]
		f := model.Fact{Section: model.Section{Word: r.Schema.Word, Name: name}, Word: e.Word}
		c := r.Cells[e.Word]
		switch {
		case c != nil && a.values.Known(c):
			f.Value, f.Place = a.text(c), c.Source.Place
			if e.Kind == schema.Quantity {
				f.Name = c.Name
			}
		case c == nil && e.Default != "":
			f.Value, f.Default = e.Default, true
			if e.Kind == schema.Quantity {
				f.Name = binding.FullName(r.Owner, e.Word)
			}
		default:
			continue
		}
		a.job.Facts = append(a.job.Facts, f)
	}
}

func (a *assembler) swatchFacts(d *binding.Definition) {
	marks, from := d.SwatchMarks()
	for _, m := range marks {
		section := model.Section{Word: schema.Swatch, Name: from.Title}
		press, _ := a.values.Quantity(m.Press)
		a.job.Facts = append(a.job.Facts, model.Fact{Section: section, Word: "width at press " + press.Short(), Value: a.text(m.Width), Place: m.Width.Source.Place})
		if m.Lag != nil {
			a.job.Facts = append(a.job.Facts, model.Fact{Section: section, Word: "lag at press " + press.Short(), Value: a.text(m.Lag), Place: m.Lag.Source.Place})
		}
	}
}

// text is what the page shows of a cell.
func (a *assembler) text(c *binding.Cell) string {
	switch c.Field.Kind {
	case schema.Quantity, schema.Turn:
		q, _ := a.values.Quantity(c)
		if c.Field.PlusMinus && !strings.Contains(q.String(), "±") {
			return "± " + q.String()
		}
		return q.String()
	case schema.Choice:
		return c.Word
	}
	if len(c.Source.Links) > 0 {
		return c.Source.Links[0].Label
	}
	return c.Source.String
}
