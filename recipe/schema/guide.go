package schema

import (
	"fmt"
	"strings"

	"mahlstick/recipe/quantity"
)

// Guide is the whole table as Markdown for the guide, each section under a
// heading of the given level.
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
		fmt.Fprintf(&b, "\n\n| %s | holds | default | usual | meaning |\n|---|---|---|---|---|\n", what)
		s.list(&b)
		if s.Word == Results {
			for _, further := range []*Section{&SetOffs, &Painted, &Widths} {
				fmt.Fprintf(&b, "\n%s\n\n| %s | holds | default | usual | meaning |\n|---|---|---|---|---|\n", further.Help, what)
				further.list(&b)
			}
		}
		b.WriteByte('\n')
	}
	return strings.TrimRight(b.String(), "\n") + "\n"
}

// list writes a line for each row or column.
func (s *Section) list(b *strings.Builder) {
	for k := range s.Fields() {
		f := &s.Fields()[k]
		fmt.Fprintf(b, "| %s | %s | %s | %s | %s |\n", f.Word, f.holds(), f.without(), cell(f.Usual()), cell(f.Help))
	}
}

// holds describes what a cell takes: "a length, such as 8 mm".
func (f *Field) holds() string {
	what := f.Kind.String()
	switch f.Kind {
	case Quantity:
		what = f.Unit.Dim().WithArticle()
		if f.Unit.Dim() == quantity.Pure {
			what = "a share"
		}
	case Choice:
		return cell(strings.Join(f.Choices, ", "))
	}
	if f.Or != (quantity.Unit{}) {
		what += " or " + f.Or.Dim().WithArticle()
	}
	if sample := f.Sample(); sample != "" {
		what += ", such as " + sample
	}
	return cell(what)
}

func (f *Field) without() string {
	switch {
	case f.Required:
		return "required"
	case f.Derived != "":
		return cell(f.Derived)
	case f.Default != "":
		return cell(f.Default)
	}
	return "none"
}

// cell escapes the Markdown in a text.
func cell(s string) string {
	return strings.NewReplacer("|", `\|`, "[", `\[`, "`", "\\`", "#", `\#`).Replace(s)
}
