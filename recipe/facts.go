package recipe

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/resolve"
	"mahlstick/recipe/schema"
)

// factList lists the rows and cells that are used, as the page shows them.
type factList struct {
	recipe   *binding.Recipe
	values   *resolve.Values
	facts    []model.Fact
	derived  map[*schema.Field]string // defaults that depend on other rows
	problems problem.List
}

// rows lists the rows of a definition.
func (l *factList) rows(d *binding.Definition) {
	for i := range d.Schema.Rows {
		l.row(d, &d.Schema.Rows[i])
	}
}

func (l *factList) row(d *binding.Definition, e *schema.Field) {
	f := model.Fact{Section: model.Section{Word: d.Schema.Word, Name: d.Title}, Word: e.Word}
	if e.Kind == schema.Quantity {
		f.Name = binding.FullName(d.Name, e.Word)
		f.Also = l.otherNames(d, e, f.Name)
	}
	c, from := d.Find(e.Word)
	measured, has := l.values.MeasuredRow(d, e.Word)
	switch {
	case c != nil && !l.values.Known(c):
		return
	case c == nil && has:
		f.Value, f.Place = measured.String()+", measured", l.values.Calibration(d).Place()
	case c == nil && (e.Default == "" && l.derived[e] == "" || l.isMeasured(d, e.Word)):
		return
	case c == nil:
		f.Value, f.Default = cmp.Or(l.derived[e], e.Default), true
	default:
		f.Value, f.Place = text(l.values, c), c.Source.Place
		if from.Base != nil {
			l.overridden(&f, c, from.Base)
		}
	}
	l.facts = append(l.facts, f)
}

// isMeasured reports whether readings give what a row would state: the lag and the
// play, which are listed with them.
func (l *factList) isMeasured(d *binding.Definition, word string) bool {
	r := l.values.Calibration(d)
	return r != nil && d.Schema.Word == schema.Brush && (word == "lag" && len(calibrate.Trails(r.Lags)) > 0 || word == "play" && r.Play.Known())
}

// otherNames lists further names of a row in formulas.
func (l *factList) otherNames(d *binding.Definition, e *schema.Field, own string) []string {
	var names []string
	for at := d.Base; at != nil; at = at.Base {
		names = append(names, binding.FullName(at.Name, e.Word))
	}
	if d == l.recipe.Machine {
		names = append(names, binding.FullName("machine", e.Word)) // its name in the built-in formulas
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
func (l *factList) overridden(f *model.Fact, c *binding.Cell, base *binding.Definition) {
	was, _ := base.Find(c.Field.Word)
	if was == nil || !l.values.Known(was) {
		return
	}
	f.Was, f.WasPlace = text(l.values, was), was.Source.Place
	if f.Was == f.Value {
		l.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: c.Head, Fix: problem.TakeOut(""),
			Message: fmt.Sprintf("the linked notebook already states %s as %s", c.Field.Word, f.Value), Related: []problem.Related{{Place: was.Source.Place, Note: "there"}}})
	}
}

// record lists the cells of a record.
func (l *factList) record(r *binding.Record, name string) {
	for i := range r.Schema.Columns {
		e := &r.Schema.Columns[i]
		f := model.Fact{Section: model.Section{Word: r.Schema.Word, Name: name}, Word: e.Word}
		c := r.Cells[e.Word]
		switch {
		case c != nil && l.values.Known(c):
			f.Value, f.Place = text(l.values, c), c.Source.Place
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
		l.facts = append(l.facts, f)
	}
}

// swatch lists the marks of a brush.
func (l *factList) swatch(d *binding.Definition) {
	marks, from := d.SwatchMarks()
	seen := map[string]int{}
	for _, m := range marks {
		section := model.Section{Word: schema.Swatch, Name: from.Title}
		press, _ := l.values.Quantity(m.Press)
		word := "width at press " + press.Short() + l.how(m.Reading)
		if seen[word]++; seen[word] > 1 { // each has a name of its own in the record
			word += fmt.Sprintf(", reading %d", seen[word])
		}
		l.facts = append(l.facts, model.Fact{Section: section, Word: word, Value: text(l.values, m.Width), Place: m.Width.Source.Place})
		if m.Lag != nil {
			l.facts = append(l.facts, model.Fact{Section: section, Word: "lag at press " + press.Short(), Value: text(l.values, m.Lag), Place: m.Lag.Source.Place})
		}
	}
}

// how says how a mark was painted and read.
func (l *factList) how(r *binding.Reading) string {
	if r == nil {
		return ""
	}
	out := ""
	for _, part := range []struct {
		before string
		cell   *binding.Cell
	}{{" at ", r.Feed}, {" from ", r.From}, {" held ", r.Dwell}, {", ", r.By}, {", left out: ", r.LeftOut}} {
		if part.cell != nil && l.values.Known(part.cell) {
			out += part.before + text(l.values, part.cell)
		}
	}
	return out
}

// text is what the page shows of a cell.
func text(v *resolve.Values, c *binding.Cell) string {
	switch c.Field.Kind {
	case schema.Quantity, schema.Turn:
		if c.Along {
			return c.Source.String
		}
		q, _ := v.Quantity(c)
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
