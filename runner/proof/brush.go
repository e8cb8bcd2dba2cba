package proof

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Rung is one measured mark: the width at a press, both in mm.
type Rung struct{ Press, Width float64 }

// Brush is a table from press to width of the mark, and to lag.
type Brush struct {
	rungs  []Rung
	trails []Trail
	play   float64 // mm
	spread Spreading
	least  float64 // feed, mm/min
}

// NewBrush makes a brush whose width is linear from rung to rung. The presses
// must rise from 0 or more, the widths must not fall. Below the first rung the
// width falls linearly to 0 at press 0; so a brush that leaves a mark at the
// lightest touch needs a rung at press 0. Beyond the last rung the width is
// constant.
func NewBrush(rungs []Rung) (*Brush, error) {
	if len(rungs) == 0 {
		return nil, errors.New("the brush has no rung: give at least one press with its width")
	}
	for i, r := range rungs {
		switch {
		case !(r.Press >= 0 && r.Press <= MaxCoord && r.Width >= 0 && r.Width <= MaxCoord):
			return nil, fmt.Errorf("rung %d is not a press and a width in mm, both 0 or more", i+1)
		case i > 0 && r.Press <= rungs[i-1].Press:
			return nil, fmt.Errorf("the press of rung %d is not deeper than that of the rung before: sort the rungs, each press once", i+1)
		case i > 0 && r.Width < rungs[i-1].Width:
			return nil, fmt.Errorf("the width of rung %d falls although the press is deeper: measure it again", i+1)
		}
	}
	b := &Brush{rungs: append([]Rung(nil), rungs...)}
	if b.rungs[0].Press > 0 && b.rungs[0].Width > 0 {
		b.rungs = append([]Rung{{}}, b.rungs...)
	}
	return b, nil
}

// Rungs lists the rungs between which the width is linear.
func (b *Brush) Rungs() []Rung { return append([]Rung(nil), b.rungs...) }

// smoothParts is how many straight lines replace the curve between two rungs.
const smoothParts = 32

// Smooth is the same brush with a smooth curve through the same rungs, replaced
// by straight lines that differ from it by less than 0.002 of the step in
// width. The curve is a cubic between each two rungs. At an inner rung its
// slope is that of the parabola through the rung and its neighbours, but at
// most three times the smaller slope of the two chords that meet there; at the
// ends it is that of the chord. A cubic whose slopes are between 0 and three
// times that of its chord never falls (de Boor, Swartz, J. Approx. Theory 21,
// 1977, 411-416, from memory).
func (b *Brush) Smooth() *Brush {
	n := len(b.rungs)
	if n < 3 {
		return b
	}
	chord := make([]float64, n-1)
	for i := range chord {
		chord[i] = (b.rungs[i+1].Width - b.rungs[i].Width) / (b.rungs[i+1].Press - b.rungs[i].Press)
	}
	slope := make([]float64, n)
	slope[0], slope[n-1] = chord[0], chord[n-2]
	for i := 1; i < n-1; i++ {
		left, right := b.rungs[i].Press-b.rungs[i-1].Press, b.rungs[i+1].Press-b.rungs[i].Press
		parabola := (float64(chord[i-1]*right) + float64(chord[i]*left)) / (left + right)
		slope[i] = min(parabola, 3*min(chord[i-1], chord[i]))
	}
	s := *b
	s.rungs = make([]Rung, 0, (n-1)*smoothParts+1)
	for i := range chord {
		a, step := b.rungs[i], b.rungs[i+1].Press-b.rungs[i].Press
		// w = w0 + h t (s0 + t (c2 + t c3)), t from 0 to 1.
		c2 := float64(3*chord[i]) - float64(2*slope[i]) - slope[i+1]
		c3 := slope[i] + slope[i+1] - float64(2*chord[i])
		for k := range smoothParts {
			t := float64(k) / smoothParts
			rise := slope[i] + float64(t*(c2+float64(t*c3)))
			s.rungs = append(s.rungs, Rung{a.Press + float64(step*t), a.Width + float64(float64(step*t)*rise)})
		}
	}
	s.rungs = append(s.rungs, b.rungs[n-1])
	for i := 1; i < len(s.rungs); i++ { // rounding must not make the width fall
		s.rungs[i].Width = max(s.rungs[i].Width, s.rungs[i-1].Width)
	}
	return &s
}

// Width is the width in mm of the mark at a press in mm: 0 above the paper.
func (b *Brush) Width(press float64) float64 {
	rungs := b.rungs
	last := rungs[len(rungs)-1]
	switch {
	case press < 0 || math.IsNaN(press):
		return 0
	case press >= last.Press:
		return last.Width
	}
	i := sort.Search(len(rungs), func(i int) bool { return rungs[i].Press > press })
	if i == 0 { // the first rung has a press and no width
		return 0
	}
	a, c := rungs[i-1], rungs[i]
	return a.Width + float64((c.Width-a.Width)*(press-a.Press))/(c.Press-a.Press)
}

// Spreading is how marks spread by feed: that of the table, and the slowest and the
// fastest that were measured, in mm/min. A mark whose paint would be dry wide
// becomes wider by 2√(Rate·t), where t is the time in which the brush passes by dry;
// Rate is in mm²/s. The zero Spreading changes nothing.
type Spreading struct{ Rate, Feed, Slowest, Fastest float64 }

// Spreads is the same brush with marks that spread.
func (b *Brush) Spreads(s Spreading) *Brush {
	out := *b
	out.spread = s
	return &out
}

// NoSlower is the same brush of which marks that are painted slower than a feed,
// because Z cannot keep up, count as painted at that: they were placed by it.
func (b *Brush) NoSlower(feed float64) *Brush {
	out := *b
	out.least = feed
	return &out
}

// at is the width in mm of the mark at a height and a feed; a feed of 0 is that of
// the table.
func (b *Brush) at(z, feed float64) float64 {
	width := b.Width(-z)
	if s := b.spread; s.Rate > 0 && feed > 0 && width > 0 {
		grown := func(dry, feed float64) float64 {
			return dry + float64(2*sqrt(float64(s.Rate*dry)*60/min(max(feed, s.Slowest), s.Fastest)))
		}
		low, high := 0.0, width // of the dry width
		for range 50 {
			if middle := (low + high) / 2; grown(middle, s.Feed) < width {
				low = middle
			} else {
				high = middle
			}
		}
		return grown(low, max(feed, b.least))
	}
	return width
}

// bends calls yield for each share, in order and without 0 and 1, at which the
// table has a rung while the press goes evenly from one value to another.
func (b *Brush) bends(from, to float64, yield func(share float64)) {
	rungs := b.rungs
	if from == to {
		return
	}
	lo, hi := min(from, to), max(from, to)
	first := sort.Search(len(rungs), func(i int) bool { return rungs[i].Press > lo })
	end := sort.Search(len(rungs), func(i int) bool { return rungs[i].Press >= hi })
	if from < to {
		for i := first; i < end; i++ {
			yield((rungs[i].Press - from) / (to - from))
		}
		return
	}
	for i := end - 1; i >= first; i-- {
		yield((rungs[i].Press - from) / (to - from))
	}
}
