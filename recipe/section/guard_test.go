package section_test

import (
	"strings"
	"testing"

	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// What would keep the Markdown library busy for minutes is refused with its
// place, wherever it stands; what is a little smaller is read.
func TestGuard(t *testing.T) {
	lines := func(line string, n int) string { return strings.Repeat(line+"\n", n) }
	wide := "|" + strings.Repeat("a|", 200) + "\n|" + strings.Repeat("-|", 200) + "\n"
	for _, test := range []struct {
		name, text, at string // "" for a text that is read
	}{
		{"pictures", "# a\n\n" + lines("![a](", section.MaxParagraphLines+1), "a.md:3:1"},
		{"references", lines("[a]: x", section.MaxParagraphLines+1), "a.md:1:1"},
		{"in a quote", lines("> [a](", section.MaxParagraphLines+1), "a.md:1:3"},
		{"in a list", "- a\n" + lines("  [a](", section.MaxParagraphLines), "a.md:1:3"},
		{"behind a quote", "> a\n" + lines("[a](", section.MaxParagraphLines), "a.md:1:3"},
		{"underlined", "a\n\n" + lines("a", section.MaxParagraphLines+1) + "===\n", "a.md:3:1"},
		{"a long table", "| a |\n|---|\n" + lines("| 1 |", section.MaxParagraphLines), "a.md:1:1"},
		{"a wide table", wide + lines("|1|", section.MaxCells/200), "a.md:1:1"},
		{"many tables", wide + lines("|1|", section.MaxCells/400) + "\na\n" + wide + lines("|1|", section.MaxCells/400), "a.md:1254:1"},
		{"links", "[a]: " + strings.Repeat("x", 10_000) + "\n\n" + lines("[a]", section.MaxLinks/10_000+1), "a.md:1:1"},
		{"long enough", lines("![a](", section.MaxParagraphLines), ""},
		{"wide enough", wide + lines("|1|", section.MaxCells/200-10), ""},
		{"links enough", "[a]: " + strings.Repeat("x", 10_000) + "\n\n" + lines("[a]", section.MaxLinks/10_000), ""},
		{"formulas", "```working\n" + lines("a = 1", 3*section.MaxParagraphLines) + "```\n", ""},
	} {
		doc, list := section.Read(source.New("a.md", []byte(test.text)), []string{"Brush"})
		switch {
		case test.at == "" && (len(list) > 0 || doc.Incomplete):
			t.Errorf("%s: %v", test.name, list)
		case test.at != "" && (len(list) != 1 || list[0].Code != "long-paragraph" || list[0].Place.String() != test.at || !doc.Incomplete):
			t.Errorf("%s: %v, want one at %s", test.name, list, test.at)
		}
	}
}
