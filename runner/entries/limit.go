package entries

import (
	"math"
	"slices"

	"mahlstick/recipe/arith"
	"mahlstick/runner/plane"
	"mahlstick/runner/stroke"
)

// keepLimit holds the press of a body back where it would rise more steeply
// than the brush's limit, and lists where that shows.
func (s *Shaper) keepLimit(b body, out *Shaped) body {
	start := 0.0
	if s.concealed {
		start = s.reach(b)
		if start < b.points[0].Press {
			more := b
			more.rounds = passes
			if r := s.reach(more); r > start {
				b, start = more, r
			}
		}
	} else if len(b.points) > 1 {
		start = s.underLag()
	}
	h := s.hold(b, start)
	// The mark at the far end may be held back, too, and leave less room.
	for s.concealed && start > 0 && !s.canEnter(h.body) {
		if start *= lighter; start < stillHeld {
			start = 0
		}
		h = s.hold(b, start)
	}
	s.listHeld(h, out)
	return h.body
}

// lighter is the share of a press that is tried next where there is no room for
// it.
const lighter = 0.9

// canEnter reports whether there is room for a concealed way to the body.
func (s *Shaper) canEnter(b body) bool {
	path := b.away(true)
	_, ok := s.falling(path, s.beyond(path, b.closed), s.limit, s.limit)
	return ok
}

// holding is a body whose press is held back.
type holding struct {
	body
	once  []stroke.Point // the path without ways back, with the deepest press at each of its points
	drawn []float64      // the press that was drawn at each of these
}

// hold holds the press of a body back; it is at most start at its beginning.
func (s *Shaper) hold(b body, start float64) holding {
	h := holding{body: b}
	points, drawn := s.held(b.points, start)
	if b.closed && s.concealed {
		// What rises at the end of the lap may go on rising at its beginning.
		if last := points[len(points)-1].Press; last < start {
			points, drawn = s.held(b.points, last)
			points[len(points)-1] = points[0] // but for rounding they are equal
		}
	}
	h.points, h.once, h.drawn = points, points, drawn
	if s.concealed {
		h.points, h.once = s.goneOver(points, drawn)
	}
	h.closed = closed(h.points)
	return h
}

// goneOver adds ways back to a path whose press is held back in places: from
// where it is as drawn again the brush goes back over the place and on again. On
// the way back the place narrows, and lifting has no limit. It returns the path
// with these ways, and the path without them with the deepest press at each of
// its points.
func (s *Shaper) goneOver(points []stroke.Point, drawn []float64) (path, deepest []stroke.Point) {
	path, deepest = points[:1:1], slices.Clone(points)
	for i := 1; i < len(points); i++ {
		path = append(path, points[i])
		if points[i].Press < drawn[i] || points[i-1].Press == drawn[i-1] {
			continue
		}
		// Back as far as the press is no less than on the way here, so that the
		// way on can begin there.
		turn, gain, press := i, 0.0, points[i].Press
		for turn > 0 && (turn == i || points[turn].Press < drawn[turn]) {
			press = min(drawn[turn-1], press+float64(s.limit*between(points[turn-1], points[turn])))
			if press < points[turn-1].Press {
				break
			}
			turn--
			gain = max(gain, press-points[turn].Press)
			deepest[turn] = s.point(points[turn], press)
		}
		if gain <= stillHeld {
			copy(deepest[turn:i], points[turn:i])
			continue
		}
		place := make([]stroke.Point, 0, i-turn+1)
		for k := i; k >= turn; k-- {
			place = append(place, s.point(points[k], drawn[k]))
		}
		back, _ := s.held(place, points[i].Press)
		path = append(path, back[1:]...)
		path = append(path, points[turn+1:i+1]...)
	}
	return path, deepest
}

// reach is the deepest press at the first point of a body that a concealed
// entry can have within the limit.
func (s *Shaper) reach(b body) float64 {
	path := b.away(true)
	press, way := path[0].Press, 0.0
	for i := 1; i < len(path); i++ {
		way += between(path[i-1], path[i])
		if !b.closed { // that of a lap rises within the limit towards its beginning
			press = min(press, path[i].Press+float64(s.limit*way))
		}
	}
	end := s.beyond(path, b.closed)
	if end.radius <= 0 {
		return min(press, float64(nearly*float64(s.limit*way)))
	}
	// The farther beyond, the lighter the mark must be.
	low, high := way, way+end.radius
	for range 30 { // to a billionth
		w := (low + high) / 2
		if total := float64(s.limit * w); end.holds(min(float64(s.limit*(w-way)), end.at.Press), w-way) && total <= press {
			low = w
		} else {
			high = w
		}
	}
	return min(press, float64(nearly*float64(s.limit*low)))
}

