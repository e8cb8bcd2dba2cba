// Package replay records what a decoder finds in a file, in the drawing's own
// units, and plays it to other sinks as often as they are needed.
package replay

import (
	"fmt"
	"slices"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
	"mahlstick/runner/vector"
)

// Bounds on what one file may hold. They count work, so that every machine
// refuses the same files.
const (
	maxSteps = 3_000_000 // calls of the sink
	maxParts = 8_000_000 // vertices, knots and control points
)

// Recording is a sink that can be played to another.
type Recording struct {
	steps   []step
	layers  []string
	byName  map[string]int32 // by folded name
	groups  groups
	parts   int
	stopped bool
}

// step is one call of the sink.
type step func(p *player)

// player plays a recording.
type player struct {
	out     sink.Sink
	layers  []int32 // by number in the recording
	wanted  bool    // the last entity for which it was asked
	counted bool    // that entity
}

// New makes an empty recording.
func New() *Recording {
	r := &Recording{byName: map[string]int32{}}
	r.groups = groups{r: r, maps: []affine.Map{affine.Scale(1)}}
	return r
}

// Play hands everything over in the order in which it was recorded.
func (r *Recording) Play(out sink.Sink) {
	p := &player{out: out}
	for _, s := range r.steps {
		if out.Stopped() {
			return
		}
		s(p)
	}
}

func record(r *Recording, s step) {
	if r.stopped {
		return
	}
	r.steps = append(r.steps, s)
	if len(r.steps) > maxSteps || r.parts > maxParts {
		r.stopped = true
		r.steps = append(r.steps, func(p *player) {
			p.out.Say(sink.Message{Code: problem.TooLarge, Stop: true, Fix: problem.Advise("split the drawing, or take what is not painted out of it"),
				Format: "the drawing has too many shapes on all its layers together"})
		})
	}
}

// entity is an entity as it is now, for the player.
func (p *player) entity(e *sink.Entity) sink.Entity {
	c := *e
	if c.Layer != sink.ByGroup {
		c.Layer = p.layers[c.Layer]
	}
	return c
}

func copyOf(e *sink.Entity) *sink.Entity {
	c := *e
	if c.Plane != nil {
		plane := *c.Plane
		c.Plane = &plane
	}
	return &c
}

// Unit settles the unit.
func (r *Recording) Unit(stated sink.Unit, root func(mm float64) affine.Map) {
	r.groups.maps[0] = root(1)
	record(r, func(p *player) { p.out.Unit(stated, root) })
}

// Layer finds a layer by its name or makes it.
func (r *Recording) Layer(name string) int32 {
	key := drawing.FoldName(name)
	if n, ok := r.byName[key]; ok {
		return n
	}
	n := int32(len(r.layers))
	r.byName[key] = n
	r.layers = append(r.layers, name)
	record(r, func(p *player) { p.layers = append(p.layers, p.out.Layer(name)) })
	return n
}

// Declare says how a layer is shown.
func (r *Recording) Declare(layer int32, state sink.LayerState) {
	record(r, func(p *player) { p.out.Declare(p.layers[layer], state) })
}

// Groups are those in which shapes lie.
func (r *Recording) Groups() sink.Groups { return &r.groups }

// Wanted asks later whether an entity belongs to the picture; until then it
// does.
func (r *Recording) Wanted(e *sink.Entity, why string) bool {
	c := copyOf(e)
	record(r, func(p *player) {
		e := p.entity(c)
		p.wanted = p.out.Wanted(&e, why)
		p.counted = e.Counted
	})
	return true
}

// Count counts an entity.
func (r *Recording) Count(e *sink.Entity, why string) {
	c := copyOf(e)
	record(r, func(p *player) {
		if e := p.entity(c); p.wanted || !e.Asked {
			p.out.Count(&e, why)
			p.counted = p.counted || e.Asked
		}
	})
}

