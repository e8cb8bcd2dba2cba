package presenting

import (
	"mahlstick/recipe/model"
	"mahlstick/runner/logbook"
)

// feedRows is how many presses the table of a feed has.
const feedRows = 6

// feedingView is the feed of a layer by formula; nil if it has none.
func feedingView(l *model.Layer) *logbook.Feeding {
	f := l.Feeding
	if f == nil {
		return nil
	}
	v := &logbook.Feeding{Formula: f.Text, Slowest: f.Slowest, Fastest: f.Fastest, Along: []string{""}, Bends: f.By.Uses("bend")}
	along := []float64{0.5}
	if f.By.Uses("along") {
		v.Along, along = []string{"at the start", "in the middle", "at the end"}, []float64{0, 0.5, 1}
	}
	for i := range feedRows {
		press := f.Deepest * (float64(i) / (feedRows - 1))
		width, err := l.Brush.Curve.WidthAt(press)
		if err != nil {
			continue
		}
		row := logbook.FeedRow{Press: press, Width: width}
		for _, share := range along {
			feed, _ := f.At(press, 0, share) // the recipe was read without a problem there
			row.Feeds = append(row.Feeds, feed)
		}
		v.Rows = append(v.Rows, row)
	}
	return v
}
