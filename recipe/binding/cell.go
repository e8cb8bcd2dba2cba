package binding

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"mahlstick/recipe/format"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Cell is one stated value: that of a row, or of one column of a record.
type Cell struct {
	Field  *schema.Field
	Source section.Cell
	// Head is the place of the row's word or of the column's header.
	Head source.Place
	// Name is the cell's full name in formulas, "" if formulas cannot use it.
	Name string
	// Formula is the formula in backticks, or nil.
	Formula *formula.Formula
	// Along reports that the formula in backticks has a value only along a stroke;
	// Formula is nil then.
	Along bool
	// Known reports whether the value below could be read.
	Known    bool
	Quantity quantity.Quantity
	Word     string // the value of a schema.Choice
	Count    int    // the value of a schema.Count
}

// column is the field that a column, or a row of two cells, holds.
type column struct {
	field   *schema.Field
	head    source.Place
	unit    quantity.Unit // as the header states it
	hasUnit bool
	advised bool // how to measure it was said at a cell above
}

// reader reads tables of one notebook and collects their problems.
type reader struct {
	nb       *Notebook
	problems problem.List
}

func newReader(nb *Notebook) *reader { return &reader{nb: nb} }

// cell reads a cell; nil if it is empty. step is the smallest step of the
// caliper.
func (r *reader) cell(col column, src section.Cell, name string, step quantity.Quantity) *Cell {
	if src.Empty() {
		return nil
	}
	c := &Cell{Field: col.field, Source: src, Head: col.head, Name: name}
	switch col.field.Kind {
	case schema.Quantity, schema.Turn:
		r.quantity(c, col, step)
	case schema.WidthFormula:
		if src.Formula.Empty() {
			r.quantity(c, col, step)
		}
	case schema.Choice:
		r.choice(c)
	case schema.Count:
		r.count(c)
	default:
		c.Known = true
	}
	return c
}

func (r *reader) quantity(c *Cell, col column, step quantity.Quantity) {
	dim := col.field.Unit.Dim()
	if col.field.Kind == schema.Turn {
		dim = quantity.Angle
	}
	if !c.Source.Formula.Empty() {
		f, list := formula.Parse(c.Name, c.Source.Formula.String, c.Source.Formula.Place)
		if col.field.Along && formula.VariesAlong(f) { // nothing else has a use for its value
			c.Along, c.Name = true, ""
			return
		}
		f.Want, f.NamePlace = &dim, c.Source.Formula.Place
		c.Formula = f
		r.problems = append(r.problems, list...)
		return
	}
	text, at := c.Source.String, c.Source.Place
	if c.Field.PlusMinus {
		rest := strings.TrimLeft(strings.TrimPrefix(strings.TrimPrefix(text, "±"), "+/-"), " ")
		text, at = rest, at.Sub(len(text)-len(rest), at.End-at.Start)
	}
	want := quantity.Want{Dim: dim, Usual: col.field.Unit, Unit: col.unit, Header: col.hasUnit, Example: col.field.Sample()}
	if c.Field.Caliper {
		want.Resolution = step
	}
	q, list := quantity.Parse(text, at, want)
	if len(list) > 0 && col.field.Or != (quantity.Unit{}) {
		other := want
		other.Dim, other.Usual = col.field.Or.Dim(), col.field.Or
		if q2, faults := quantity.Parse(text, at, other); len(faults) == 0 {
			q, list = q2, nil
		}
	}
	if len(list) > 0 {
		if fix, found := r.bareFormula(text); found {
			list = problem.List{{Code: problem.NotAQuantity, Place: c.Source.Place, Fix: fix,
				Message: quote(bareText(text)) + " is a formula and needs backticks around it"}}
		} else if twoValues.MatchString(text) {
			list = problem.List{{Code: problem.NotAQuantity, Place: c.Source.Place, Fix: problem.Advise("write one value; write a difference as a formula between backticks"),
				Message: quote(text) + " holds two values"}}
		}
		r.problems = append(r.problems, list...)
		return
	}
	c.Quantity = q
	if p, swapped := swappedUncertainty(c, text, at); swapped {
		r.problems.Add(p)
		return
	}
	var limits problem.List
	c.Known, limits = CheckLimits(c, q)
	r.problems = append(r.problems, limits...)
}

// swappedUncertainty reports a ± larger than its value, in a field that must be
// more than 0: the two were probably swapped.
func swappedUncertainty(c *Cell, text string, at source.Place) (p problem.Problem, found bool) {
	if c.Field.Bound != schema.Above0 || c.Field.PlusMinus || !(c.Quantity.U(c.Field.UnitOf(c.Quantity.Dim())) > c.Quantity.In(c.Field.UnitOf(c.Quantity.Dim()))) {
		return p, false
	}
	sign := "±"
	value, rest, stated := strings.Cut(text, sign)
	if !stated {
		sign = "+/-"
		value, rest, stated = strings.Cut(text, sign)
	}
	if !stated {
		return p, false
	}
	number, unit, _ := strings.Cut(strings.TrimSpace(rest), " ")
	fix := problem.Advise("write the value first and its uncertainty after the ±")
	if value = strings.TrimSpace(value); unit != "" && !strings.Contains(value, " ") {
		fix = problem.DidYouMean(number + " " + sign + " " + value + " " + unit)
	}
	return problem.Problem{Code: problem.WrongUncertainty, Place: at, Fix: fix, Message: "the ± of " + quote(text) + " is larger than the value before it"}, true
}

