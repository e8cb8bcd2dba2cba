package recipe_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
)

// A brush whose marks spread by feed is corrected at each press for the feed that
// the formula gives there: the widths follow from w = dry + 2√(D·dry·60/feed), the
// law by which spreading is measured (Lucas and Washburn), put in by hand.
func TestFeedOfASpreadingBrush(t *testing.T) {
	read := func(feed string) (*model.Job, problem.List) {
		files := measuredStudio(t, aSheet())
		text := strings.Replace(measuredRecipe, "| layer | drawing | brush | ink |\n|---|---|---|---|", "| layer | drawing | brush | ink | feed |\n|---|---|---|---|---|", 1)
		text = strings.Replace(text, "| indigo |", "| indigo | `"+feed+"` |", 1)
		files[wrongRecipe].Data = []byte(text)
		job, list := recipe.Read(files, wrongRecipe)
		return job, list
	}
	job, list := read("1500*mm/min * (1 - 0.5*press/brush.safe_press)")
	if list.HasErrors() {
		t.Fatal(list)
	}
	layer := &job.Layers[0]
	b := layer.Brush
	rate, at := b.Spreading.Rate.Value, b.Spreading.Feed
	if rate < 0.004 || at < 300 || layer.Feed != 1500 || layer.Feeding.Slowest < 750 || layer.Feeding.Slowest > 820 {
		t.Fatalf("rate %v at %v; %v to %v", rate, at, layer.Feeding.Slowest, layer.Feed)
	}
	most := 0.0
	for press := 0.1; press < layer.Feeding.Deepest; press += 0.1 {
		measured, _ := b.Spreading.Curve.WidthAt(press)
		feed := 1500 * (1 - 0.5*press/b.SafePress)
		root := math.Sqrt(rate * 60 / at)
		dry := math.Pow(math.Sqrt(measured+root*root)-root, 2)
		want := dry + 2*math.Sqrt(rate*dry*60/feed)
		got, err := b.Curve.WidthAt(press)
		if err != nil || math.Abs(got-want) > 0.005 {
			t.Errorf("at %.1f mm: %.4f mm wide, want %.4f: %v", press, got, want, err)
		}
		most = math.Max(most, math.Abs(got-measured))
	}
	if most < 0.005 {
		t.Errorf("no more than %.4f mm is corrected", most)
	}
	for feed, want := range map[string]struct {
		code problem.Code
		says string
	}{
		"900*mm/min * (1 - along/2)":                              {problem.NotAllowed, "must not depend on along"},
		"greatest(300*mm/min, 900*mm/min*(1 - abs(bend)*1*mm))":   {problem.NotAllowed, "must not depend on bend"},
		"press < 2.02*mm ? 300*mm/min : 2400*mm/min":              {problem.NotAllowed, "would get narrower again"},
		"press < 2.02*mm ? 2400*mm/min : 300*mm/min":              {problem.NotAllowed, "in doubt there"},
		"2900*mm/min * (1 - 0.5*press/brush.safe_press)":          {problem.FeedNotMeasured, "was painted at 2400 mm/min"},
		"greatest(200*mm/min, 900*mm/min*(1 - press/(4.5*mm)))":   {problem.FeedNotMeasured, "measured down to 300 mm/min"},
		"width < 1*mm ? 900*mm/min : 900*mm/min + press/(1*s)/10": {"", ""},
	} {
		_, list := read(feed)
		found := want.code == ""
		for _, p := range list {
			found = found || p.Code == want.code && strings.Contains(p.Message, want.says)
		}
		if !found {
			t.Errorf("%s: %v", feed, list)
		}
	}
}
