// Package ink decides where a brush is loaded again: between strokes, before a
// load ends. A stroke that takes more than a load is divided where it is thinnest.
package ink

import (
	"fmt"
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/entries"
	"mahlstick/runner/part"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

const (
	// used is the share of a load that is painted at most: the rest allows for the
	// rounding of coordinates, which the reader of the program counts with.
	used = 0.99
	// usedTowed is that of a mark that is towed: where the holder swings round it,
	// it moves a little.
	usedTowed = 0.96
	// onTheWay is the share that may have been painted at any time, while a wide
	// mark stands where the stroke ends at once.
	onTheWay = 0.998
	// step (mm) is how far apart the places are at which a stroke may be divided.
	step = 0.25
	// earliest is the share of what a load can paint before which no stroke is
	// divided, however thin it is there.
	earliest = 0.5
	// mostParts bounds how often one stroke is divided.
	mostParts = 1000
)

// Use is what the ink of a layer is used for.
type Use struct {
	Holds model.Load
	Total model.Load // painted by the layer
	Loads []Load     // the first is that with which the layer begins
	// Divided are the numbers, from 1, of the strokes that go on what the stroke
	// before them began, because one load did not last.
	Divided []int
}

// Load is a load of ink: the strokes, from 1, that are painted with it, and what it
// paints.
type Load struct {
	From, To int
	model.Load
}

// Reloads are the numbers of the strokes before which the brush is loaded again.
func (u *Use) Reloads() []int {
	var out []int
	for _, l := range u.Loads[min(1, len(u.Loads)):] {
		out = append(out, l.From)
	}
	return out
}

// Plan divides the gestures of a layer that take more than a load, and marks those
// before which the brush is loaded. A pause after a check strip is used for it,
// too. Gestures of a brush that does not say what it holds stay as they are, and
// the use is nil.
func Plan(gestures []stroke.Gesture, layer *model.Layer) ([]stroke.Gesture, *Use, problem.List) {
	p := newPlanner(layer)
	if !p.holds.Known() {
		return gestures, nil, nil
	}
	if list := p.check(gestures); list.HasErrors() {
		return gestures, nil, list
	}
	use := &Use{Holds: p.holds}
	var out []stroke.Gesture
	for _, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		parts := p.divide(g)
		for i := range parts {
			if i > 0 {
				use.Divided = append(use.Divided, len(out)+i+1)
			}
			if need, ahead := p.need(parts[i]); !p.within(need, ahead) { // its ways in and out leave too little
				return gestures, nil, p.small(sum(need, model.Load{Area: ahead}))
			}
		}
		out = append(out, parts...)
	}
	mark(out, use, p)
	return out, use, nil
}

// Again marks the gestures of a part of a layer before which the brush is loaded,
// counting from a fresh load. None is divided.
func Again(gestures []stroke.Gesture, layer *model.Layer) *Use {
	p := newPlanner(layer)
	if !p.holds.Known() {
		return nil
	}
	use := &Use{Holds: p.holds}
	mark(gestures, use, p)
	return use
}

// mark sets Reload of each gesture and lists the loads.
func mark(gestures []stroke.Gesture, use *Use, p planner) {
	for i := range gestures {
		g := &gestures[i]
		need, ahead := p.need(*g)
		n := len(use.Loads)
		g.Reload = n > 0 && (!p.within(sum(use.Loads[n-1].Load, need), ahead) || gestures[i-1].Kind == stroke.Check && g.Kind != stroke.Check)
		if n == 0 || g.Reload {
			use.Loads = append(use.Loads, Load{From: i + 1})
			n++
		}
		l := &use.Loads[n-1]
		l.To, l.Load = i+1, sum(l.Load, need)
		use.Total = sum(use.Total, need)
	}
}

func sum(a, b model.Load) model.Load {
	return model.Load{Area: a.Area + b.Area, Length: a.Length + b.Length}
}

type planner struct {
	layer  *model.Layer
	holds  model.Load
	runIn  model.Load // what of each load is left on a scrap strip
	shaper *entries.Shaper
}

func newPlanner(layer *model.Layer) planner {
	p := planner{layer: layer, holds: layer.Brush.Holds, shaper: entries.New(layer)}
	if w := layer.Well; w != nil && w.Scrap != nil {
		mark, _ := w.RunIn(layer.Brush)
		p.runIn = model.Load{Length: mark.Length, Area: float64(mark.Length*mark.Width) + float64(arith.Pi/4*float64(mark.Width*mark.Width))}
	}
	return p
}

// need is what a gesture paints, with its ways in and out, and Ahead of it.
func (p *planner) need(g stroke.Gesture) (model.Load, float64) {
	points := p.shaper.Shape(g).Points
	return Painted(points), Ahead(points)
}

// share is the part of a load that is painted at most.
func (p *planner) share() float64 {
	if p.layer.Brush.Lag.Known() {
		return usedTowed
	}
	return used
}