// CheckLimits checks a value against the limits of its cell's field. ok is
// false for an impossible value; an unusual one is only a warning.
func CheckLimits(c *Cell, q quantity.Quantity) (ok bool, list problem.List) {
	field := c.Field
	if field.Kind == schema.Turn {
		return true, nil
	}
	x := q.In(field.UnitOf(q.Dim()))
	at := c.Source.Place
	switch {
	case field.Bound == schema.Above0 && !(x > 0):
		list.Errorf(problem.OutOfRange, at, allowed(field, "more than 0"), "%s cannot be %s", field.Word, q.Short())
	case field.Bound == schema.AtLeast0 && !(x >= 0):
		list.Errorf(problem.OutOfRange, at, allowed(field, "0 or more"), "%s cannot be %s", field.Word, q.Short())
	case field.Least > 0 && x < field.Least:
		list.Errorf(problem.OutOfRange, at, tooSmall(field, q), "%s of %s is too small: usual is %s", field.Word, q.Short(), field.Usual())
	case field.Most > 0 && (x > field.Most || x < -field.Most): // a share such as 80 may lack its %
		fix := problem.Advise("write at most " + quantity.New(field.Most, field.Unit).String())
		if field.Unit.Dim() == quantity.Pure && !strings.ContainsAny(c.Source.String, "%p") && field.IsUsual(x/100) {
			fix = problem.Write(c.Source.String + " %")
		}
		list.Errorf(problem.OutOfRange, at, fix, "%s cannot be %s", field.Word, q.Short())
	case !field.IsUsual(x):
		list.Warnf(problem.Unusual, at, problem.Advise("usual is "+field.Usual()), "%s of %s is unusual", field.Word, q.Short())
	}
	return !list.HasErrors(), list
}

// allowed is the fix for a number that is impossible for a field.
func allowed(field *schema.Field, what string) problem.Fix {
	if field.Measure != "" {
		return problem.Advise("write " + what + ": " + field.Measure)
	}
	return problem.Advise("write " + what + ", such as " + field.Sample())
}

// tooSmall is the fix for a number that is too small. The unit of a speed is
// often that of another time or length.
func tooSmall(field *schema.Field, q quantity.Quantity) problem.Fix {
	least := problem.Advise("write at least " + quantity.New(field.Least, field.Unit).Short())
	if field.Unit.Dim() != quantity.Speed {
		return least
	}
	for _, unit := range []struct {
		name   string
		factor float64
	}{{"m/min", 1000}, {"mm/s", 60}, {"cm/s", 600}} {
		if meant := q.In(field.Unit) * unit.factor; field.IsUsual(meant) {
			return problem.Advise("correct the number or the unit: " + quantity.New(meant/unit.factor, field.Unit).ShortDigits() + " " + unit.name + " would be " + quantity.New(meant, field.Unit).Short())
		}
	}
	return least
}

func (r *reader) choice(c *Cell) {
	text := strings.Trim(c.Source.String, "`")
	for _, choice := range c.Field.Choices {
		if strings.EqualFold(strings.Join(strings.Fields(text), " "), choice) {
			c.Word, c.Known = choice, true
			return
		}
	}
	fix := problem.Correction(text, c.Field.Choices).Else(problem.Advise("write " + format.Either(c.Field.Choices)))
	r.problems.Errorf(problem.UnknownWord, c.Source.Place, fix, "%s must be %s, not %q", c.Field.Word, format.Either(c.Field.Choices), text)
}

func (r *reader) count(c *Cell) {
	field := c.Field
	n, err := strconv.Atoi(c.Source.String)
	switch {
	case err != nil, n < 1, field.Most > 0 && float64(n) > field.Most, len(field.Choices) > 0 && !slices.Contains(field.Choices, c.Source.String):
		wanted := "a whole number of 1 or more"
		switch {
		case len(field.Choices) > 0:
			wanted = format.Either(field.Choices)
		case field.Most > 0 && (err == nil && n > 0 || errors.Is(err, strconv.ErrRange)):
			wanted = "a whole number from 1 to " + strconv.Itoa(int(field.Most))
		}
		fix := problem.Advise("write " + wanted)
		r.problems.Errorf(problem.NotACount, c.Source.Place, fix, "%s must be %s, not %q", field.Word, wanted, c.Source.String)
	default:
		c.Count, c.Known = n, true
	}
}

// Default reads the default of a field; ok is false if it has none.
func Default(field *schema.Field) (q quantity.Quantity, ok bool) {
	if field.Default == "" {
		return quantity.Quantity{}, false
	}
	dim := field.Unit.Dim()
	if field.Kind == schema.Turn {
		dim = quantity.Angle
	}
	q, list := quantity.Parse(strings.TrimPrefix(field.Default, "± "), source.Place{}, quantity.Of(dim))
	return q, len(list) == 0
}

// FullName is the name of a field in formulas: "fine_sable.safe_press". It is
// "" if the owner's name cannot be written in a formula.
func FullName(owner, word string) string {
	for i, c := range owner {
		letter := unicode.IsLetter(c) || i > 0 && (c == '_' || unicode.IsDigit(c) || unicode.IsMark(c))
		if !letter {
			return ""
		}
	}
	if owner == "" {
		return ""
	}
	return owner + "." + formula.Fold(word)
}

func quote(s string) string { return `"` + s + `"` }
