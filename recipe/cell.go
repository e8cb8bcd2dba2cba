package recipe

import (
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// cell is one stated value: of a row, or where a line meets a column.
type cell struct {
	field *schema.Field
	src   section.Cell
	// head is the row's word or the column's header.
	head source.Place
	// name is the full name in formulas, "" where none can reach it.
	name string
	f    *formula.Formula // of a cell in backticks
	// known says that the value below could be read.
	known bool
	q     quantity.Quantity
	word  string // of a choice
	count int
}

// column is what is known of a column, or of a row with two cells.
type column struct {
	field *schema.Field
	head  source.Place
	unit  quantity.Unit // as the header states it
	has   bool
}

// cell reads a stated cell; it answers nil for an empty one. step is the step
// of the instrument.
func (r *reader) cell(nb *notebook, col column, src section.Cell, name string, step quantity.Quantity) *cell {
	if src.Empty() {
		return nil
	}
	c := &cell{field: col.field, src: src, head: col.head, name: name}
	switch col.field.Kind {
	case schema.Quantity, schema.Turn:
		r.quantity(nb, c, col, step)
	case schema.WidthFormula:
		if src.Formula.Empty() {
			r.quantity(nb, c, col, step)
		}
	case schema.Choice:
		r.choice(c)
	case schema.Count:
		r.whole(c)
	default:
		c.known = true
	}
	return c
}

func (r *reader) quantity(nb *notebook, c *cell, col column, step quantity.Quantity) {
	dim := col.field.Unit.Dim()
	if col.field.Kind == schema.Turn {
		dim = quantity.Angle
	}
	if !c.src.Formula.Empty() {
		f, list := formula.Parse(c.name, c.src.Formula.String, c.src.Formula.Place)
		f.Want, f.NamePlace = &dim, c.src.Formula.Place
		c.f = f
		r.problems = append(r.problems, list...)
		return
	}
	text, at := c.src.String, c.src.Place
	if c.field.PlusMinus {
		rest := strings.TrimLeft(strings.TrimPrefix(strings.TrimPrefix(text, "±"), "+/-"), " ")
		text, at = rest, at.Sub(len(text)-len(rest), at.End-at.Start)
	}
	want := quantity.Want{Dim: dim, Usual: col.field.Unit, Unit: col.unit, Header: col.has, Example: col.field.Sample()}
	if c.field.Caliper {
		want.Resolution = step
	}
	q, list := quantity.Parse(text, at, want)
	if len(list) > 0 {
		// Half of the pair may be missing, and some editors turn it into quotes.
		if bare := strings.Trim(text, "`'‘’´\"“”"); nb.isFormula(bare, list[0].Code) {
			list = problem.List{{Code: problem.NotAQuantity, Place: c.src.Place, Fix: problem.Write("`" + bare + "`"),
				Message: quote(bare) + " is a formula; in a cell it stands between backticks"}}
		}
		r.problems = append(r.problems, list...)
		return
	}
	c.q, c.known = q, true
	if r.swapped(c, text, at) {
		return
	}
	r.limits(c)
}

// isFormula says whether a text that is no quantity is a formula: one over
// names that the notebook's working blocks define, or one that multiplies.
func (nb *notebook) isFormula(text string, code problem.Code) bool {
	f, list := formula.Parse("", text, source.Place{})
	names := f.Names()
	switch {
	case len(list) > 0:
		return false
	case strings.ContainsAny(text, "*("):
		return true
	case len(names) == 0 || code != problem.NotAQuantity:
		return false
	}
	defined := map[string]bool{}
	for _, fence := range nb.doc.Fences {
		for _, line := range fence.Lines {
			defined[formula.Fold(line.Name.String)] = true
		}
	}
	return !slices.ContainsFunc(names, func(name string) bool { return !defined[name] && !strings.Contains(name, ".") })
}

// swapped tells of a ± that is larger than a value that must be more than 0:
// the two have changed places.
func (r *reader) swapped(c *cell, text string, at source.Place) bool {
	if c.field.Bound != schema.Above0 || c.field.PlusMinus || !(c.q.U(c.field.Unit) > c.q.In(c.field.Unit)) {
		return false
	}
	sign := "±"
	value, rest, stated := strings.Cut(text, sign)
	if !stated {
		sign = "+/-"
		value, rest, stated = strings.Cut(text, sign)
	}
	if !stated {
		return false
	}
	number, unit, _ := strings.Cut(strings.TrimSpace(rest), " ")
	fix := problem.Advise("write the value first and how sure you are of it behind the ±")
	if value = strings.TrimSpace(value); unit != "" && !strings.Contains(value, " ") {
		fix = problem.Write(number + " " + sign + " " + value + " " + unit)
	}
	r.problems.Errorf(problem.WrongUncertainty, at, fix, "the ± of %q is larger than the value before it", text)
	c.known = false
	return true
}

// limits tells of values that cannot be, and of those that are not usual.
func (r *reader) limits(c *cell) {
	e := c.field
	if e.Kind == schema.Turn {
		return
	}
	x := c.q.In(e.Unit)
	at := c.src.Place
	switch {
	case e.Bound == schema.Above0 && !(x > 0):
		r.problems.Errorf(problem.OutOfRange, at, problem.Advise("write more than 0, such as "+e.Sample()), "%s cannot be %s", e.Word, c.q.Short())
		c.known = false
	case e.Bound == schema.AtLeast0 && !(x >= 0):
		r.problems.Errorf(problem.OutOfRange, at, problem.Advise("write 0 or more, such as "+e.Sample()), "%s cannot be %s", e.Word, c.q.Short())
		c.known = false
	case e.Most > 0 && (x > e.Most || x < -e.Most):
		fix := problem.Advise("write at most " + quantity.New(e.Most, e.Unit).String())
		if e.Unit.Dim() == quantity.Pure && !strings.ContainsAny(c.src.String, "%p") && e.IsUsual(x/100) {
			fix = problem.Write(c.src.String + " %")
		}
		r.problems.Errorf(problem.OutOfRange, at, fix, "%s cannot be %s", e.Word, c.q.Short())
		c.known = false
	case !e.IsUsual(x):
		r.problems.Warnf(problem.Unusual, at, problem.Advise("usual is "+e.Usual()), "%s of %s is unusual", e.Word, c.q.Short())
	}
}

func (r *reader) choice(c *cell) {
	text := strings.Trim(c.src.String, "`")
	for _, choice := range c.field.Choices {
		if strings.EqualFold(strings.Join(strings.Fields(text), " "), choice) {
			c.word, c.known = choice, true
			return
		}
	}
	fix := problem.Advise("write " + either(c.field.Choices))
	if near, ok := problem.Nearest(text, c.field.Choices); ok {
		fix = problem.Write(near)
	}
	r.problems.Errorf(problem.UnknownWord, c.src.Place, fix, "%s is %s, not %q", c.field.Word, either(c.field.Choices), text)
}

// either lists words: "a, b or c".
func either(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

func (r *reader) whole(c *cell) {
	e := c.field
	n, err := strconv.Atoi(c.src.String)
	switch {
	case err != nil, n < 1, e.Most > 0 && float64(n) > e.Most, len(e.Choices) > 0 && !slices.Contains(e.Choices, c.src.String):
		fix := problem.Write(e.Sample())
		wanted := "a whole number from 1 on"
		if len(e.Choices) > 0 {
			wanted = either(e.Choices)
		}
		r.problems.Errorf(problem.NotACount, c.src.Place, fix, "%s is %s, not %q", e.Word, wanted, c.src.String)
	default:
		c.count, c.known = n, true
	}
}

// text is what the page shows of a cell.
func (c *cell) text() string {
	switch c.field.Kind {
	case schema.Quantity, schema.Turn:
		if c.field.PlusMinus && !strings.Contains(c.q.String(), "±") {
			return "± " + c.q.String()
		}
		return c.q.String()
	case schema.Choice:
		return c.word
	}
	if len(c.src.Links) > 0 {
		return c.src.Links[0].Label
	}
	return c.src.String
}

// reachable is the full name of something in formulas, or "" where its parts
// cannot be written there.
func reachable(owner, word string) string {
	for i, c := range owner {
		letter := c == '_' && i > 0 || isLetter(c) || i > 0 && isDigit(c)
		if !letter {
			return ""
		}
	}
	if owner == "" {
		return ""
	}
	return owner + "." + formula.Fold(word)
}
