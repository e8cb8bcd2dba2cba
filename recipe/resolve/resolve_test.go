package resolve_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/resolve"
)

// manyFormulas is a recipe with formulas for several workers, some of them
// wrong, a row by formula, and a name in a block that is not marked.
func manyFormulas() fstest.MapFS {
	var b strings.Builder
	b.WriteString("# Many\n## Brush: soft\n| brush | |\n|---|---|\n| widest mark | `half * 2` |\n| safe press | 5 mm |\n\n## Layers\n| layer | drawing | brush | ink | feed |\n|---|---|---|---|---|\n| a | [a](a.dxf) | soft | ochre | `slow` |\n\n")
	b.WriteString("```\nslow = 600*mm/min\n```\n\n```working\nhalf = 1.2*mm\na0 = half\n")
	for i := 1; i < 400; i++ {
		fmt.Fprintf(&b, "a%d = a%d + %d*mm\n", i, i-1, i)
		if i%37 == 0 {
			fmt.Fprintf(&b, "wrong%d = a%d +\n", i, i)
		}
	}
	b.WriteString("wide = width_at(soft, 2*mm)\n```\n")
	return fstest.MapFS{"many.md": {Data: []byte(b.String())}}
}

// What comes out depends on neither the number of workers nor on what was
// resolved before: a pass changes nothing that it was given.
func TestResolveIsAFunction(t *testing.T) {
	set, problems := notebook.Load(manyFormulas(), "many.md")
	bound, list := binding.Bind(set)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	first := ""
	for _, workers := range []int{1, 0, 2, 13} {
		values, found := resolve.Resolve(bound, formula.NewBudget(), workers)
		out := print(t, bound, values, found)
		if first == "" {
			first = out
		}
		if diff := cmp.Diff(first, out); diff != "" {
			t.Errorf("%d workers:\n%s", workers, diff)
		}
	}
	if !strings.Contains(first, "unknown-fence error") || strings.Count(first, "formula-syntax error") != 10 || !strings.Contains(first, "soft.widest_mark = 2.4 mm") || !strings.Contains(first, "wide = ") {
		t.Error(first)
	}
	if again, twice := binding.Bind(set); len(again.Layers) != len(bound.Layers) || len(twice) != len(list) {
		t.Error("bound twice, bound differently")
	}
}

func print(t *testing.T, bound *binding.Recipe, values *resolve.Values, list problem.List) string {
	t.Helper()
	var b strings.Builder
	for _, r := range values.Of(bound.Notebook).Results {
		fmt.Fprintf(&b, "%s = %s %v\n", r.Formula.Name, r.Value, r.OK)
	}
	for _, p := range list.Sorted() {
		fmt.Fprintf(&b, "%s %s %s %v\n", p, p.Code, p.Severity, p.Related)
	}
	return b.String()
}
