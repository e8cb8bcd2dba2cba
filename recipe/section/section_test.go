package section_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

var words = []string{"Sheet", "Brush", "Layers", "Results"}

func read(text string) (*section.Document, problem.List) {
	return section.Read(source.New("a.md", []byte(text)), words)
}

// show writes a document's data down in a form that can be compared.
func show(d *section.Document) string {
	var b strings.Builder
	fmt.Fprintf(&b, "title %q at %s\n", d.Title.String, d.Title.Place)
	for _, s := range d.Sections {
		fmt.Fprintf(&b, "%s name %q rest %q at %s\n", s.Word, s.Name.String, s.Rest.String, s.Heading.Place)
		for _, l := range s.Links {
			fmt.Fprintf(&b, "  link %q to %q # %q at %s, target at %s %q\n", l.Label, l.Target, l.Fragment, l.Place, l.TargetPlace, l.TargetPlace.Text())
		}
		for _, e := range s.Entries {
			if !e.Heading.Empty() {
				fmt.Fprintf(&b, "  entry %q at %s\n", e.Heading.String, e.Heading.Place)
			}
			for _, t := range e.Tables {
				showTable(&b, t)
			}
		}
	}
	for _, f := range d.Fences {
		for _, l := range f.Lines {
			fmt.Fprintf(&b, "working %q@%s = %q@%s # %q\n", l.Name.String, l.Name.Place, l.Formula.String, l.Formula.Place, l.Remark)
		}
	}
	return b.String()
}

func showTable(b *strings.Builder, t *section.Table) {
	fmt.Fprintf(b, "  table at %s\n", t.Place)
	for i, row := range append([]section.Row{{Cells: t.Header}}, t.Rows...) {
		fmt.Fprintf(b, "    %d:", i)
		for _, c := range row.Cells {
			fmt.Fprintf(b, " [%q %s]", c.String, c.Place)
			if !c.Formula.Empty() {
				fmt.Fprintf(b, "=%q@%d", c.Formula.String, c.Formula.Place.Column())
			}
			for _, l := range c.Links {
				fmt.Fprintf(b, "->%q %q@%d", l.Label, l.Target, l.TargetPlace.Column())
			}
		}
		b.WriteByte('\n')
	}
}

func TestRead(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"headings and cells", "# A *fine* day\n\n## Brush: fine sable\n| brush | |\n|---|---|\n| safe press | 5.0 mm |\n",
			`title "A fine day" at a.md:1:3
Brush name "fine sable" rest "" at a.md:3:4
  table at a.md:4:1
    0: ["brush" a.md:4:3] ["" a.md:4:11]
    1: ["safe press" a.md:6:3] ["5.0 mm" a.md:6:16]
`},
		{"byte order mark and carriage returns", "\xef\xbb\xbf# T\r\n## sheet\r\n| a | b |\r\n|-|-|\r\n| ± | `x` |\r\n",
			`title "T" at a.md:1:4
Sheet name "" rest "" at a.md:2:4
  table at a.md:3:1
    0: ["a" a.md:3:3] ["b" a.md:3:7]
    1: ["±" a.md:5:3] ["` + "`x`" + `" a.md:5:7]="x"@8
`},
		{"old carriage returns", "# T\r## Sheet\r| a |\r|---|\r| 1 |\r",
			`title "T" at a.md:1:3
Sheet name "" rest "" at a.md:2:4
  table at a.md:3:1
    0: ["a" a.md:3:3]
    1: ["1" a.md:5:3]
`},
		{"bars, short rows, backticks", "## Layers now\n| a | b | c |\n|---|---|---|\n| `x \\|\\| y` | ``a`b`` |\n|||\n",
			`title "" at -
Layers name "" rest "now" at a.md:1:4
  table at a.md:2:1
    0: ["a" a.md:2:3] ["b" a.md:2:7] ["c" a.md:2:11]
    1: ["` + "`x ||   y`" + `" a.md:4:3]="x ||   y"@4 ["` + "``a`b``" + `" a.md:4:16]="a` + "`" + `b"@18 ["" a.md:4:25]
    2: ["" a.md:5:2] ["" a.md:5:4] ["" a.md:5:4]
`},
		{"links", "## Layers\nSee [the *fine* one](../b%20c.md#x \"t\") and [ref][r].\n\n| a |\n|---|\n| [l](<x y.md>) |\n\n[r]: other.md\n",
			`title "" at -
Layers name "" rest "" at a.md:1:4
  link "the fine one" to "../b c.md" # "x" at a.md:2:5, target at a.md:2:22 "../b%20c.md#x"
  link "ref" to "other.md" # "" at a.md:2:45, target at a.md:2:45 "[ref]"
  table at a.md:4:1
    0: ["a" a.md:4:3]
    1: ["[l](<x y.md>)" a.md:6:3]->"l" "x y.md"@8
`},
		{"working blocks", "text\n```working\nhalf = w / 2   # of it\n\n# alone\nslant=sqrt(half)\n```\n- item\n\n  ```working\n  inner = 1\n  ```\n",
			`title "" at -
working "half"@a.md:3:1 = "w / 2"@a.md:3:8 # "of it"
working "slant"@a.md:6:1 = "sqrt(half)"@a.md:6:7 # ""
working "inner"@a.md:11:3 = "1"@a.md:11:11 # ""
`},
		{"entries", "## Results\nbefore\n### One, *1*\n| a |\n|---|\n| 1 |\n### Two\ntext\n## Other\n| no |\n|---|\n",
			`title "" at -
Results name "" rest "" at a.md:1:4
  entry "One, 1" at a.md:3:5
  table at a.md:4:1
    0: ["a" a.md:4:3]
    1: ["1" a.md:6:3]
  entry "Two" at a.md:7:5
`},
		{"underlined headings", "Title\n=====\n\nBrush : x\n---\n", `title "Title" at a.md:1:1
Brush name "x" rest "" at a.md:4:1
`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, problems := read(test.text)
			if diff := cmp.Diff(test.want, show(d)); diff != "" {
				t.Error(diff)
			}
			if len(problems) > 0 {
				t.Error(problems)
			}
		})
	}
}

