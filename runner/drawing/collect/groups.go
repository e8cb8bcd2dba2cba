package collect

import (
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/affine"
	"mahlstick/runner/drawing/sink"
)

// groupStack holds the groups that were entered, the innermost last.
type groupStack struct {
	stack []group
	table *layerTable
	// cut keeps the areas of clips, whose curves are laid down with a tolerance in
	// mm.
	cut       bool
	tolerance float64
}

type group struct {
	m         affine.Map // to mm
	outermost string     // name of the outermost named group
	asked     string     // name of the innermost group that was asked for
	layer     int32      // number of the layer of that name, or -1 while nothing has needed it
	clips     []clip
}

func newGroupStack(m affine.Map, table *layerTable, opt *drawing.Options) groupStack {
	return groupStack{stack: []group{{m: m, layer: -1}}, table: table, cut: opt.Cut, tolerance: opt.Tolerance}
}

func (s *groupStack) top() *group { return &s.stack[len(s.stack)-1] }

// Enter begins a group.
func (s *groupStack) Enter(g sink.Group) {
	in := *s.top()
	if g.Outer && in.outermost == "" && g.Name != "" {
		in.outermost, in.layer = g.Name, -1
	}
	for _, name := range [...]string{g.Name, g.ID} {
		if name != "" && s.table.isAsked(name) {
			in.asked, in.layer = name, -1
			break
		}
	}
	s.stack = append(s.stack, in)
}

// Transform applies a map to everything that follows in the current group.
func (s *groupStack) Transform(m *affine.Map) {
	g := s.top()
	g.m = g.m.After(m)
}

// Leave ends a group.
func (s *groupStack) Leave() { s.stack = s.stack[:len(s.stack)-1] }

// Map maps the coordinates of the current group to mm.
func (s *groupStack) Map() *affine.Map { return &s.top().m }

// layer is the number of the layer on which the current group is.
func (s *groupStack) layer() int32 {
	g := s.top()
	if g.layer < 0 {
		name := g.asked
		if name == "" {
			name = g.outermost
		}
		g.layer = s.table.number(name)
	}
	return g.layer
}
