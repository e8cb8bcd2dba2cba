package presenting

import (
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
)

// dayOf is the plan of the day of a job with a layer for each time of drying in s.
func dayOf(drying ...float64) *logbook.Day {
	j := Job{Job: &model.Job{Machine: model.Machine{}}}
	for i, seconds := range drying {
		layer := &model.Layer{Name: string(rune('a' + i)), Ink: model.Ink{Name: "ink " + string(rune('a'+i)), Drying: seconds}}
		layer.Brush = &model.Brush{Title: "broad round"}
		p := stage.Proven{Measures: proof.Measures{Strokes: make([]proof.Stroke, 2), Seconds: 60}}
		p.Model = layer
		j.Layers = append(j.Layers, p)
	}
	return dayView(j)
}

// All layers whose drying is not stated are named, unless nothing waits for them; where
// one of them is wet, its step says so.
func TestDryingNotStated(t *testing.T) {
	for _, c := range []struct {
		drying []float64
		want   string
		wet    int
	}{
		{[]float64{0, 0, 0, 0}, "a, b, c and d", 3},
		{[]float64{600, 0, 600}, "b", 1},
		{[]float64{600, 600, 0}, "", 0},
		{[]float64{0}, "", 0},
	} {
		day := dayOf(c.drying...)
		wet := 0
		for _, s := range day.Lessons[0].Steps {
			if s.Wet != strings.Contains(s.Text, "let it dry") {
				t.Errorf("%v: wet is %t at %q", c.drying, s.Wet, s.Text)
			}
			if s.Wet {
				wet++
			}
		}
		if got := format.List(day.NoDrying); got != c.want || wet != c.wet {
			t.Errorf("%v: drying of %q is not counted, %d wet steps; want %q, %d", c.drying, got, wet, c.want, c.wet)
		}
	}
}

// The brush is dry on the margin walk, and loaded after it, as the card says.
func TestLoadedAfterTheWalk(t *testing.T) {
	var texts []string
	for _, s := range dayOf(0, 0).Lessons[0].Steps {
		texts = append(texts, s.Text)
	}
	find := func(part string) int {
		return slices.IndexFunc(texts, func(s string) bool { return strings.Contains(s, part) })
	}
	mount, walk, load, paint := find("mount broad round"), find("margin walk"), find("load it with ink a"), find("paint a")
	if mount < 0 || mount > walk || walk > load || load > paint || find("load it with ink b") < paint {
		t.Errorf("steps %q", texts)
	}
}