// Each lint with its code, the text at fault and the text after the fix; after a
// question mark the advice, where a fix would have to guess.
func TestLints(t *testing.T) {
	const table = "## Sheet\n| a | b |\n|---|---|\n"
	tests := []struct{ name, text, code, at, fixed string }{
		{"surplus cell", table + "| size | A4 | portrait |\n", "surplus-cell", "A4 | portrait", "? did you mean A4 portrait?"},
		{"surplus cell behind a quantity", table + "| margin | 8 mm | 3 |\n", "surplus-cell", "8 mm | 3", "? keep only 8 mm here, or add a column"},
		{"surplus cell behind an uncertain one", table + "| margin | 8 ± 0.1 mm | mm |\n", "surplus-cell", "8 ± 0.1 mm | mm", "? keep only 8 ± 0.1 mm here, or add a column"},
		{"surplus cell behind a formula", table + "| margin | `edge` | x |\n", "surplus-cell", "`edge` | x", "? keep only `edge` here, or add a column"},
		{"surplus cell behind a link", table + "| paper | [laid](laid.md) | x |\n", "surplus-cell", "[laid](laid.md) | x", "? keep only [laid](laid.md) here, or add a column"},
		{"surplus empty cell", table + "| size | A4 | |\n", "surplus-cell", "A4 |", table + "| size | A4 |\n"},
		{"bar in code", table + "| size | `a || b` |\n", "unescaped-bar", "||", table + "| size | `a \\|\\| b` |\n"},
		{"bar in code, short row", table + "| `a | b` |\n", "unescaped-bar", "|", table + "| `a \\| b` |\n"},
		{"short rule", "## Sheet\n| a | b |\n|---|\n| 1 | 2 |\n", "rule-row", "|---|", "## Sheet\n| a | b |\n|---|---|\n| 1 | 2 |\n"},
		{"long rule", "## Sheet\n| a | b |\n|---|---|---|\n| 1 | 2 |\n", "rule-row", "|---|---|---|", "## Sheet\n| a | b |\n|---|---|\n| 1 | 2 |\n"},
		{"rule of crosses", "## Sheet\n| a | b |\n|---+---|\n| 1 | 2 |\n", "rule-row", "|---+---|", "## Sheet\n| a | b |\n|---|---|\n| 1 | 2 |\n"},
		{"long dashes", "## Sheet\na | b\n—|—\n1 | 2\n", "rule-row", "—|—", "## Sheet\na | b\n|---|---|\n1 | 2\n"},
		{"no rule", "## Sheet\n| a | b |\n| 1 | 2 |\n", "rule-row", "| a | b |", "## Sheet\n| a | b |\n|---|---|\n| 1 | 2 |\n"},
		{"glued text", table + "| 1 | 2 |\nA remark.\n", "glued-text", "A remark.", table + "| 1 | 2 |\n\nA remark.\n"},
		{"unclosed working", "```working\na = 1\nb = 2\n\n## Sheet\nx\n", "unclosed-fence", "b = 2", "```working\na = 1\nb = 2\n```\n\n## Sheet\nx\n"},
		{"unclosed before more formulas", "```working\na = 1\n\nb = 2\n", "unclosed-fence", "a = 1", "? write ``` where the block ends"},
		{"unclosed at the end", "~~~~ working\na = 1", "unclosed-fence", "a = 1", "~~~~ working\na = 1\n~~~~"},
		{"unclosed and empty", "```\n", "unclosed-fence", "```", "```\n```\n"},
		{"no equals sign", "```working\na + 1 # x\n```\n", "working-line", "a + 1", "? write name = formula"},
		{"a colon", "```working\na : 1 # x\n```\n", "working-line", "a : 1", "```working\na = 1 # x\n```\n"},
		{"a colon and an equals sign", "```working\na := 1\n```\n", "working-line", "a := 1", "```working\na = 1\n```\n"},
		{"no equals sign, but a choice", "```working\na ? 1 : 2\n```\n", "working-line", "a ? 1 : 2", "? write name = formula"},
		{"no name", "```working\n= 1\n```\n", "working-line", "=", "? write its name before the ="},
		{"no formula", "```working\na = # x\n```\n", "working-line", "a =", ""},
		{"no space after #", "##Sheet: large\n| a | b |\n|---|---|\n", "unknown-section", "##Sheet: large", "## Sheet: large\n| a | b |\n|---|---|\n"},
		{"no blank and too few #", "# A\n\n#sheet\n\n| a | b |\n|---|---|\n", "unknown-section", "#sheet", "# A\n\n## sheet\n\n| a | b |\n|---|---|\n"},
		{"raw HTML", "<div>\nx\n</div>\n", "raw-html", "<div>", ""},
		{"raw HTML in a line", "a <b>x</b>\n", "raw-html", "<b>x</b>", ""},
		{"far picture", "![x](https://example.org/a.png)\n", "far-picture", "https://example.org/a.png", ""},
		{"not text", "# A\nb\xff\n", "not-text", "\xff", ""},
		{"other encoding", "\xff\xfe#\x00", "not-text", "\xff\xfe", ""},
		{"zero byte", "# A\x00\n", "not-text", "\x00", ""},
		{"too large", strings.Repeat("a\n", section.MaxBytes/2+1), "too-large", "", ""},
		{"long line", "a\n" + strings.Repeat("a", section.MaxLineBytes+1), "long-line", "", ""},
		{"deep quotes", strings.Repeat(">", section.MaxNesting+1) + "a\n", "deep-nesting", "", ""},
		{"deep lists", strings.Repeat("- ", section.MaxNesting+1) + "a\n", "deep-nesting", "", ""},
		{"deep blanks", strings.Repeat(" ", 2*section.MaxNesting+2) + "a\n", "deep-nesting", "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, problems := read(test.text)
			if len(problems) == 0 {
				t.Fatal("no problem")
			}
			p := problems[0]
			if string(p.Code) != test.code || p.Place.Text() != test.at {
				t.Errorf("got %s at %q, want %s at %q", p.Code, p.Place.Text(), test.code, test.at)
			}
			checkFix(t, p, test.fixed)
		})
	}
}

