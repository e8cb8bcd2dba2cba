package presenting

import (
	"strings"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/runner/record"
)

// A brush that widens by 0.5 mm for each mm of press, on a machine whose
// height is known to 0.1 mm.
func straightBrush(t *testing.T) *model.Brush {
	t.Helper()
	curve, err := brush.Fit(nil, 6, 3, 0)
	if err != nil {
		t.Fatal(err)
	}
	return &model.Brush{Title: "cone", Curve: curve, SafePress: 6, WidestMark: 3, Touch: 0.1}
}

// The sentences are checked by hand: at 0.5 mm of width for a mm of press, a mark
// that is 0.2 mm too wide was pressed 0.4 mm too deep.
func TestStripAdvice(t *testing.T) {
	job := &model.Job{Layers: []model.Layer{{Name: "reeds", Brush: straightBrush(t)}, {Name: "bird", Brush: straightBrush(t)}}}
	strip := func(layer string, widths ...float64) (out []model.StripReading) {
		for i, w := range widths {
			out = append(out, model.StripReading{Layer: layer, Mark: string(rune('a' + i)), Asked: float64(i+1) / 2, Measured: w})
		}
		return out
	}
	for _, c := range []struct {
		readings []model.StripReading
		want     string
	}{
		{strip("reeds", 0.52, 1.03, 1.45), "Nothing to do: the marks are as wide as asked, and Z zero is right to 0.12\u00a0mm"},
		{strip("reeds", 0.7, 1.2, 1.7), "too wide: raise Z zero by 0.40\u00a0mm ± 0.06\u00a0mm"},
		{strip("bird", 0.35, 0.85, 1.35), "too thin: lower Z zero by 0.30\u00a0mm ± 0.06\u00a0mm"},
		{strip("bird", 0.5, 1, 1.9), "Measure again"},
		{strip("bird", 0.4, 0.8, 1.2), "Cannot tell"},
		{strip("bird", 0.3, 0.6, 0.9), "its marks are 60.00\u00a0% of the width asked, in proportion"},
		{strip("", 0.9, 1, 1.9), ""},
	} {
		got := stripViews(c.readings, job)
		if len(got) != 1 || len(got[0].Readings) != 3 {
			t.Fatalf("%+v is shown as %+v", c.readings, got)
		}
		if !strings.Contains(got[0].Advice, c.want) || (c.want == "") != (got[0].Advice == "") {
			t.Errorf("%+v: advice %q, want %q", c.readings, got[0].Advice, c.want)
		}
		if r := got[0].Readings[0]; (r.Limit > 0) != (c.want != "") {
			t.Errorf("limit %g", r.Limit)
		}
	}
	if both := stripViews(append(strip("reeds", 0.5, 1), strip("bird", 0.5, 1)...), job); len(both) != 2 || both[1].Layer != "bird" {
		t.Errorf("two layers are shown as %+v", both)
	}
}

func TestLinksToOtherPages(t *testing.T) {
	job := &model.Job{Name: "guide/01-twig", Files: nil}
	for _, c := range []struct {
		signed         *record.Impression
		index, current string
	}{
		{nil, "../../index.html#job-guideu2f01-twig", ""},
		{&record.Impression{Number: 3}, "../../../../index.html#job-guideu2f01-twig", "../../index.html"},
	} {
		l := otherPages(job.Name, c.signed)
		if l.index != c.index || l.current != c.current {
			t.Errorf("links %+v, want %+v", l, c)
		}
	}
}
