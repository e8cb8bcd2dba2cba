package formula_test

import (
	"fmt"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// The working of a brush's taper, as a student would write it down.
func ExampleEvaluate() {
	widest := quantity.Measured(2.8, quantity.MM, 0.05, quantity.Reading{File: "fine-sable.md", Offset: 81})
	scope := formula.Values{
		"fine_sable.widest_mark": formula.OfQuantity(widest),
		"fine_sable.safe_press":  formula.OfQuantity(quantity.New(5.5, quantity.MM)),
	}
	text := "taper = asin(half_width / slant)\n" +
		"slant = sqrt(half_width^2 + fine_sable.safe_press^2)\n" +
		"half_width = fine_sable.widest_mark / 2\n"
	formulas, problems := lines(source.New("heron.md", []byte(text)))
	results, more := formula.Evaluate(formulas, scope, 1)
	for _, p := range append(problems, more...) {
		fmt.Println(p)
	}
	for _, r := range results {
		w := r.Working
		fmt.Printf("%s = %s\n  = %s\n  = %s\n", w.Name, w.Formula, w.Filled, w.Result)
	}
	// Output:
	// taper = asin(half_width / slant)
	//   = asin(1.4 mm / 5.67539 mm)
	//   = 14.28 ± 0.24°
	// slant = sqrt(half_width^2 + fine_sable.safe_press^2)
	//   = sqrt((1.4 mm)^2 + (5.5 mm)^2)
	//   = 5.6754 ± 0.0062 mm
	// half_width = fine_sable.widest_mark / 2
	//   = 2.8 mm / 2
	//   = 1.400 ± 0.025 mm
}

// The help of every function is complete, and its example call has a number of
// arguments that it takes.
func TestHelp(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range formula.Functions() {
		name, arguments, ok := strings.Cut(f.Usage, "(")
		if !ok || f.Meaning == "" || seen[name] || formula.Fold(name) != name {
			t.Errorf("%+v", f)
		}
		seen[name] = true
		call := name + "(" + strings.ReplaceAll(arguments, ", ...", ", y")
		if _, list := formula.Parse("", call, source.Place{}); len(list) > 0 {
			t.Errorf("%s: %v", call, list)
		}
		if _, list := formula.Parse("", name+"()", source.Place{}); len(list) != 1 || list[0].Code != "wrong-arguments" {
			t.Errorf("%s(): %v", name, list)
		}
	}
	for _, v := range formula.Variables() {
		if w, list := formula.CompileWidth("0*mm*("+v.Name+" > "+v.Name+" ? 1 : 2)", source.Place{}, nil); len(list) > 0 || w == nil || v.Meaning == "" {
			t.Errorf("%s: %v", v.Name, list)
		}
	}
}
