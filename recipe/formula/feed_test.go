package formula_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

var _ model.FeedFunc = (*formula.FeedFunc)(nil)

// Feeds against the same arithmetic by hand, in mm/min, mm and 1/mm.
func TestFeedByFormula(t *testing.T) {
	scope := fineSable(t)
	safe, _ := scope.Lookup("fine_sable.safe_press")
	s, _ := safe.Quantity()
	deepest := s.In(s.Unit())
	for text, want := range map[string]func(press, width, bend, along float64) float64{
		"900*mm/min * (1 - 0.3*press/fine_sable.safe_press)":                       func(p, _, _, _ float64) float64 { return 900 * (1 - 0.3*p/deepest) },
		"width > 1*mm ? 10*mm/s : 1000*mm/min":                                     func(_, w, _, _ float64) float64 { return map[bool]float64{true: 600, false: 1000}[w > 1] },
		"greatest(300*mm/min, 900*mm/min * (1 - abs(bend)*2*mm))":                  func(_, _, b, _ float64) float64 { return math.Max(300, 900*(1-2*math.Abs(b))) },
		"500*mm/min + along * 250*mm/min":                                          func(_, _, _, a float64) float64 { return 500 + 250*a },
		"press * 60/min + width/(1*s)":                                             func(p, w, _, _ float64) float64 { return 60*p + 60*w },
		"1000*mm/min * (1 + 0*along)":                                              func(_, _, _, _ float64) float64 { return 1000 },
		"sqrt(press*width) / (1*s)":                                                func(p, w, _, _ float64) float64 { return 60 * math.Sqrt(p*w) },
		"least(900*mm/min, 60*mm/s * (1.1 - along)) * (width / (2*mm) + press/mm)": func(p, w, _, a float64) float64 { return math.Min(900, 3600*(1.1-a)) * (w/2 + p) },
	} {
		f := source.New("a.md", []byte(text))
		feed, list := formula.CompileFeed(text, f.Place(0, len(text)), scope)
		if len(list) > 0 {
			t.Errorf("%s: %v", text, list)
			continue
		}
		for i := range 50 {
			press, width, bend, along := float64(i)/10, 0.2+float64(i)/20, float64(i-25)/25, float64(i)/49
			got, err := feed.FeedAt(press, width, bend, along)
			if w := want(press, width, bend, along); err != nil || math.Abs(got-w) > 2e-6 {
				t.Errorf("%s at %v, %v, %v, %v: %v, %v, want %v", text, press, width, bend, along, got, err, w)
			}
		}
	}
}

// What is wrong with a formula is reported at its place in the formula.
func TestWrongFeeds(t *testing.T) {
	for _, test := range []struct{ text, at, want string }{
		{"900*mm * (1 - along)", "900*mm * (1 - along)", "wrong-dimension: the formula gives a length, but a feed is a speed"},
		{"900*mm/min * (1*mm - press)/mm + press", "+", "dimension-error"},
		{"900*mm/min - 100*press", "-", "dimension-error"},
		{"900*mm/min * prss/mm", "prss", "unknown-name"},
		{"900*mm/min * from_start/(10*mm) * along", "from_start", "unknown-name"},
		{"900*mm/min + tremor(1, 0.1*mm)*along/s", "tremor", "not-allowed"},
		{"900*mm/min * u(press)/mm", "u(press", "not-allowed"},
	} {
		f := source.New("a.md", []byte(test.text))
		feed, list := formula.CompileFeed(test.text, f.Place(0, len(test.text)), fineSable(t))
		if feed != nil || len(list) == 0 {
			t.Errorf("%s: accepted", test.text)
			continue
		}
		p := list[0]
		code, message, _ := strings.Cut(test.want, ": ")
		if got := test.text[p.Place.Start:p.Place.End]; string(p.Code) != code || !strings.Contains(p.Message, message) || !strings.Contains(got, test.at) {
			t.Errorf("%s: %v at %q", test.text, p, got)
		}
	}
	text := "900*mm/min * (1*mm/(press - 2*mm))"
	f := source.New("a.md", []byte(text))
	feed, list := formula.CompileFeed(text, f.Place(0, len(text)), nil)
	if len(list) > 0 {
		t.Fatal(list)
	}
	_, err := feed.FeedAt(2, 1, 0, 0)
	if p, ok := err.(problem.Problem); !ok || p.Code != problem.DivisionByZero || text[p.Place.Start:p.Place.End] != "press - 2*mm" || !strings.Contains(p.Message, "at a press of 2 mm") {
		t.Errorf("%v", err)
	}
}