// within reports whether one load paints so much, and for a while so much area more,
// after it was run in.
func (p *planner) within(l model.Load, ahead float64) bool {
	share := p.share()
	l = sum(l, p.runIn)
	return p.holds.Area > 0 && l.Area <= float64(share*p.holds.Area) && l.Area+ahead <= float64(onTheWay*p.holds.Area) || p.holds.Length > 0 && l.Length <= float64(share*p.holds.Length)
}

// Painted is the area that a path sweeps, its ends included, and its length. What
// is gone over twice counts twice: it takes ink twice.
func Painted(points []stroke.Point) model.Load {
	var l model.Load
	if len(points) == 0 {
		return l
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		d := plane.Distance(a.Plane(), b.Plane()) / plane.PerMM
		l.Length += d
		l.Area += float64(d * (a.Width + b.Width) / 2)
	}
	for _, end := range [...]stroke.Point{points[0], points[len(points)-1]} {
		l.Area += float64(arith.Pi / 8 * float64(end.Width*end.Width))
	}
	return l
}

// Ahead is how much more (mm²) than a path paints in all it seems to have painted at
// some place: before a wide mark lies half a disc, which a blunt end does not fill.
func Ahead(points []stroke.Point) float64 {
	if len(points) == 0 {
		return 0
	}
	half := func(p stroke.Point) float64 { return float64(arith.Pi / 8 * float64(p.Width*p.Width)) }
	ways, most := 0.0, half(points[0])
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		ways += float64(plane.Distance(a.Plane(), b.Plane()) / plane.PerMM * (a.Width + b.Width) / 2)
		most = max(most, ways+half(b))
	}
	return most - ways - half(points[len(points)-1])
}

// check reports a load that does not paint a dot of the layer's widest mark, and
// a way as long as it is wide.
func (p *planner) check(gestures []stroke.Gesture) problem.List {
	widest := 0.0
	for _, g := range gestures {
		for _, k := range g.Points {
			widest = max(widest, k.Width)
		}
	}
	least := model.Load{Area: float64(4 * float64(widest*widest)), Length: 4 * widest}
	if p.within(least, 0) {
		return nil
	}
	return p.small(least)
}

// small is the problem of a load that is less than what is needed at least.
func (p *planner) small(least model.Load) (problems problem.List) {
	text := format.Plain.Area(p.holds.Area)
	least = sum(least, p.runIn)
	need := format.Plain.Area(least.Area / p.share())
	if p.holds.Length > 0 {
		text, need = format.Plain.Length(p.holds.Length), format.Plain.Length(least.Length/p.share())
	}
	runIn := ""
	if p.runIn.Length > 0 {
		runIn = ", the mark on the scrap strip included"
	}
	problems.Errorf(problem.SmallLoad, p.layer.Brush.Holds.Place,
		problem.Advise("paint one load to its end on scrap and measure what it paints; if it is so little, take a brush that holds more, or narrower strokes"),
		"a load of %s is too little for the layer %q: a stroke that cannot be divided further takes %s%s", text, p.layer.Name, need, runIn)
	return problems
}

// divide divides a gesture until each part takes no more than a load.
func (p *planner) divide(g stroke.Gesture) (out []stroke.Gesture) {
	for len(out) < mostParts && len(g.Points) > 1 && !p.within(p.need(g)) {
		at, ok := p.joint(g)
		if !ok {
			break
		}
		rest := part.Rest(g, at)
		beginning := part.Beginning(g, at)
		beginning.Begun = g.Begun
		rest.Unfinished = g.Unfinished
		out = append(out, beginning)
		g = rest
	}
	return append(out, g)
}

// joint is the distance (mm) from the beginning of a gesture at which it is
// divided: the thinnest place in the later half of what a load can paint.
func (p *planner) joint(g stroke.Gesture) (at float64, ok bool) {
	length := part.Length(g.Points)
	low, high := 0.0, length
	for range 16 { // to a thousandth of most strokes
		middle := (low + high) / 2
		if p.within(p.need(part.Beginning(g, middle))) {
			low = middle
		} else {
			high = middle
		}
	}
	thinnest := math.Inf(1)
	for i := 0.0; ; i++ {
		d := low - float64(i*step)
		if d < float64(earliest*low) || d <= 0 {
			break
		}
		if w := part.WidthAt(g.Points, d); w < thinnest && w < d/2 { // so that the rest begins later than the stroke
			thinnest, at, ok = w, d, true
		}
	}
	return at, ok
}

// Text says what the ink is used for: "2910 mm², 4 loads of 900 mm²".
func (u *Use) Text(m format.Medium) string {
	total, holds := m.Area(u.Total.Area), m.Area(u.Holds.Area)
	if u.Holds.Length > 0 {
		total, holds = m.Length(u.Total.Length), m.Length(u.Holds.Length)
	}
	return fmt.Sprintf("%s painted with %s of %s", total, format.Count(len(u.Loads), "load"), holds)
}
