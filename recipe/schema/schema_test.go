package schema_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/source"
)

// ISO 216:2007 (A and B) and ISO 269 (C), as several public copies
// print them; the file names the source. Letter and legal are 8.5 x 11 in and
// 8.5 x 14 in (ASME Y14.1, from memory) of 25.4 mm.
func TestSheetSizes(t *testing.T) {
	file, err := os.Open("testdata/sheets.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil || len(rows) != 12 {
		t.Fatal(len(rows), err)
	}
	for _, row := range rows[1:] {
		for i, letter := range []string{"A", "B", "C"} {
			name := letter + row[0]
			w, h, written, ok := schema.SheetSize(strings.ToLower(name))
			if got := fmt.Sprintf("%g x %g", w, h); !ok || written != name || got != row[1+2*i]+" x "+row[2+2*i] {
				t.Errorf("%s is %s x %s, not %s (%s)", name, row[1+2*i], row[2+2*i], got, written)
			}
		}
	}
	for name, want := range map[string][2]float64{"letter": {8.5 * 25.4, 11 * 25.4}, "Legal": {8.5 * 25.4, 14 * 25.4}} {
		w, h, _, ok := schema.SheetSize(name)
		if !ok || w-want[0] > 1e-9 || want[0]-w > 1e-9 || h-want[1] > 1e-9 || want[1]-h > 1e-9 {
			t.Errorf("%s is %g x %g", name, w, h)
		}
	}
	for _, name := range []string{"A11", "D4", "", "A", "A-1", "A04"} {
		if _, _, _, ok := schema.SheetSize(name); ok {
			t.Errorf("%q is no sheet", name)
		}
	}
	if n := len(schema.SheetNames()); n != 35 {
		t.Errorf("%d names", n)
	}
}

// The table itself: words once, defaults and examples that can be read, usual
// ranges that hold their defaults, help for all.
func TestTable(t *testing.T) {
	for _, s := range schema.Sections {
		if (s.Rows == nil) == (s.Columns == nil) || s.Help == "" {
			t.Errorf("%s has rows and columns, neither, or no help", s.Word)
		}
		if schema.Find(s.Word).Word != s.Word {
			t.Errorf("%s is not found", s.Word)
		}
		seen := map[string]bool{}
		for _, f := range s.Fields() {
			where := s.Word + ": " + f.Word
			if seen[f.Word] {
				t.Errorf("%s is listed twice", where)
			}
			seen[f.Word] = true
			if found := s.Find(strings.ToUpper(strings.ReplaceAll(f.Word, " ", "-"))); found == nil || found.Word != f.Word {
				t.Errorf("%s is not found by its word", where)
			}
			checkField(t, where, &f)
		}
	}
}

func checkField(t *testing.T, where string, f *schema.Field) {
	if f.Word != strings.ToLower(f.Word) || !strings.HasSuffix(f.Help, ".") {
		t.Errorf("%s has capitals or no help", where)
	}
	if f.Required && (f.Default != "" || f.Example == "") {
		t.Errorf("%s is required and has a default, or no example", where)
	}
	if f.Kind == schema.Choice && f.Default != "" && !slices.Contains(f.Choices, f.Default) {
		t.Errorf("%s: %q is none of %v", where, f.Default, f.Choices)
	}
	if f.Kind != schema.Quantity {
		return
	}
	for _, text := range []string{f.Default, f.Example} {
		if text == "" {
			continue
		}
		q, list := quantity.Parse(strings.TrimPrefix(text, "± "), source.Place{}, quantity.Of(f.Unit.Dim()))
		if len(list) > 0 {
			t.Errorf("%s: %v", where, list)
		}
		x := q.In(f.Unit)
		if !f.IsUsual(x) || f.Most > 0 && x > f.Most || f.Bound == schema.Above0 && x <= 0 {
			t.Errorf("%s: %s is not usual: %s", where, text, f.Usual())
		}
	}
}

func TestNearest(t *testing.T) {
	for _, test := range []struct{ section, word, want string }{
		{"Brush", "safe pres", "safe press"}, {"Brush", "Safe-Press", "safe press"}, {"Brush", "wides mark", "widest mark"}, {"Sheet", "border", "margin"},
		{"Layers", "speed", "feed"}, {"Layers", "colour", "ink"}, {"Machine", "reachx", "reach x"}, {"Swatch", "widht", "width"}, {"Layers", "quality", ""}, {"Machine", "", ""},
		{"Brush", "depth", ""},
	} {
		if got, _ := schema.Find(test.section).Nearest(test.word); got != test.want {
			t.Errorf("%s: %q is near to %q, want %q", test.section, test.word, got, test.want)
		}
	}
}

func TestInks(t *testing.T) {
	hex := regexp.MustCompile(`^#[0-9a-f]{6}$`)
	seen := map[string]string{}
	for _, name := range schema.InkNames() {
		colour, ok := schema.InkColour("  " + strings.ToUpper(name))
		if !ok || !hex.MatchString(colour) {
			t.Errorf("%s: %q", name, colour)
		}
		if other := seen[colour]; other != "" {
			t.Errorf("%s and %s have one colour", name, other)
		}
		seen[colour] = name
	}
	for _, word := range []string{"ochre", "indigo", "slate", "moss", "straw", "sepia", "vermilion"} {
		if _, ok := schema.InkColour(word); !ok {
			t.Errorf("%s is no ink", word)
		}
	}
}

// The guide has a line for every row and column, and its tables are tables.
func TestGuide(t *testing.T) {
	text := schema.Guide(3)
	lines := map[string]int{}
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "| ") {
			cells := strings.Split(strings.ReplaceAll(line, `\|`, ""), "|")
			if len(cells) != 7 {
				t.Errorf("%d cells: %s", len(cells)-2, line)
			}
			lines[strings.TrimSpace(cells[1])]++
		}
	}
	for _, s := range schema.Sections {
		if !strings.Contains(text, "### "+s.Word+"\n") {
			t.Errorf("no heading for %s", s.Word)
		}
		for _, e := range s.Fields() {
			if lines[e.Word] == 0 {
				t.Errorf("no line for %s", e.Word)
			}
		}
	}
}

// A word with more words round it means the row whose parts it all has; other
// words for a section lead to one that there is.
func TestOtherWords(t *testing.T) {
	for _, test := range []struct{ section, word, want string }{
		{"Machine", "reach Z axis", "reach z"},
		{"Machine", "axis z reach", "reach z"},
		{"Machine", "the safe height", "safe height"},
		{"Brush", "safe press depth", "safe press"},
		{"Brush", "tip offset y of it", "tip offset y"},
		{"Sheet", "margins", "margin"},
		{"Machine", "reach x and reach y", ""}, // two rows in one
		{"Machine", "reach", ""},
	} {
		if got, _ := schema.Find(test.section).Nearest(test.word); got != test.want {
			t.Errorf("%s: %q is near to %q, want %q", test.section, test.word, got, test.want)
		}
	}
	for heading, want := range map[string]string{"Paper": "Sheet", "MARKS": "Registration", "colours": "Layers", "router": "Machine", "Sheet": "", "heron": ""} {
		if got := schema.SectionFor(heading); got != want || want != "" && schema.Find(got) == nil {
			t.Errorf("%q means %q, want %q", heading, got, want)
		}
	}
}