// Add takes a line or an outline.
func (r *Recording) Add(e *sink.Entity, o sink.Outline) {
	c := copyOf(e)
	o.Curve = o.Curve.Copy()
	r.parts += o.Curve.Parts()
	record(r, func(p *player) {
		if !p.wanted {
			return
		}
		e := p.entity(c)
		e.Counted = p.counted
		p.out.Add(&e, o)
		p.counted = e.Counted
	})
}

// StartArea begins an area.
func (r *Recording) StartArea() {
	record(r, func(p *player) {
		if p.wanted {
			p.out.StartArea()
		}
	})
}

// Hatch takes an area by its boundaries.
func (r *Recording) Hatch(e *sink.Entity, boundaries []sink.Boundary) {
	c := copyOf(e)
	boundaries = slices.Clone(boundaries)
	for i := range boundaries {
		b := &boundaries[i]
		if b.Whole != nil {
			b.Whole = b.Whole.Copy()
			r.parts += b.Whole.Parts()
		}
		b.Edges = slices.Clone(b.Edges)
		for k, edge := range b.Edges {
			b.Edges[k] = edge.Copy()
			r.parts += edge.Parts()
		}
	}
	record(r, func(p *player) {
		if p.wanted {
			e := p.entity(c)
			p.out.Hatch(&e, boundaries)
		}
	})
}

// Say notes a problem.
func (r *Recording) Say(m sink.Message) {
	text := fmt.Sprintf(m.Format, m.Args...) // the arguments may be memory that is used again
	m.Format, m.Args = "%s", []any{text}
	record(r, func(p *player) {
		if p.wanted || !m.Asked {
			p.out.Say(m)
		}
	})
	r.stopped = r.stopped || m.Stop && !m.Asked
}

// Stopped says that nothing more is wanted.
func (r *Recording) Stopped() bool { return r.stopped }

// Finish ends the file.
func (r *Recording) Finish(hint string) { record(r, func(p *player) { p.out.Finish(hint) }) }

// Fork is a recording of its own that knows the same layers.
func (r *Recording) Fork() sink.Splitter {
	f := New()
	f.groups.maps[0] = r.groups.maps[0]
	for _, name := range r.layers {
		f.Layer(name)
	}
	return f
}

// Join takes over what a fork has recorded.
func (r *Recording) Join(fork sink.Splitter) bool {
	f, ok := fork.(*Recording)
	if !ok || f.stopped || len(r.steps)+len(f.steps) > maxSteps || r.parts+f.parts > maxParts {
		return false
	}
	for _, name := range f.layers {
		r.Layer(name)
	}
	r.parts += f.parts
	record(r, func(p *player) { f.Play(p.out) })
	return true
}

// groups are those that are entered.
type groups struct {
	r    *Recording
	maps []affine.Map
}

// Enter begins a group.
func (g *groups) Enter(of sink.Group) {
	g.maps = append(g.maps, *g.Map())
	record(g.r, func(p *player) { p.out.Groups().Enter(of) })
}

// Transform moves what the current group holds from here on.
func (g *groups) Transform(m *affine.Map) {
	own := *m
	*g.Map() = g.Map().After(&own)
	record(g.r, func(p *player) { p.out.Groups().Transform(&own) })
}

// Leave ends a group.
func (g *groups) Leave() {
	g.maps = g.maps[:len(g.maps)-1]
	record(g.r, func(p *player) { p.out.Groups().Leave() })
}

// Clip cuts what the current group holds off at the sides of a parallelogram.
func (g *groups) Clip(corners [4]vector.XY) {
	record(g.r, func(p *player) { p.out.Groups().Clip(corners) })
}

// ClipTo cuts what the current group holds off at an area.
func (g *groups) ClipTo(area []sink.ClipShape) {
	own := slices.Clone(area)
	for i := range own {
		own[i].Curves = slices.Clone(own[i].Curves)
		for k, c := range own[i].Curves {
			own[i].Curves[k] = c.Copy()
			g.r.parts += c.Parts()
		}
	}
	record(g.r, func(p *player) { p.out.Groups().ClipTo(own) })
}

// Map is from the coordinates of the current group to those of the drawing.
func (g *groups) Map() *affine.Map { return &g.maps[len(g.maps)-1] }
