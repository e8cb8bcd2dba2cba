package logbook

import (
	"bytes"
	"strings"
	"testing"

	"mahlstick/recipe/working"
)

// The worksheet has the formulas and given numbers, and none of the results.
func TestWorksheet(t *testing.T) {
	p := sample()
	p.People = []People{{Brush: "fine", Name: "fine", Each: []Person{{"fern", 7}, {"moss <b>", 6}}}}
	p.Blocks[2].Chart = &Chart{SafePress: 5, Curve: []Rung{{0, 0.2, 0}, {5, 2.4, 0}}, Rungs: []Rung{{1, 0.7, 0.02}}, Thinnest: 0.3}
	p.Workings["reading"] = working.Working{Name: "reading", Formula: "2.40*mm", Filled: "2.40 mm", Result: "2.4 mm", UsedBy: []string{"half"}}
	p.Workings["half"] = working.Working{Name: "half", Formula: "reading / 2", Filled: "2.4 mm / 2", Result: "1.2 mm", Needs: []string{"reading", "fine.safe_press"}, Given: []working.Given{{Name: "reading", Value: "2.4 mm"}, {Name: "fine.safe_press", Value: "5 mm"}}}
	p.Workings["third"] = working.Working{Name: "third", Formula: "fine.widest_mark / 3", Filled: "2.4 mm / 3", Result: "0.8 mm", Needs: []string{"fine.widest_mark"}}
	p.Derived = append(p.Derived, "half", "third")
	got, err := p.Worksheet()
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := bytes.Cut(got, []byte("<style>"))
	_, rest, _ = bytes.Cut(rest, []byte("</style>\n")) // the style is that of the page
	compare(t, "testdata/worksheet.html", append(head, rest...))
	for _, result := range []string{"13.50", "5.14 mm", "1.2 mm", "0.8 mm", "2.4 mm / 2"} {
		if bytes.Contains(got, []byte("= "+result)) {
			t.Errorf("the result %s is not blank", result)
		}
	}
	for _, given := range []string{"= 2.40*mm", "= 2.4 mm / 3", "with fine.safe_press = 5 mm</p>", "moss &lt;b&gt;"} {
		if !bytes.Contains(got, []byte(given)) {
			t.Errorf("%q is not given", given)
		}
	}
	if n := strings.Count(string(got), "<circle"); n > 0 {
		t.Errorf("the empty chart has %d marks", n)
	}
}

func TestUnitOf(t *testing.T) {
	for result, want := range map[string]string{"1.0200 ± 0.0059 mm": "mm", "13.89 ± 0.43°": "°", "0.24": "", "3365 ± 17 mm²": "mm²", "0.00121 mm²/s": "mm²/s", "": ""} {
		if got := unitOf(result); got != want {
			t.Errorf("%q has the unit %q, want %q", result, got, want)
		}
	}
}
