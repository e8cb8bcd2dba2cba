package proving

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
	"mahlstick/runner/stage"
)

const (
	// feedRows and feedColumns are into how many parts presses and ways are divided
	// in the table of a feed, feedBends into how many bends to either side.
	feedRows, feedColumns, feedBends = 400, 100, 16
	// sharpest (1/mm) is more than the bend of any stroke: half a turn within the
	// way over which a bend is averaged.
	sharpest = 2 * math.Pi / 0.5
)

// feedTable is the formula of a layer's feed as plain values; nil if it has none.
func feedTable(w stage.Written) (*proof.Feeds, error) {
	f := w.Model.Feeding
	if f == nil {
		return nil, nil
	}
	columns, bends := 0, []float64{0}
	if f.By.Uses("along") {
		columns = feedColumns
	}
	out := &proof.Feeds{Deepest: f.Deepest}
	if f.By.Uses("bend") {
		out.AnyBend = true
		for i := range feedBends {
			t := sharpest * math.Pow(0.5, float64(i))
			bends = append(bends, t, -t)
		}
	}
	for row := range feedRows + 1 {
		press := f.Deepest * (float64(row) / feedRows)
		line := make([]float64, columns+1)
		for column := range line {
			along := 0.5
			if columns > 0 {
				along = float64(column) / feedColumns
			}
			feed, err := fastestAt(f, press, along, bends)
			if err != nil {
				return nil, err
			}
			line[column] = feed
		}
		out.Fastest = append(out.Fastest, line)
	}
	for _, g := range touching(w.Gestures) {
		out.Parts = append(out.Parts, [2]float64{g.Skipped, 1 - g.Left})
	}
	return out, nil
}

// fastestAt is the fastest feed in mm/min at any of the bends; an error only if it
// has a value at none.
func fastestAt(f *model.Feeding, press, along float64, bends []float64) (fastest float64, err error) {
	fastest = math.Inf(-1)
	for _, bend := range bends {
		feed, found := f.At(press, bend, along)
		if found != nil {
			err = found
			continue
		}
		fastest = max(fastest, feed)
	}
	if !math.IsInf(fastest, -1) {
		err = nil
	}
	return fastest, err
}
