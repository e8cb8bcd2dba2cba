package runner_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/part"
)

// A sheet that slips while it is painted, by up to 10 mm and 3 degrees and with up to
// 0.5 % of growth, is found again by its marks; the rest of the layer is not refused
// and lies on the sheet where the whole layer would have been, within 0.05 mm. The readings
// are rounded to 0.01 mm, as a machine shows them.
func TestResumeAfterSlip(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	within := func(most float64) float64 { return most * (2*random.Float64() - 1) }
	worst, n := 0.0, 0
	for range 12 {
		s := driedSheet{turn: within(3 * math.Pi / 180), shiftX: 10 + within(10), shiftY: 10 + within(10), tipX: within(3), tipY: within(3)}
		s.growX = 1 + within(0.005)
		s.growY = s.growX
		recipe := driedStudio(t, s, "even", "")
		before := mustRun(t, recipe, runner.Options{})
		store := runner.LogbookOf(before.Studio)
		if _, err := before.Write(store); err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(recipe)
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, "\n## Seating\n"+s.table([]string{"one", "two"}, func() float64 { return 0 })...)
		if err := os.WriteFile(recipe, text, 0o644); err != nil {
			t.Fatal(err)
		}
		r, problems, err := runner.Run(recipe, runner.Options{})
		if err != nil || r == nil { // out of the machine's reach
			t.Logf("%v %v", err, problems)
			continue
		}
		whole := widths(t, before.Layers[1], before.Layers[1].Program)
		p := part.Part{From: 1 + random.IntN(len(whole))}
		resumed := resume(t, r, r.Layers[1], p)
		if changed, err := runner.ChangedSince(r, store, resumed); err != nil || len(changed) > 0 {
			t.Fatalf("refused: %v %v", changed, err)
		}
		n++
		for i, c := range widths(t, r.Layers[1], resumed.Program) {
			for k, d := range c {
				x, y := s.painted(d.x, d.y)
				w := whole[p.From-1+i][k]
				worst = max(worst, math.Hypot(x-w.x-s.tipX, y-w.y-s.tipY))
			}
		}
	}
	t.Logf("%d sheets, at most %.3f mm off", n, worst)
	if worst > 0.05 || n < 6 {
		t.Errorf("%d sheets, %.3f mm off", n, worst)
	}
}
