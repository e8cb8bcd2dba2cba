package section

import (
	"testing"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"mahlstick/recipe/source"
)

// The cells that are read from the lines are those that the Markdown library
// sees, as long as it sees them: an upgrade that reads tables otherwise fails
// here.
func TestCellsAsTheLibrarySeesThem(t *testing.T) {
	texts := []string{
		"| a | b |\n|---|---|\n| 1 | 2 |\n| x \\| y | `p\\|q` |\n|3|4|\n  | 5 |  6  \n7 | 8 |\n",
		"a | b\n-|-\n1 | 2\n|| 3\n",
		"> | a | b |\n> |:-:|--:|\n> | 1 | 2 |\n",
		"- | a | b |\n  |---|---|\n  | ± | 筆 |\r\n",
		"text\n| a |\n|---|\n| 1 |\n",
	}
	for _, text := range texts {
		in := &input{file: source.New("a.md", []byte(text)), text: []byte(text)}
		cells := 0
		_ = ast.Walk(tree(text), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if !entering || n.Kind() != east.KindTableRow && n.Kind() != east.KindTableHeader {
				return ast.WalkContinue, nil
			}
			spans := in.split(n.Pos(), in.lineEnd(n.Pos()))
			i := 0
			for cell := n.FirstChild(); cell != nil; cell = cell.NextSibling() {
				if cell.Lines().Len() == 0 {
					continue // made up for a short row
				}
				seg := cell.Lines().At(0)
				if got, want := text[spans[i].start:spans[i].end], string(seg.Value([]byte(text))); got != want {
					t.Errorf("%q: cell %d of %q is %q, the library has %q", text, i, in.text[n.Pos():in.lineEnd(n.Pos())], got, want)
				}
				i++
				cells++
			}
			return ast.WalkContinue, nil
		})
		if cells == 0 {
			t.Errorf("%q has no cells", text)
		}
	}
}

// What the library drops silently and this package reports. If the library stops
// doing one of them, the report must be checked.
func TestSilencesOfTheLibrary(t *testing.T) {
	count := func(text string) (tables, cells int) {
		_ = ast.Walk(tree(text), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if entering && n.Kind() == east.KindTable {
				tables++
			}
			if entering && n.Kind() == east.KindTableCell {
				cells++
			}
			return ast.WalkContinue, nil
		})
		return tables, cells
	}
	for _, test := range []struct {
		name, text    string
		tables, cells int
	}{
		{"surplus cells vanish", "| a |\n|---|\n| 1 | 2 |\n", 1, 2},
		{"a short rule makes text", "| a | b |\n|---|\n| 1 | 2 |\n", 0, 0},
		{"a long rule makes up columns", "| a |\n|---|---|\n| 1 |\n", 1, 4},
		{"text below becomes a row", "| a |\n|---|\n| 1 |\ntext\n", 1, 3},
	} {
		if tables, cells := count(test.text); tables != test.tables || cells != test.cells {
			t.Errorf("%s: %d tables, %d cells", test.name, tables, cells)
		}
	}
}

func tree(text string) ast.Node {
	root, _ := parse([]byte(text))
	return root
}
