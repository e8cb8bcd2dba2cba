package formula_test

import (
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// lines reads the lines of a file that hold a formula, "name = formula  #
// remark", each with its place.
func lines(f *source.File) ([]*formula.Formula, problem.List) {
	var out []*formula.Formula
	var all problem.List
	at := 0
	for line := range strings.SplitAfterSeq(string(f.Data), "\n") {
		text := strings.TrimRight(line, "\n")
		text, remark, _ := strings.Cut(text, " # ")
		if name, body, ok := strings.Cut(text, " = "); ok {
			start := at + len(name) + len(" = ")
			made, list := formula.Parse(name, body, f.Place(start, start+len(body)))
			made.NamePlace = f.Place(at, at+len(name))
			made.Remark = strings.TrimSpace(remark)
			out, all = append(out, made), append(all, list...)
		}
		at += len(line)
	}
	return out, all
}

// workingFile evaluates testdata/working.md; problems fail the test.
func workingFile(t *testing.T) []formula.Result {
	t.Helper()
	data, err := os.ReadFile("testdata/working.md")
	if err != nil {
		t.Fatal(err)
	}
	made, list := lines(source.New("working.md", data))
	results, more := formula.Evaluate(made, fineSable(t), 1)
	if list = append(list, more...); len(list) > 0 {
		t.Fatal(list)
	}
	return results
}

// sheet evaluates the lines of a text; problems fail the test.
func sheet(t testing.TB, text string, scope formula.Scope) map[string]formula.Result {
	t.Helper()
	made, list := lines(source.New("sheet.md", []byte(text)))
	results, more := formula.Evaluate(made, scope, 1)
	if list = append(list, more...); len(list) > 0 {
		var b strings.Builder
		_ = problem.Print(&b, list)
		t.Fatal(b.String())
	}
	out := map[string]formula.Result{}
	for _, r := range results {
		out[r.Formula.Name] = r
	}
	return out
}

// number is the value of a result in a unit, u its uncertainty.
func number(t testing.TB, r formula.Result, unit string) (value, u float64) {
	t.Helper()
	parsed := quantity.One
	if unit != "" {
		var err error
		if parsed, err = quantity.ParseUnit(unit); err != nil {
			t.Fatal(err)
		}
	}
	q, ok := r.Value.Quantity()
	if !ok || q.Dim() != parsed.Dim() {
		t.Fatalf("%s is %v, want something in %q", r.Formula.Name, r.Value, unit)
	}
	return q.In(parsed), q.U(parsed)
}

func cellValue(t testing.TB, text string) formula.Value {
	t.Helper()
	f := source.New("cell "+text, []byte(text)) // each cell is a reading of its own
	q, list := quantity.Parse(text, f.Place(0, len(text)), quantity.Want{Any: true})
	if len(list) > 0 {
		t.Fatal(list)
	}
	return formula.OfQuantity(q)
}

// golden compares with a file, or rewrites it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s:\n%s", name, diff)
	}
}