// nearly is the share of a way that is used where all of it is needed, so that
// rounding leaves room.
const nearly = 0.999

// underLag is the deepest press that the limit allows where a stroke begins
// and the holder moves out ahead of the mark while the brush is pressed.
func (s *Shaper) underLag() float64 {
	trails := s.lag.Trails()
	if len(trails) == 1 {
		return float64(s.limit * trails[0].Lag)
	}
	press, lag := 0.0, 0.0
	for _, t := range trails {
		if t.Press-press > float64(s.limit*(t.Lag-lag)) {
			break
		}
		press, lag = t.Press, t.Lag
	}
	return press
}

// held returns a path on which the press is at most start at first and rises
// nowhere by more than the limit, and the press that was drawn at each of its
// points. It is nowhere deeper than drawn, and no lighter than it must be.
func (s *Shaper) held(points []stroke.Point, start float64) (out []stroke.Point, drawn []float64) {
	add := func(p stroke.Point, press, asDrawn float64) {
		if press < asDrawn {
			p = s.point(p, press)
		}
		out, drawn = append(out, p), append(drawn, asDrawn)
	}
	press := min(points[0].Press, start)
	add(points[0], press, points[0].Press)
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		d := between(a, b)
		rise := float64(s.limit * d)
		if under := a.Press - press; under > 0 && press+rise > b.Press {
			// The drawn press is reached on the way.
			t := under / (under + press + rise - b.Press)
			at, full := lerp(a, b, t), a.Press+float64(t*(b.Press-a.Press))
			if at.Plane() != a.Plane() && at.Plane() != b.Plane() {
				add(s.point(at, full), full, full)
			}
		}
		press = min(b.Press, press+rise)
		add(b, press, b.Press)
	}
	return out, drawn
}

// listHeld adds a remark if a press is less than drawn.
func (s *Shaper) listHeld(h holding, out *Shaped) {
	points, drawn := h.once, h.drawn
	if !out.Kind.OfPicture() { // paints no part of a drawing
		return
	}
	r := stroke.Remark{Reason: stroke.TooSteep, Shape: out.Shape, Place: out.Place}
	width := func(i int) float64 { return s.point(points[i], drawn[i]).Width }
	worst := 0.0
	for i := range points {
		if by := drawn[i] - points[i].Press; by > worst {
			worst, r.At, r.Width = by, points[i].Plane(), width(i)
		}
		if i > 0 {
			d := between(points[i-1], points[i])
			narrower := width(i-1) - points[i-1].Width + width(i) - points[i].Width
			r.Area += float64(d*narrower) / 2
			if narrower > 0 {
				r.Length += d
			}
		}
	}
	if worst <= stillHeld {
		return
	}
	// Half a disc more at each end, which for a dab is all of it.
	for _, i := range [...]int{0, len(points) - 1} {
		w, now := width(i), points[i].Width
		r.Area += float64(float64(arith.Pi/8) * (float64(w*w) - float64(now*now)))
	}
	out.Remarks = append(out.Remarks, r)
}

// dot makes a dab that cannot be pressed within the limit a small lap, of a mark
// half as wide, which covers the same disc. If the brush paints no mark so
// narrow, the dab stays.
func (s *Shaper) dot(b body) body {
	at := b.points[0]
	press, err := s.curve.PressFor(at.Width / 2)
	if err != nil {
		return b
	}
	radius := at.Width / 4
	// A chord lies r(1-cos h), about rh²/2, inside its arc of 2h.
	n := math.Ceil(arith.Pi / math.Sqrt(2*max(s.tolerance, 0.01)/4/radius))
	n = min(max(n, 12), 96)
	var lap []stroke.Point
	for i := range int(n) {
		sin, cos := arith.SinCos(2 * arith.Pi * float64(i) / n)
		p := stroke.Point{X: plane.Round(float64(at.X) + float64(radius*plane.PerMM*cos)), Y: plane.Round(float64(at.Y) + float64(radius*plane.PerMM*sin))}
		lap = append(lap, s.point(p, press))
	}
	lap = slices.Clip(append(lap, lap[0]))
	return body{points: lap, closed: true, rounds: 1}
}
