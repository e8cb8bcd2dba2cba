package align

import (
	"math"

	"mahlstick/runner/vector"
)

// judge improves a hypothesis on the overview, and says how well it fits.
func (s *search) judge(m Map, paths []Path, width, height float64) Found {
	for _, reach := range [...]float64{2, 1, 0.7} { // mm
		offsets := s.offsets(m, paths, reach)
		if len(offsets) < 4 {
			break
		}
		f, ok := Improve(m, offsets)
		if !ok || !nearTo(m, f.Map, width, height, 12) {
			break
		}
		m = f.Map
	}
	f := Found{Map: m, Mirrored: m.det() > 0} // y is down in the scan and up on the sheet
	f.Alike = s.alikeness(m)
	hit, view := 0, 0
	for _, p := range s.samples {
		at := m.Pixel(p)
		if s.near.holds(at) {
			hit++
		}
		if s.picture.has(at) {
			view++
		}
	}
	f.Hit, f.InView = float64(hit)/float64(max(1, view)), float64(view)/float64(len(s.samples))
	return f
}

// alikeness compares the ink of the scan with that of the job, square by square of the
// job.
func (s *search) alikeness(m Map) float64 {
	both, asked, seen := 0, 0, 0
	height := float64(s.asked.height) / grid
	for y := range s.asked.height {
		for x := range s.asked.width {
			a := s.asked.ink[y*s.asked.width+x]
			at := m.Pixel(vector.XY{X: (float64(x) + 0.5) / grid, Y: height - (float64(y)+0.5)/grid})
			if !s.picture.has(at) {
				continue
			}
			b := s.picture.holds(at)
			if a {
				asked++
			}
			if b {
				seen++
			}
			if a && b {
				both++
			}
		}
	}
	if asked+seen == 0 {
		return 0
	}
	return 2 * float64(both) / float64(asked+seen)
}

// offsets are how far the painted lines lie beside the asked ones, in the overview: across
// their lines and, where a line is straight, along it by its two ends.
func (s *search) offsets(m Map, paths []Path, reach float64) []Offset {
	const u = 0.1 // mm, on the overview
	var out []Offset
	total := 0.0
	for _, p := range paths {
		total += p.Length()
	}
	step := max(2, total/3000)
	square := 0.5 / math.Sqrt(math.Abs(m.det())) // mm
	for _, p := range paths {
		p.Walk(step, func(at Point, along vector.XY) {
			normals := []vector.XY{along.Left()}
			if len(p.Points) == 1 {
				normals = append(normals, along)
			}
			for _, n := range normals {
				if by, ok := s.middle(m, at.XY, n, reach+at.Width/2, square); ok && math.Abs(by) < reach {
					out = append(out, Offset{At: at.XY, Along: n, By: by, U: u, Program: p.Program})
				}
			}
		})
		if a, ok := p.straight(); ok {
			if by, ok := s.between(m, p, a, reach, square); ok && math.Abs(by) < reach {
				out = append(out, Offset{At: p.Points[0].XY.Toward(p.Points[len(p.Points)-1].XY, 0.5), Along: a, By: by, U: endU, Program: p.Program})
			}
		}
	}
	return out
}

// endU (mm) is how well the two ends of a stroke say where it lies along its way: a brush
// comes down and lifts with its own manners.
const endU = 0.3

// straight is the direction of a path that is straight and at least 3 mm long.
func (p Path) straight() (vector.XY, bool) {
	first, last := p.Points[0].XY, p.Points[len(p.Points)-1].XY
	d := last.Minus(first)
	length := d.Length()
	if length < 3 || p.Length() > 1.001*length {
		return vector.XY{}, false
	}
	return d.Times(1 / length), true
}

// middle is the middle of the ink that is nearest to a place, along a direction, if
// it lies between paper.
func (s *search) middle(m Map, at, along vector.XY, reach, step float64) (float64, bool) {
	n := int(reach/step) + 2
	ink := func(i int) bool { return s.picture.holds(m.Pixel(at.Plus(along.Times(float64(i) * step)))) }
	for d := range n {
		for _, i := range [...]int{d, -d} {
			if !ink(i) {
				continue
			}
			from, to := i, i
			for ink(from-1) && from > -2*n {
				from--
			}
			for ink(to+1) && to < 2*n {
				to++
			}
			return float64(from+to) / 2 * step, from > -2*n && to < 2*n
		}
	}
	return 0, false
}

// between is how far the middle between the ends of a straight line lies from where the
// job asks for it.
func (s *search) between(m Map, p Path, along vector.XY, reach, step float64) (float64, bool) {
	first, last := p.Points[0], p.Points[len(p.Points)-1]
	end := func(at Point, out vector.XY) (float64, bool) {
		from := -(reach + at.Width)
		if !s.picture.holds(m.Pixel(at.XY.Plus(out.Times(from - 0.2)))) {
			return 0, false
		}
		for t := from; t < reach+at.Width; t += step {
			if !s.picture.holds(m.Pixel(at.XY.Plus(out.Times(t)))) {
				return t, true
			}
		}
		return 0, false
	}
	a, ok := end(first, along.Times(-1))
	b, too := end(last, along)
	if !ok || !too {
		return 0, false
	}
	return (b - a - (last.Width-first.Width)/2) / 2, true
}
