package collect

import (
	"maps"

	"mahlstick/runner/drawing/sink"
)

// Fork makes a second collector with the same layers and the same unit.
func (c *Collector) Fork() sink.Splitter {
	n := &notes{file: c.notes.file, cut: c.notes.cut, refuse: c.notes.refuse, once: maps.Clone(c.notes.once), wants: c.notes.wants}
	layers := c.layers.fork(n)
	t := &tally{index: map[countKey]int{}, notes: n, layers: layers}
	s := newShapes(c.opt, n, t, cap(c.shapes.contours)/2)
	s.measure = c.shapes.measure
	return &Collector{notes: n, groups: newGroupStack(c.groups.stack[0].m, layers, &c.opt), opt: c.opt, layers: layers, unit: c.unit, tally: t, shapes: s}
}

// Join adds what a fork has collected. It returns false and adds nothing if one
// collector would have made something else of the whole.
func (c *Collector) Join(fork sink.Splitter) bool {
	f, ok := fork.(*Collector)
	switch {
	case !ok, f.notes.stopped, len(f.notes.list) > 0,
		c.shapes.points+f.shapes.points > maxPoints, c.shapes.count+f.shapes.count > maxShapes,
		len(c.layers.list)+len(f.layers.list) > maxLayers, len(c.tally.counts)+len(f.tally.counts) > maxTallies:
		return false
	}
	number := make([]int32, len(f.layers.list))
	for i, l := range f.layers.list {
		number[i] = c.Layer(l.name)
	}
	c.tally.join(f.tally, number)
	c.shapes.join(f.shapes, number)
	return true
}

// join adds other shapes; number translates their layers' numbers.
func (s *shapes) join(f *shapes, number []int32) {
	for _, k := range f.contours {
		if k.Group > 0 {
			k.Group += s.areas
		}
		s.contours = append(s.contours, k)
	}
	for _, i := range f.info {
		i.Order += s.count
		s.info = append(s.info, i)
	}
	for _, l := range f.lines {
		l.Order, l.Layer = l.Order+s.count, number[l.Layer]
		s.lines = append(s.lines, l)
	}
	s.points, s.count, s.areas = s.points+f.points, s.count+f.count, s.areas+f.areas
	s.bounds = s.bounds.Union(f.bounds)
	if s.thin.count == 0 {
		s.thin = f.thin
	} else {
		s.thin.count += f.thin.count
	}
}
