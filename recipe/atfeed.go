package recipe

import (
	"fmt"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// spreadingOf is how the marks of a brush spread, nil if its readings do not tell,
// or tell less than their doubt.
func spreadingOf(b *model.Brush) *model.Spreading {
	m := b.Measured
	if m == nil || m.Feed == 0 || !m.Spread.Root.WorthUsing() || m.Spread.Fastest <= m.Spread.Slowest {
		return nil
	}
	return &model.Spreading{Spread: m.Spread, Feed: m.Feed, Curve: b.Curve}
}

// atFeed is the brush as it paints at the feed of a layer: the slower it goes, the
// wider its marks become.
func atFeed(b *model.Brush, layer *model.Layer) *model.Brush {
	if b == nil || b.Spreading == nil {
		return b
	}
	s, feeding := b.Spreading, layer.Feeding
	width := func(w float64) float64 {
		feed := layer.Feed
		if feeding != nil {
			press, err := s.Curve.PressFor(w)
			if err != nil { // the doubt of a width reaches past the curve
				low, _ := s.Curve.Range()
				press = 0
				if w > low {
					press = s.Curve.SafePress()
				}
			}
			feed = feeding.Of(press, feed)
		}
		return s.At(w, s.Feed, feed)
	}
	out, spreading := *b, *s
	spreading.Painted, spreading.Feeding = layer.Feed, feeding
	out.Spreading = &spreading
	out.Curve = s.Curve.Reshaped(width)
	out.WidestMark, out.TouchMark, out.Thinnest = width(b.WidestMark), width(b.TouchMark), width(b.Thinnest)
	return &out
}

// checkMeasuredFeed warns of a feed at which the brush was not measured.
func checkMeasuredFeed(l *layerReader, c *binding.Cell) problem.List {
	b, feed, slowest := l.layer.Brush, l.layer.Feed, l.layer.Feed
	if f := l.layer.Feeding; f != nil {
		slowest = f.Slowest
	}
	if b == nil || b.Measured == nil || b.Measured.Spread.Fastest == 0 {
		return nil
	}
	s := b.Measured.Spread
	mmPerMin := func(v float64) string { return quantity.New(v, quantity.MMPerMin).Short() }
	place := l.layer.Place
	if c != nil {
		place = c.Source.Place
	}
	p := problem.Problem{Severity: problem.Warning, Code: problem.FeedNotMeasured, Place: place, Related: []problem.Related{{Place: b.Place, Note: "the brush"}}}
	switch {
	case feed > s.Fastest && s.Limited:
		p.Message = fmt.Sprintf("the layer %q is painted at %s, and the fastest mark of %s without gaps was painted at %s", l.layer.Name, mmPerMin(feed), b.Title, mmPerMin(s.Fastest))
		p.Fix = problem.Advise("write at most " + mmPerMin(s.Fastest))
	case feed > s.Fastest && b.Spreading != nil:
		p.Message = fmt.Sprintf("the layer %q is painted at %s, and %s was measured up to %s: its marks count as painted at that", l.layer.Name, mmPerMin(feed), b.Title, mmPerMin(s.Fastest))
		p.Fix = problem.Advise("write at most " + mmPerMin(s.Fastest) + ", or measure marks at faster feeds")
	case slowest < s.Slowest && b.Spreading != nil:
		p.Message = fmt.Sprintf("the layer %q is painted at %s, and %s was measured down to %s: its marks count as painted at that", l.layer.Name, mmPerMin(slowest), b.Title, mmPerMin(s.Slowest))
		p.Fix = problem.Advise("write at least " + mmPerMin(s.Slowest) + ", or measure marks at slower feeds")
	default:
		return nil
	}
	return problem.List{p}
}
