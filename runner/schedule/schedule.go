// Package schedule lays out the day: what the painter does and what the machine
// does, step after step, and where to stop if it is parted into lessons.
package schedule

import (
	"math"
	"slices"
)

// Kind is what a step is.
type Kind int8

// The kinds of step.
const (
	Mount    Kind = iota // a brush is mounted and loaded
	Walk                 // the dry brush is touched off, and the margin walk is run
	TouchOff             // Z is set
	Strip                // the check strip is painted and measured
	Paint
	Dry // nothing else is left to do while the layer before dries
)

// Times are the times of the painter's steps, in s; Load is that of a load by hand
// at a pause. Lesson is the length of a lesson; 0 for a day that is not parted.
type Times struct{ Mount, TouchOff, Strip, Load, Lesson float64 }

// Layer is a layer with the times of its program.
type Layer struct {
	Fresh bool // its brush or ink is not that of the layer before
	Strip bool // it begins with a check strip
	// Starts are the times in s after the start of the program at which the strokes
	// of the picture begin, and First the number of the first of them. A program
	// can be stopped before each.
	Starts []float64
	First  int
	// Reloads are the numbers of the strokes before which the painter loads the brush
	// at a pause. Visits and Waits are when the program loads it in a well, and when
	// it waits for strokes to dry.
	Reloads       []int
	Visits, Waits []Span
	Seconds       float64 // of the whole program, pauses not counted
	Drying        float64 // s until the next layer can be painted; 0 if not known
}

// Span is a part of the time of a program, in s from its start.
type Span struct{ Starts, Seconds float64 }

// Break is a part of a step of painting in which nothing is painted.
type Break struct {
	Kind BreakKind
	Span // s, from the start of the lesson
}

// BreakKind is what is done in a break.
type BreakKind int8

// The kinds of break.
const (
	ByHand BreakKind = iota // the painter loads the brush
	InWell                  // the machine loads it
	Wet                     // the machine waits until strokes are dry
)

// Step is a step of the day.
type Step struct {
	Kind            Kind
	Layer           int     // from 0
	Starts, Seconds float64 // s, from the start of the lesson
	From, To        int     // the strokes that are painted, if the step is part of a layer
	Whole           bool    // the layer is painted to its end
	Breaks          []Break // of painting, in the order of their times for each kind
}

// Lesson is what is done without a break.
type Lesson struct {
	Steps   []Step
	Seconds float64
}

// Day lays out the steps of a job. Layers dry while the next brush is mounted.
// Where a lesson is stated no lesson is longer, and each that begins within a
// layer begins with mounting and touching off, because a place is lost when a
// machine is switched off; wet layers dry between lessons. needed is 0, or the
// length that a lesson must have at least: then there is no plan.
func Day(layers []Layer, walk float64, t Times) (lessons []Lesson, needed float64) {
	d := day{times: t, room: t.Lesson}
	if t.Lesson <= 0 {
		d.room = math.Inf(1)
	}
	for i, l := range layers {
		d.layer(i, l, walk)
		if d.needed > 0 {
			return nil, d.needed
		}
	}
	return append(d.lessons, d.now), 0
}

// day is a plan in the making.
type day struct {
	times   Times
	room    float64 // s of a lesson
	lessons []Lesson
	now     Lesson
	dry     float64 // s from the start of the lesson until the layer before is dry
	needed  float64
}

