package schedule_test

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/runner/schedule"
)

// Two layers by hand: 3 min to mount, 2 to touch off, 4 for a strip.
func TestDay(t *testing.T) {
	layers := []schedule.Layer{
		{Fresh: true, Strip: true, First: 4, Starts: []float64{30, 60, 90}, Seconds: 120, Drying: 600},
		{Fresh: true, First: 1, Starts: []float64{10, 40}, Seconds: 100},
	}
	times := schedule.Times{Mount: 180, TouchOff: 120, Strip: 240}
	want := []schedule.Step{
		{Kind: schedule.Mount, Seconds: 180},
		{Kind: schedule.Walk, Starts: 180, Seconds: 165},
		{Kind: schedule.TouchOff, Starts: 345, Seconds: 120},
		{Kind: schedule.Strip, Starts: 465, Seconds: 270},
		{Kind: schedule.Paint, Starts: 735, Seconds: 90, From: 4, To: 6, Whole: true},
		{Kind: schedule.Mount, Layer: 1, Starts: 825, Seconds: 180},
		{Kind: schedule.Dry, Layer: 0, Starts: 1005, Seconds: 420},
		{Kind: schedule.TouchOff, Layer: 1, Starts: 1425, Seconds: 120},
		{Kind: schedule.Paint, Layer: 1, Starts: 1545, Seconds: 100, From: 1, To: 2, Whole: true},
	}
	lessons, needed := schedule.Day(layers, 45, times)
	if len(lessons) != 1 || needed != 0 || lessons[0].Seconds != 1645 || len(lessons[0].Steps) != len(want) {
		t.Fatalf("%+v, %g", lessons, needed)
	}
	for i, s := range lessons[0].Steps {
		if !reflect.DeepEqual(s, want[i]) {
			t.Errorf("step %d is %+v, want %+v", i, s, want[i])
		}
	}
	// In lessons of 13 min 15 s the first layer is stopped after its second stroke,
	// and dries before the third lesson.
	times.Lesson = 795
	lessons, _ = schedule.Day(layers, 45, times)
	if len(lessons) != 3 || lessons[0].Seconds != 795 || lessons[0].Steps[4].To != 5 || lessons[0].Steps[4].Whole {
		t.Fatalf("%+v", lessons)
	}
	if s := lessons[1].Steps; len(s) != 3 || s[0].Kind != schedule.Mount || s[1].Kind != schedule.TouchOff || s[2].From != 6 || !s[2].Whole {
		t.Errorf("second lesson: %+v", s)
	}
	if s := lessons[2].Steps; len(s) != 3 || s[2].Layer != 1 || !s[2].Whole {
		t.Errorf("third lesson: %+v", s)
	}
	times.Lesson = 764
	if lessons, needed = schedule.Day(layers, 45, times); lessons != nil || needed != 765 {
		t.Errorf("%+v, needs %g", lessons, needed)
	}
}

// A layer of four strokes by hand: a load of 60 s by hand before the third, a visit
// of 4 s to a well and a wait of 5 s in the program. In a lesson that begins with the
// third stroke the brush was loaded when it was mounted.
func TestBreaks(t *testing.T) {
	layer := schedule.Layer{Fresh: true, First: 1, Starts: []float64{10, 30, 50, 70}, Seconds: 90, Reloads: []int{3},
		Visits: []schedule.Span{{Starts: 2, Seconds: 4}}, Waits: []schedule.Span{{Starts: 62, Seconds: 5}}}
	times := schedule.Times{Mount: 100, TouchOff: 50, Load: 60}
	lessons, _ := schedule.Day([]schedule.Layer{layer}, 0, times)
	// Mounted, touched off dry, the walk, touched off: 200 s.
	want := []schedule.Break{{schedule.InWell, schedule.Span{Starts: 202, Seconds: 4}}, {schedule.ByHand, schedule.Span{Starts: 250, Seconds: 60}}, {schedule.Wet, schedule.Span{Starts: 322, Seconds: 5}}}
	paint := lessons[0].Steps[3]
	if paint.Seconds != 90+60 || !reflect.DeepEqual(paint.Breaks, want) {
		t.Errorf("%+v", paint)
	}
	times.Lesson = 300 // 200 s and the first two strokes; then 150 s and the others
	lessons, _ = schedule.Day([]schedule.Layer{layer}, 0, times)
	if len(lessons) != 2 || lessons[0].Seconds != 250 || lessons[1].Seconds != 150+40 {
		t.Fatalf("%+v", lessons)
	}
	want = []schedule.Break{{schedule.Wet, schedule.Span{Starts: 162, Seconds: 5}}}
	if got := lessons[1].Steps[2].Breaks; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
}

