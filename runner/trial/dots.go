package trial

import (
	"math"

	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/runner/plane"
)

const (
	touchOffs = 10
	// heldGrowth (mm) is how much wider than its mark a dot that is held may
	// become and still has room. Common practice, no source.
	heldGrowth = 4.0
	dotRoom    = 4.0 // mm around a dot, for calipers and its number on the page
	crossArm   = 4.0 // mm, from the middle of a cross to its ends
	dotFrom    = 9.0 // mm from the middle of a cross to the dot beside it
)

// layDwell is dots that are held for longer and longer. d² = d0² + 4·D·t (blots grow
// with the root of time: from memory, the Lucas-Washburn law).
func layDwell(b *bench) []item {
	var out []item
	for _, share := range measure.HeldShares {
		p := b.dot(0, 0, b.press)
		p.look = true
		p.gesture.Trial.Wait = hundredths(b.trial.Held * share)
		it := b.item(p)
		it.spread(heldGrowth)
		it.waits = p.gesture.Trial.Wait
		out = append(out, it)
	}
	return out
}

// spread adds room around an item.
func (it *item) spread(by float64) {
	it.width, it.height = it.width+by, it.height+by
	shift := plane.Snap(by / 2)
	for _, p := range it.parts {
		for i := range p.gesture.Points {
			p.gesture.Points[i].X += shift
			p.gesture.Points[i].Y += shift
		}
		for i := range p.readings {
			p.readings[i].X += by / 2
			p.readings[i].Y += by / 2
		}
	}
}

// layTouches are dots, each after the painter has touched off anew: their scatter
// is that of touching off.
func layTouches(b *bench) []item {
	var out []item
	for range touchOffs {
		p := b.dot(0, 0, b.press)
		p.look, p.before = true, "touch off again, Z only, and note the reading of Z. Then resume"
		it := b.item(p)
		it.spread(dotRoom)
		out = append(out, it)
	}
	return out
}

// layRunOut is one load of ink, painted in lanes until it is used up or the sheet is
// full. What is read is the length of path until the mark is even, and until it
// first breaks.
func layRunOut(b *bench) []item {
	press := b.press
	lanes, length, pitch := runOutLanes(b)
	g := b.gesture(b.trial.Feed)
	for i := range lanes {
		y, from, to := -float64(float64(i)*pitch), 0.0, length
		if i%2 == 1 {
			from, to = to, from
		}
		g.Points = append(g.Points, b.at(from, y, press), b.at(to, y, press))
	}
	p := part{who: b.who, gesture: g, look: true, before: "load the brush: this is one load, to its end"}
	for range 2 { // until it is even, until it breaks
		p.readings = append(p.readings, Reading{Press: press, Feed: b.trial.Feed, Expected: unknown})
	}
	return []item{b.item(p)}
}

// runOutLanes are how many lanes a run-out has, how long they are, and how far apart.
func runOutLanes(b *bench) (lanes int, length, pitch float64) {
	width := b.width(b.press)
	length, pitch = min(longest, b.area.right-b.area.left-width), width+gap
	lanes = int(math.Ceil(loadLength / (length + pitch)))
	return max(1, min(lanes, int((b.area.high-b.area.low-width)/pitch))), length, pitch
}

// loadLength (mm) is how long a path one load is given. Common practice, no
// source.
const loadLength = 3000

// tipsOf are the marks of all trials of the kind tips, made for the first of
// them: the brush of the first paints a cross for each mark, and each brush a dot
// at the same distance to the right of one. So the dots of all brushes are
// compared with the same brush. Trials after the first add nothing.
func tipsOf(job *model.Job, index int, area box) []item {
	var out []item
	var first *bench
	for i := range job.Trials {
		t := &job.Trials[i]
		if t.Kind != model.Tips {
			continue
		}
		b := newBench(t, job, area)
		if first == nil {
			if first = b; i != index {
				return nil
			}
		}
		for range t.Repeats {
			out = append(out, layTip(b, first))
		}
	}
	return out
}

// layTip is a cross, painted by the first brush, and a dot beside it.
func layTip(b *bench, first *bench) item {
	press := first.press
	across := part{who: first.who, look: true, gesture: first.gesture(first.trial.Feed, first.at(-crossArm, 0, press), first.at(crossArm, 0, press))}
	up := part{who: first.who, look: true, gesture: first.gesture(first.trial.Feed, first.at(0, -crossArm, press), first.at(0, crossArm, press))}
	// Clear of the cross, however wide the marks are.
	away := dotFrom + first.width(press)/2 + b.width(b.press)/2
	away = math.Ceil(away)
	dot := part{who: b.who, look: true, gesture: b.gesture(b.trial.Feed, b.at(away, 0, b.press))}
	dot.readings = []Reading{
		{X: away, Across: 0, Press: b.press, Expected: away},
		{X: away, Across: 90, Press: b.press, Expected: 0},
	}
	it := b.item(across, up, dot)
	return it
}
