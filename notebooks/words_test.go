package notebooks_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
)

var update = flag.Bool("update", false, "write guide/words.md anew")

const wordsFile = "guide/words.md"

// The page of all words is made from the tables that the program itself
// uses, and must not fall behind them.
func TestWordsAreThoseOfTheProgram(t *testing.T) {
	want := words()
	if *update {
		if err := os.WriteFile(wordsFile, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(wordsFile)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(got), want); diff != "" {
		t.Errorf("%s is stale: run go test ./notebooks -run Words -update\n%s", wordsFile, diff)
	}
}

// page collects Markdown.
type page struct{ strings.Builder }

func (p *page) say(format string, args ...any) { fmt.Fprintf(p, format, args...) }

// table writes a table; its cells are Markdown.
func (p *page) table(head []string, rows [][]string) {
	line := func(cells []string) { p.say("| %s |\n", strings.Join(cells, " | ")) }
	line(head)
	p.say("|%s\n", strings.Repeat("---|", len(head)))
	for _, r := range rows {
		line(r)
	}
	p.say("\n")
}

// code shows text as code in a cell.
func code(s string) string { return "`" + strings.ReplaceAll(s, "|", `\|`) + "`" }

func words() string {
	var p page
	p.say(`# Words

All words that a recipe may use, on one page. It is made from the program's own
tables, so it is complete. The lessons, from [the first stroke](01-first-stroke.md)
on, show how to use them.

- [Sections, rows and columns](#sections-rows-and-columns)
- [Values](#values)
- [Units](#units)
- [Functions](#functions)
- [Names along a stroke](#names-along-a-stroke)
- [Operators](#operators)
- [Sheets](#sheets)
- [Inks](#inks)
- [Problems](#problems)

## Sections, rows and columns

A heading of level 2 that begins with one of these words starts a section of data. In
some sections the table has a row for each word. In others it has a column for each
word, and a line for each layer, mark or reading. *Without it* is the default if you
leave the word out. *Usual* is the range that is common in the trade: outside it you
get a warning.

`)
	p.WriteString(schema.Guide(3))
	p.say(`
## Values

`)
	p.table([]string{"in a cell", "means"}, [][]string{
		{code("8 mm"), "a number with its unit; `8mm` is the same"},
		{code("2.40 ± 0.05 mm"), "a reading with its standard uncertainty; `+/-` is the same"},
		{code("1.2 mm") + " " + code("1,2 mm"), "a point or a comma before the decimals; where the comma might separate thousands, the program asks"},
		{"`` `0.8 * brisk` ``", "a formula, between backticks"},
		{code("[fine point](../brushes/fine-point.md)"), "a link to another notebook or to a drawing"},
		{"an empty cell", "the default"},
	})
	p.say(`A formula in a cell, or on a line of a block marked ` + "`working`" + `, can use every row of the
recipe by name: ` + "`brush.safe_press`, `fine_point.widest_mark`, `sheet.margin`" + `. Blanks
and hyphens become underscores, and capitals make no difference. Formulas may be in
any order.

## Units

`)
	var rows [][]string
	for _, u := range quantity.Units() {
		var cells []string
		for _, c := range u.Cells {
			cells = append(cells, code(c))
		}
		rows = append(rows, []string{strings.Join(cells, " "), code(u.Formula), u.Dim.String(), u.Meaning})
	}
	p.table([]string{"in a cell", "in a formula", "kind", "meaning"}, rows)
	p.say("Products and quotients of these are units too: %s in a cell are %s in a\nformula.\n\n## Functions\n\n",
		code("900 mm/min"), code("900*mm/min"))
	rows = nil
	for _, f := range formula.Functions() {
		rows = append(rows, []string{code(f.Usage), f.Meaning})
	}
	p.table([]string{"function", "gives"}, rows)
	p.say("`pi` is the number. Angles have a unit: `sin(30*deg)`.\n\n## Names along a stroke\n\nOnly the width of open lines can use these; it is worked out for every point of\nevery stroke.\n\n")
	rows = nil
	for _, v := range formula.Variables() {
		rows = append(rows, []string{code(v.Name), v.Meaning})
	}
	p.table([]string{"name", "means"}, rows)
	feedNames(&p)
	operators(&p)
	rows = nil
	for _, c := range problem.Codes() {
		rows = append(rows, []string{code(string(c.Code)), c.Meaning})
	}
	p.table([]string{"code", "means"}, rows)
	return strings.TrimRight(p.String(), "\n") + "\n"
}

// feedNames are the names that a feed may use.
func feedNames(p *page) {
	p.say("The feed of a layer can use these; `width` and `press` are those of the mark there.\n\n")
	var rows [][]string
	for _, v := range formula.FeedVariables() {
		rows = append(rows, []string{code(v.Name), v.Meaning})
	}
	p.table([]string{"name in a feed", "means"}, rows)
}

// operators are the parts of the page that no table of the program has.
func operators(p *page) {
	p.say("## Operators\n\n")
	p.table([]string{"operator", "gives"}, [][]string{
		{code("+ -"), "sum and difference of two values of one kind"},
		{code("* /"), "product and quotient; units are multiplied and divided too"},
		{code("^"), "a power: `half^2`"},
		{code("< <= > >= == !="), "a comparison of two values of one kind"},
		{code("and or not"), "joins comparisons"},
		{code("test ? a : b"), "a if the test is true, otherwise b: `press > 4*mm ? slow : brisk`"},
	})
	p.say("## Sheets\n\n%s.\n\nAfter the name write `portrait` or `landscape`. Write any other size as width and\nheight, such as `210 x 297 mm`.\n\n## Inks\n\nThese names have a colour on the page. For any other ink, add its colour after the\nname, such as `plum jam #5a2a3a`.\n\n%s.\n\n## Problems\n\nEvery message ends with one of these in square brackets.\n\n",
		wrap(schema.SheetNames()), wrap(schema.InkNames()))
}

// wrap lists names with commas, on lines of readable length.
func wrap(names []string) string {
	var b strings.Builder
	width := 0
	for i, n := range names {
		if i > 0 {
			b.WriteByte(',')
			width++
		}
		if width+1+len(n) > 80 {
			b.WriteByte('\n')
			width = 0
		} else if i > 0 {
			b.WriteByte(' ')
			width++
		}
		b.WriteString(n)
		width += len(n)
	}
	return b.String()
}
