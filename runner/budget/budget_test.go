package budget_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/model"
	"mahlstick/recipe/seating"
	"mahlstick/runner/budget"
)

// bench is a job of two layers, each with a brush of its own.
func bench(t *testing.T) (*model.Job, []*budget.Layer) {
	t.Helper()
	curve, err := brush.Taper(2, 4, 0)
	if err != nil {
		t.Fatal(err)
	}
	a, b := &model.Brush{Curve: curve, TipU: 0.04, TipStated: true}, &model.Brush{Curve: curve, TipU: 0.03, TipStated: true}
	job := &model.Job{Sheet: model.Sheet{Width: 210, Height: 297, Misfit: 0.3}, Brushes: []*model.Brush{a, b},
		Layers: []model.Layer{{Name: "wash", Brush: a}, {Name: "key", Brush: b}},
		Marks:  []model.Mark{{Name: "one", X: 10, Y: 10, Painted: "wash"}, {Name: "two", X: 200, Y: 287, Painted: "wash"}}}
	return job, layersOf(job)
}

func layersOf(job *model.Job) []*budget.Layer {
	var out []*budget.Layer
	for i := range job.Layers {
		out = append(out, &budget.Layer{Layer: &job.Layers[i], MinX: 20, MinY: 20, MaxX: 190, MaxY: 277, Press: 2})
	}
	return out
}

// seat reads both marks exactly where they are, with the brush of the key.
func seat(job *model.Job, u float64) {
	s := &model.Seating{Layer: "key"}
	for _, m := range job.Marks {
		s.Readings = append(s.Readings, model.SeatReading{Mark: m.Name, SheetX: m.X, SheetY: m.Y, FoundX: m.X, FoundY: m.Y, U: u})
	}
	s.Fit = seating.New(s.Points(&job.Sheet), job.Sheet.Growth)
	job.Layers[1].Seating = s
}

func part(t *testing.T, r budget.Register, cause string) budget.Part {
	t.Helper()
	for _, p := range r.Parts {
		if p.Cause == cause {
			return p
		}
	}
	t.Fatalf("no part %q", cause)
	return budget.Part{}
}

// On a sheet that stays, only the tips count; a brush that paints both layers
// cancels; a tip that nobody measured is the largest part of all.
func TestStayingSheet(t *testing.T) {
	job, l := bench(t)
	r := budget.Between(job, l[0], l[1])
	if got := part(t, r, "tips of the brushes"); math.Abs(got.U-0.05) > 1e-12 || got.Assumed {
		t.Errorf("%+v", got)
	}
	if math.Abs(r.Promised()-0.1) > 1e-9 { // the widths are exact
		t.Errorf("promised %g", r.Promised())
	}
	job.Brushes[1].TipStated = false
	if got := part(t, budget.Between(job, l[0], l[1]), "tips of the brushes"); got.U < 0.3 || !got.Assumed {
		t.Errorf("%+v", got)
	}
	job.Layers[1].Brush = job.Layers[0].Brush
	if got := budget.Between(job, l[0], l[1]).U(); got != 0 {
		t.Errorf("one brush: %g", got)
	}
}

// Marks painted by one brush and read with the other tie the layers together,
// whatever the tips' offsets are.
func TestTipsCancel(t *testing.T) {
	job, l := bench(t)
	seat(job, 0.06)
	job.Brushes[0].TipStated, job.Brushes[1].TipStated = false, false
	if got := part(t, budget.Between(job, l[0], l[1]), "tips of the brushes"); got.U != 0 {
		t.Errorf("%+v", got)
	}
	// Marks drawn by hand do not know of the first brush.
	for i := range job.Marks {
		job.Marks[i].Painted = ""
	}
	if got := part(t, budget.Between(job, l[0], l[1]), "tips of the brushes"); got.U != 0.3 {
		t.Errorf("%+v", got)
	}
}

// Half the error of each width moves an edge: √2/2 of the width's, for two alike
// (the underlap of printers' traps, √(u² + u_w²/2)).
func TestWidths(t *testing.T) {
	job, l := bench(t)
	job.Brushes[0].TipU, job.Brushes[1].TipU = 1e-9, 1e-9
	job.Brushes[0].Touch, job.Brushes[1].Touch = 0.1, 0.1
	slope, _ := job.Brushes[0].Curve.Slope(2)
	if got := budget.Between(job, l[0], l[1]).U(); math.Abs(got-0.1*slope/math.Sqrt2) > 1e-6 {
		t.Errorf("%g, not %g", got, 0.1*slope/math.Sqrt2)
	}
}

// The promise against what 4,000 sheets do: the place of the worst corner scatters
// as the parts say.
func TestAgainstDraws(t *testing.T) {
	job, l := bench(t)
	job.Sheet.Growth = seating.Even
	seat(job, 0.06)
	r := budget.Between(job, l[0], l[1])
	rng := rand.New(rand.NewPCG(14, 4000))
	s := job.Layers[1].Seating
	var xx, yy float64
	const draws = 4000
	for range draws {
		points := s.Points(&job.Sheet)
		for i := range points {
			points[i].FoundX += 0.06 * rng.NormFloat64()
			points[i].FoundY += 0.06 * rng.NormFloat64()
		}
		x, y := seating.New(points, seating.Even).At(r.X, r.Y)
		xx, yy = xx+(x-r.X)*(x-r.X)/draws, yy+(y-r.Y)*(y-r.Y)/draws
	}
	got := part(t, r, "where the sheet lies").U
	if really := math.Sqrt(max(xx, yy)); math.Abs(got/really-1) > 0.05 {
		t.Errorf("%g, and the draws scatter by %g", got, really)
	}
	if g := part(t, r, "growth that was not measured"); !g.Assumed || g.U == 0 {
		t.Errorf("two marks tell nothing of uneven growth: %+v", g)
	}
}
