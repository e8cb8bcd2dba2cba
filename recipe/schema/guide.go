package schema

import (
	"fmt"
	"strings"

	"mahlstick/recipe/quantity"
)

// Guide writes the whole table as Markdown, each section under a heading of
// the given level, for the guide.
func Guide(level int) string {
	var b strings.Builder
	for i := range Sections {
		s := &Sections[i]
		what := "column"
		if s.Rows != nil {
			what = "row"
		}
		fmt.Fprintf(&b, "%s %s\n\n%s", strings.Repeat("#", level), s.Word, s.Help)
		if s.Named {
			fmt.Fprintf(&b, " It may have a name, as in `%s: fine`.", s.Word)
		}
		fmt.Fprintf(&b, "\n\n| %s | holds | without it | usual | meaning |\n|---|---|---|---|---|\n", what)
		for k := range s.Fields() {
			e := &s.Fields()[k]
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", e.Word, e.holds(), e.without(), cell(e.Usual()), cell(e.Help))
		}
		b.WriteByte('\n')
	}
	return strings.TrimRight(b.String(), "\n") + "\n"
}

// holds says what a cell takes: "a length, such as 8 mm".
func (e *Field) holds() string {
	what := e.Kind.String()
	switch e.Kind {
	case Quantity:
		what = e.Unit.Dim().A()
		if e.Unit.Dim() == quantity.Pure {
			what = "a share"
		}
	case Choice:
		return cell(strings.Join(e.Choices, ", "))
	}
	if sample := e.Sample(); sample != "" {
		what += ", such as " + sample
	}
	return cell(what)
}

func (e *Field) without() string {
	switch {
	case e.Required:
		return "an error"
	case e.Default != "":
		return cell(e.Default)
	}
	return "nothing"
}

// cell keeps bars and links of a text from being taken for Markdown's own.
func cell(s string) string {
	return strings.NewReplacer("|", `\|`, "[", `\[`, "`", "\\`", "#", `\#`).Replace(s)
}