// checkFix compares the fix of a problem with the wanted text or, after a question
// mark, with the wanted advice.
func checkFix(t *testing.T, p problem.Problem, want string) {
	t.Helper()
	if want == "" {
		return
	}
	fixed, ok := p.Fixed()
	if advice, question := strings.CutPrefix(want, "? "); question {
		if ok || p.Fix.Advice != advice {
			t.Errorf("the fix is %q, want the advice %q alone", p.Fix.Advice, advice)
		}
		return
	}
	if !ok {
		t.Fatalf("the fix is only advice: %q", p.Fix.Advice)
	}
	if diff := cmp.Diff(want, string(fixed)); diff != "" {
		t.Error(diff)
	}
	if _, again := read(string(fixed)); len(again) > 0 && again[0].Code == p.Code && again[0].Place.Text() == p.Place.Text() {
		t.Errorf("after the fix: %v", again)
	}
}

// Tables that Markdown shows as they are written are noted with their section.
func TestHiddenTables(t *testing.T) {
	for _, test := range []struct{ text, head string }{
		{"## Sheet\n> | a |\n> |---|\n", "| a |"},
		{"## Sheet\n\n    | a |\n    |---|\n", "| a |"},
		{"## Sheet\n\n\t| a |\n\t|---|\n", "| a |"},
		{"## Sheet\n```\nx\na | b\n--|--\n```\n", "a | b"},
		{"## Sheet\n- x\n  ~~~\n  a | b\n  --|--\n  ~~~\n", "a | b"},
	} {
		d, problems := read(test.text)
		if hidden := d.Sections[0].Hidden; len(problems) > 0 || len(hidden) != 1 || hidden[0].Place.Text() != test.head || hidden[0].Why == "" || hidden[0].Fix.None() {
			t.Errorf("%q: %v, %+v", test.text, problems, hidden)
		}
	}
}