// randomDay is a job and the times of its painter.
func randomDay(t *rapid.T) ([]schedule.Layer, schedule.Times) {
	seconds := rapid.Float64Range(1, 400)
	times := schedule.Times{Mount: seconds.Draw(t, "mount"), TouchOff: seconds.Draw(t, "touch off"), Strip: seconds.Draw(t, "strip"), Load: seconds.Draw(t, "by hand"),
		Lesson: rapid.SampledFrom([]float64{0, 600, 1500, 2700}).Draw(t, "lesson")}
	var layers []schedule.Layer
	for range rapid.IntRange(1, 5).Draw(t, "layers") {
		l := schedule.Layer{Fresh: rapid.Bool().Draw(t, "fresh"), Strip: rapid.Bool().Draw(t, "strip"), First: 1, Drying: 3 * seconds.Draw(t, "drying")}
		at := 0.0
		for range rapid.IntRange(1, 40).Draw(t, "strokes") {
			at += rapid.Float64Range(0.5, 90).Draw(t, "stroke")
			l.Starts = append(l.Starts, at)
		}
		l.Seconds = at + seconds.Draw(t, "end")
		for k := range l.Starts {
			if rapid.IntRange(0, 5).Draw(t, "load") == 0 {
				l.Reloads = append(l.Reloads, k+1)
			}
		}
		layers = append(layers, l)
	}
	return layers, times
}

// However a job is parted, each stroke is painted once and in order, no lesson is
// too long, each begins with mounting and touching off, and wet paint is left
// alone.
func TestLessons(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layers, times := randomDay(t)
		lessons, needed := schedule.Day(layers, rapid.Float64Range(1, 400).Draw(t, "walk"), times)
		if needed > 0 {
			if times.Lesson == 0 || needed <= times.Lesson || lessons != nil {
				t.Fatalf("needs %g of %g", needed, times.Lesson)
			}
			return
		}
		painted := make([]int, len(layers))
		for n, lesson := range lessons {
			end := checkLesson(t, lesson, layers, painted)
			if lesson.Steps[0].Kind != schedule.Mount || math.Abs(end-lesson.Seconds) > 1e-6 || times.Lesson > 0 && end > times.Lesson+1e-9 {
				t.Fatalf("lesson %d takes %g s, %g s are planned, and begins with %+v", n, end, lesson.Seconds, lesson.Steps[0])
			}
		}
		for i, l := range layers {
			if painted[i] != len(l.Starts) {
				t.Fatalf("%d of %d strokes of layer %d are painted", painted[i], len(l.Starts), i)
			}
		}
	})
}

// checkLesson follows a lesson and counts the strokes that are painted; it
// returns its length in s.
func checkLesson(t *rapid.T, lesson schedule.Lesson, layers []schedule.Layer, painted []int) float64 {
	end, dry := 0.0, 0.0
	for i, s := range lesson.Steps {
		if s.Starts != end || s.Seconds < 0 {
			t.Fatalf("step %d: %+v after %g s", i, s, end)
		}
		end += s.Seconds
		if s.Kind != schedule.Paint {
			continue
		}
		if s.From != painted[s.Layer]+1 || s.To < s.From || s.Starts < dry-1e-9 {
			t.Fatalf("step %d: %+v; painted %v, dry after %g s", i, s, painted, dry)
		}
		if before := lesson.Steps[i-1].Kind; before != schedule.TouchOff && before != schedule.Strip {
			t.Fatalf("step %d: painted without touching off", i)
		}
		painted[s.Layer] = s.To
		if s.Whole != (s.To == len(layers[s.Layer].Starts)) {
			t.Fatalf("step %d: %+v", i, s)
		}
		dry = end + layers[s.Layer].Drying
	}
	return end
}
