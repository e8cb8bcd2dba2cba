package problem_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

func TestNearest(t *testing.T) {
	rows := []string{"widest mark", "touch mark", "safe press", "touch", "x", "y"}
	for word, want := range map[string]string{
		"safe pres": "safe press", "SAFE PRESS": "safe press", "safe_press": "safe press", "safepress": "safe press", "sfae press": "safe press",
		"tuch": "touch", "widest": "", "z": "", "": "", "xy": "x", strings.Repeat("safe press", 40): "", "größe": "",
	} {
		if got, ok := problem.Nearest(word, rows); got != want || ok != (want != "") {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
	if got, _ := problem.Nearest("bat", []string{"cat", "bar", "baa"}); got != "baa" {
		t.Errorf("of equals %q is taken, not the first", got)
	}
	if got, _ := problem.Nearest("größe", []string{"grosse", "grösse", "große"}); got != "große" {
		t.Errorf("letters count, not bytes: %q", got)
	}
}

func TestFixes(t *testing.T) {
	place := func(text, at string) source.Place {
		i := strings.Index(text, at)
		return source.New("a.md", []byte(text)).Place(i, i+len(at))
	}
	tests := []struct {
		name, text, at string
		fix            problem.Fix
		want           string
	}{
		{"write", "a bad b\n", "bad", problem.Write("good"), "a good b\n"},
		{"below", "one\ntwo\nthree\n", "two", problem.AddBelow("new"), "one\ntwo\nnew\nthree\n"},
		{"below the last line", "one", "one", problem.AddBelow("x\ny"), "one\nx\ny"},
		{"below, other line ends", "one\r\ntwo\r\n", "one", problem.AddBelow("x\ny"), "one\r\nx\r\ny\r\ntwo\r\n"},
		{"blank line", "one\ntwo\n", "wo", problem.BlankLineAbove(), "one\n\ntwo\n"},
		{"take out", "one\ntwo\nthree\n", "w", problem.TakeOut(", or correct it"), "one\nthree\n"},
		{"take out the last", "one\ntwo", "two", problem.TakeOut(""), "one\n"},
		{"advice", "one\n", "one", problem.Advise("measure again"), ""},
	}
	for _, test := range tests {
		got, ok := problem.Problem{Place: place(test.text, test.at), Fix: test.fix}.Fixed()
		if string(got) != test.want || ok != (test.want != "") || ok != test.fix.CanApply() {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
	if edits := (problem.Problem{Fix: problem.Write("x")}).Edits(); edits != nil {
		t.Errorf("something was written nowhere: %v", edits)
	}
	all := source.New("a.md", []byte("one two three"))
	got := problem.Apply([]problem.Edit{{all.Place(8, 13), "3"}, {all.Place(0, 3), "1"}, {all.Place(4, 4), "+ "}}, all.Data)
	if string(got) != "1 + two 3" {
		t.Errorf("three edits give %q", got)
	}
}

// The whole line, tabs, wide characters and control characters come out so
// that the marker stands under the text at fault and nothing drives the
// terminal.
func TestPrint(t *testing.T) {
	text := "\t| 筆 | bad |\na\x1b[31mred\u202ex\n" + strings.Repeat("long ", 40) + "bad" + strings.Repeat(" end", 40) + "\nlast"
	f := source.New("dir/a.md", []byte(text))
	at := func(s string) source.Place {
		i := strings.Index(text, s)
		return f.Place(i, i+len(s))
	}
	long := strings.Index(text, "g bad")
	binary := source.New("a.dxf", []byte{1, 2, 3})
	binary.Binary = true
	list := problem.List{
		{Severity: problem.Error, Code: "one", Place: at("bad"), Message: "it is \x07 bad", Fix: problem.Write("good"), Related: []problem.Related{{Place: at("筆"), Note: "seen here"}}},
		{Severity: problem.Warning, Code: "two", Place: at("\x1b[31mred"), Message: "a colour"},
		{Severity: problem.Hint, Code: "three", Place: f.Place(long+2, long+5), Message: "far out", Fix: problem.Advise("add below: x\n\ny")},
		{Severity: problem.Error, Code: "four", Place: f.Place(len(text), len(text)), Message: "at the end", Fix: problem.Advise("go on")},
		{Severity: problem.Error, Code: "five", Message: "nowhere", Fix: problem.Advise("look")},
		{Severity: problem.Error, Code: "six", Place: binary.Place(2, 3), Message: "in bytes", Fix: problem.Advise("look")},
		{Severity: problem.Error, Code: "seven", Place: f.Place(strings.Index(text, "red"), len(text)), Message: "over many lines"},
	}
	var b bytes.Buffer
	if err := problem.Print(&b, list); err != nil {
		t.Fatal(err)
	}
	want := strings.Join([]string{
		"dir/a.md:1:8: it is \uFFFD bad [one]",
		"    \t| 筆 | bad |",
		"    \t       ^^^ write: good",
		"    dir/a.md:1:4: seen here",
		"        \t| 筆 | bad |",
		"        \t  ^^",
		"dir/a.md:2:2: warning: a colour [two]",
		"    a\uFFFD[31mred\uFFFDx",
		"     ^^^^^^^^",
		"dir/a.md:3:201: hint: far out [three]",
		"    …g long long long long long long bad end end end end end end end end end end end end end end end …",
		"                                     ^^^ add below: x",
		"",
		"        y",
		"dir/a.md:4:5: at the end [four]",
		"    last",
		"        ^ go on",
		"-: nowhere [five]",
		"    look",
		"a.dxf:byte 2: in bytes [six]",
		"    look",
		"dir/a.md:2:7: over many lines [seven]",
		"    a\uFFFD[31mred\uFFFDx",
		"          ^^^^^",
		"",
	}, "\n")
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}

func TestPrintJSON(t *testing.T) {
	f := source.New("a.md", []byte("± <bad>\nx"))
	list := problem.List{
		{Severity: problem.Warning, Code: "one", Place: f.Place(3, 8), Message: "<bad> & \"so\"", Fix: problem.Write("good"), Related: []problem.Related{{Place: f.Place(9, 10), Note: "there"}}},
		{Code: "two", Message: "nowhere"},
	}
	var b bytes.Buffer
	if err := problem.PrintJSON(&b, list); err != nil {
		t.Fatal(err)
	}
	want := `{"severity":"warning","file":"a.md","line":1,"column":3,"end_line":1,"end_column":8,"code":"one","message":"<bad> & \"so\"","mend":"write: good","edits":[{"file":"a.md","line":1,"column":3,"end_line":1,"end_column":8,"text":"good"}],"related":[{"file":"a.md","line":2,"column":1,"note":"there"}]}
{"severity":"error","file":"","line":0,"column":0,"end_line":0,"end_column":0,"code":"two","message":"nowhere"}
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
	for line := range strings.Lines(b.String()) {
		if !json.Valid([]byte(line)) {
			t.Errorf("%s is no JSON", line)
		}
	}
	if err := problem.PrintJSON(broken{}, list); err == nil {
		t.Error("a broken pipe is no matter")
	}
	if err := problem.Print(broken{}, list); err == nil {
		t.Error("a broken pipe is no matter")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, fmt.Errorf("broken pipe") }

func TestSorted(t *testing.T) {
	a, b := source.New("a.md", []byte("xyz")), source.New("b.md", []byte("xyz"))
	list := problem.List{
		{Code: "late", Place: b.Place(0, 1)},
		{Code: "two", Place: a.Place(1, 2), Severity: problem.Hint},
		{Code: "three", Place: a.Place(1, 2), Message: "m"},
		{Code: "three", Place: a.Place(1, 2), Message: "m"},
		{Code: "one", Place: a.Place(0, 1)},
	}
	var got []string
	for _, p := range list.Sorted() {
		got = append(got, string(p.Code))
	}
	if diff := cmp.Diff([]string{"one", "three", "two", "late"}, got); diff != "" {
		t.Error(diff)
	}
}

func ExamplePrint() {
	f := source.New("brushes/fine-sable.md", []byte("## Brush: fine sable\n| brush | |\n|---|---|\n| safe pres | 5.0 mm |\n"))
	row := f.Place(45, 54)
	list := problem.List{{Code: "unknown-row", Place: row, Message: `"safe pres" is not a row of Brush`, Fix: problem.Write("safe press")}}
	if err := problem.Print(os.Stdout, list); err != nil {
		fmt.Println(err)
	}
	// Output:
	// brushes/fine-sable.md:4:3: "safe pres" is not a row of Brush [unknown-row]
	//     | safe pres | 5.0 mm |
	//       ^^^^^^^^^ write: safe press
}

// A word becomes another only where nothing else can be meant.
func TestCorrection(t *testing.T) {
	for _, test := range []struct {
		word       string
		candidates []string
		advice     string
		edit       bool
	}{
		{"margn", []string{"margin", "lay"}, "write: margin", true},
		{"Safe-Press", []string{"safe press"}, "write: safe press", true},
		{"fine_sabel", []string{"fine_sable", "broad_sable"}, "write: fine_sable", true},
		{"reach", []string{"reach x", "reach y", "reach z", "lay"}, "did you mean reach x, reach y or reach z?", false},
		{"cmm", []string{"mm", "cm", "in"}, "did you mean cm or mm?", false},
		{"slw", []string{"slow", "broad"}, "did you mean slow?", false},
		{"squirt", []string{"sqrt", "sin"}, "did you mean sqrt?", false},
		{"zebra", []string{"sqrt", "sin"}, "", false},
	} {
		if got := problem.Correction(test.word, test.candidates); got.Advice != test.advice || got.CanApply() != test.edit {
			t.Errorf("%s: %q, edit %v; want %q, %v", test.word, got.Advice, got.CanApply(), test.advice, test.edit)
		}
	}
}