// Blocks that may have been meant as working blocks are noted with the names
// that they would define; others are not.
func TestUnmarkedBlocks(t *testing.T) {
	for _, test := range []struct {
		text, word, at string
		names          []string
	}{
		{"```workings\na = 1\n```\n", "workings", "workings", []string{"a"}},
		{"```Worked x\n```\n", "Worked", "Worked", nil},
		{"~~~~\na b = 1\nx == 2\nc := 3\n~~~~\n", "", "~~~~", []string{"a b", "c"}},
		{"```\ntext\n```\n", "", "", nil},
		{"```go\na = 1\n```\n", "", "", nil},
	} {
		d, problems := read(test.text)
		if len(problems) > 0 {
			t.Errorf("%q: %v", test.text, problems)
		}
		if test.at == "" {
			if len(d.Unmarked) > 0 {
				t.Errorf("%q: %+v", test.text, d.Unmarked)
			}
			continue
		}
		if len(d.Unmarked) != 1 || d.Unmarked[0].Word != test.word || d.Unmarked[0].Place.Text() != test.at || !slices.Equal(d.Unmarked[0].Names, test.names) {
			t.Errorf("%q: %+v", test.text, d.Unmarked)
		}
	}
}

// In the results nothing is an error but a block without an end: a job that
// could be painted is never stopped by what was written after painting.
func TestResultsHaveWarnings(t *testing.T) {
	const wrong = "| a | b |\n|---|---|\n| 1 | 2 | 3 |\n\n| c |\n\n```working\nx : 1\n```\n"
	for section, want := range map[string]problem.Severity{"Sheet": problem.Error, "Results": problem.Warning} {
		_, problems := read("## " + section + "\n" + wrong)
		if len(problems) != 3 || slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Severity != want }) {
			t.Errorf("%s: %v", section, problems)
		}
	}
	if _, problems := read("## Results\nFine.\n\n## Sheet\n" + wrong); len(problems) != 3 || !problems.HasErrors() {
		t.Errorf("behind the results: %v", problems)
	}
	if _, problems := read("## Results\n```working\na = 1\n\n## Sheet\nx\n"); !problems.HasErrors() {
		t.Errorf("a block without an end: %v", problems)
	}
}

// What is allowed must not be reported.
func TestQuiet(t *testing.T) {
	for _, text := range []string{
		"",
		"   \n",
		"a | b is a choice\nand nothing else\n",
		"```go\nx = a | b\n```\n",
		"<!-- a note to myself -->\n",
		"text <!-- hidden --> text\n",
		"## Sheet\n| a |\n|---|\n",
		"## Sheet\nText above.\n| a |\n|---|\n| 1 |\n\nText below.\n",
		"## Layers\n| a | b |\n|:--|--:|\n| 1 |\n",
		"## Layers\n<!--\n| a | b |\n|---|---|\n-->\n",
		"```\n| a | b |\n|---|---|\n```\n## Layers\n```\n| not a rule | b |\n| --- a |\n```\n",
		"#sheet of paper\n\n#hash\n\n####### Sheet\n",
		strings.Repeat("> ", section.MaxNesting-1) + "a\n",
		strings.Repeat(" ", section.MaxLineBytes-1) + "\n",
		"![a](photos/1.jpg) ![](data:image/png;base64,AAAA)\n",
	} {
		if _, problems := read(text); len(problems) > 0 {
			t.Errorf("%q: %v", text, problems)
		}
	}
}

func TestCut(t *testing.T) {
	d, _ := read("```working\na = 1\n\n## Sheet\n")
	if !d.Incomplete || len(d.Fences) != 1 || len(d.Fences[0].Lines) != 1 {
		t.Errorf("cut %v, fences %v", d.Incomplete, d.Fences)
	}
}