// layer adds the steps of a layer.
func (d *day) layer(i int, l Layer, walk float64) {
	again, rest := false, 0 // the layer goes on in a new lesson; the stroke it goes on with
	for rest < len(l.Starts) {
		load := func(k int) float64 { // s of a load by hand before a stroke
			if again && k == rest || !slices.Contains(l.Reloads, l.First+k) {
				return 0 // or it was mounted just now
			}
			return d.times.Load
		}
		if !d.ready(d.before(i, l, walk, again), load(rest)+l.seconds(rest)) {
			return
		}
		s := Step{Kind: Paint, Layer: i, From: l.First + rest}
		k := rest
		for k < len(l.Starts) && d.now.Seconds+s.Seconds+load(k)+l.seconds(k) <= d.room {
			at := d.now.Seconds + s.Seconds
			if by := load(k); by > 0 {
				s.Breaks = append(s.Breaks, Break{ByHand, Span{at, by}})
			}
			s.Breaks = append(s.Breaks, l.breaks(k, at+load(k))...)
			s.Seconds += load(k) + l.seconds(k)
			k++
		}
		s.To, s.Whole = l.First+k-1, k == len(l.Starts)
		d.add(s)
		rest, again = k, true
		if rest < len(l.Starts) {
			d.next()
		}
	}
	d.dry = d.now.Seconds + l.Drying
}

// begins is when the time of a stroke begins, in s from the start of the program. The
// way to the first counts as painting where no check strip comes before it.
func (l *Layer) begins(k int) float64 {
	if k == 0 && !l.Strip {
		return 0
	}
	return l.Starts[k]
}

// ends is when the time of a stroke ends.
func (l *Layer) ends(k int) float64 {
	if k+1 < len(l.Starts) {
		return l.Starts[k+1]
	}
	return l.Seconds
}

// seconds is what the machine takes for a stroke and the way to the next.
func (l *Layer) seconds(k int) float64 { return l.ends(k) - l.begins(k) }

// breaks are those that the machine makes by itself in the time of a stroke, which
// begins at a time of the lesson.
func (l *Layer) breaks(k int, at float64) (out []Break) {
	add := func(kind BreakKind, spans []Span) {
		for _, s := range spans {
			if s.Starts >= l.begins(k) && s.Starts < l.ends(k) {
				out = append(out, Break{kind, Span{at + s.Starts - l.begins(k), s.Seconds}})
			}
		}
	}
	add(InWell, l.Visits)
	add(Wet, l.Waits)
	return out
}

// before are the steps before the painting of a layer.
func (d *day) before(i int, l Layer, walk float64, again bool) []Step {
	var out []Step
	if l.Fresh || again || i == 0 {
		out = append(out, Step{Kind: Mount, Layer: i, Seconds: d.times.Mount})
	}
	if i == 0 && !again {
		out = append(out, Step{Kind: Walk, Layer: i, Seconds: d.times.TouchOff + walk})
	}
	out = append(out, Step{Kind: TouchOff, Layer: i, Seconds: d.times.TouchOff})
	if l.Strip && !again {
		out = append(out, Step{Kind: Strip, Layer: i, Seconds: d.times.Strip + l.Starts[0]})
	}
	return out
}

// ready adds the steps before a stroke, in this lesson or a new one; the stroke
// itself must fit too. It reports whether it does.
func (d *day) ready(steps []Step, stroke float64) bool {
	sum := stroke
	for _, s := range steps {
		sum += s.Seconds
	}
	if sum > d.room {
		d.needed = sum
		return false
	}
	mounted := d.now.Seconds
	if steps[0].Kind == Mount {
		mounted += steps[0].Seconds
	}
	wait := max(0, d.dry-mounted)
	if d.now.Seconds+wait+sum > d.room {
		d.next()
		wait = 0
		if steps[0].Kind != Mount { // switched off meanwhile
			steps = append([]Step{{Kind: Mount, Layer: steps[0].Layer, Seconds: d.times.Mount}}, steps...)
			if sum += d.times.Mount; sum > d.room {
				d.needed = sum
				return false
			}
		}
	}
	for i, s := range steps {
		if wait > 0 && (s.Kind != Mount || i > 0) {
			d.add(Step{Kind: Dry, Layer: s.Layer - 1, Seconds: wait})
			wait = 0
		}
		d.add(s)
	}
	return true
}

func (d *day) add(s Step) {
	s.Starts = d.now.Seconds
	d.now.Steps = append(d.now.Steps, s)
	d.now.Seconds += s.Seconds
}

// next begins a new lesson.
func (d *day) next() {
	d.lessons = append(d.lessons, d.now)
	d.now, d.dry = Lesson{}, 0
}
