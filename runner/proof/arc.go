package proof

import "math"

// radiusSlack is how much the radius at the end of an arc may differ from that
// at its start, mm. Section 3.5.3.2.
const radiusSlack = 0.002

// inPlane returns the two coordinates of a point in a plane (17, 18 or 19) and
// the third, across it. Seen from the positive end of the third axis, the first
// turns into the second counter-clockwise.
func inPlane(plane int, p Point) (a, b, across float64) {
	switch plane {
	case 18:
		return p.Z, p.X, p.Y
	case 19:
		return p.Y, p.Z, p.X
	}
	return p.X, p.Y, p.Z
}

// outOfPlane is the inverse of inPlane.
func outOfPlane(plane int, a, b, across float64) Point {
	switch plane {
	case 18:
		return Point{X: b, Y: across, Z: a}
	case 19:
		return Point{X: across, Y: a, Z: b}
	}
	return Point{X: a, Y: b, Z: across}
}

// arc computes the circle of a G2 or G3 to the point, section 3.5.3.
func (r *mover) arc(stated Axes, to Point) (*Helix, bool) {
	b := r.block
	var offsets [3]byte // letters of the two offsets in the plane, and of the one across
	var in Axes
	switch r.plane {
	case 18:
		offsets, in = [3]byte{'K', 'I', 'J'}, X|Z
	case 19:
		offsets, in = [3]byte{'J', 'K', 'I'}, Y|Z
	default:
		offsets, in = [3]byte{'I', 'J', 'K'}, X|Y
	}
	if stated&in == 0 {
		r.fault(0, len(r.line), "arc", "write where the arc ends", "the arc has no end in its plane")
		return nil, false
	}
	if r.path.Stated&in != in {
		r.fault(0, len(r.line), "unknown-start", "go to the start of the arc first", "the arc begins at a position that the program has not set")
		return nil, false
	}
	t := &Helix{Plane: r.plane}
	sa, sb, across := inPlane(r.plane, r.at)
	ea, eb, _ := inPlane(r.plane, to)
	var ca, cb float64
	da, hasA := b.word(offsets[0])
	db, hasB := b.word(offsets[1])
	radius, hasR := b.word('R')
	switch {
	case b.has[offsets[2]-'A']:
		r.faultWord(offsets[2], "arc", "take the word away, or choose another plane", "%c lies across the plane of the arc", offsets[2])
		return nil, false
	case hasR && (hasA || hasB):
		r.faultWord('R', "arc", "keep the radius or the centre", "the arc has a radius and a centre")
		return nil, false
	case hasR:
		var why, fix string
		if ca, cb, why, fix = centre(sa, sb, ea, eb, float64(radius*r.unit), r.motion == 20); why != "" {
			r.faultWord('R', "arc", fix, "%s", why)
			return nil, false
		}
	case hasA || hasB:
		ca, cb = sa+float64(da*r.unit), sb+float64(db*r.unit)
	default:
		r.fault(0, len(r.line), "arc", "write the centre's offsets or the radius", "the arc has neither centre nor radius")
		return nil, false
	}
	t.Radius = root(sa-ca, sb-cb)
	end := root(ea-ca, eb-cb)
	t.EndsOff = end - t.Radius
	if t.Radius == 0 || end == 0 || t.Radius > MaxCoord {
		r.fault(0, len(r.line), "arc", "write the centre as offsets from the start of the arc", "the arc has no radius, or one beyond any machine")
		return nil, false
	}
	t.Centre = outOfPlane(r.plane, ca, cb, across)
	clockwise := r.motion == 20
	if sa == ea && sb == eb {
		t.Sweep = 2 * math.Pi // a full circle, section 3.5.3.2
	} else {
		t.Sweep = angleBetween(sa-ca, sb-cb, ea-ca, eb-cb)
		if clockwise {
			t.Sweep = -t.Sweep
		}
		if t.Sweep <= 0 {
			t.Sweep += 2 * math.Pi
		}
	}
	if clockwise {
		t.Sweep = -t.Sweep
	}
	return t, true
}

// centre finds the centre of an arc of radius |radius| from s to e: of at most
// half a turn for a positive radius, of more for a negative one. If there is
// none, it returns why and a fix.
func centre(sa, sb, ea, eb, radius float64, clockwise bool) (ca, cb float64, why, fix string) {
	chord := root(ea-sa, eb-sb)
	if chord == 0 {
		return 0, 0, "the arc ends where it begins, so its radius does not say where its centre is", "write a full circle with its centre"
	}
	half := chord / 2
	size := math.Abs(radius)
	if half > size+radiusSlack || size == 0 {
		return 0, 0, "the radius " + mm(size) + " mm is too small: the ends of the arc are " + mm(chord) + " mm apart",
			"write a radius of at least half the distance between the ends"
	}
	height := 0.0
	if size > half {
		height = math.Sqrt(float64(size*size) - float64(half*half))
	}
	// Clockwise, at most half a turn: the centre is to the right of the chord.
	if clockwise == (radius > 0) {
		height = -height
	}
	ca = (sa+ea)/2 - float64(height*(eb-sb))/chord
	cb = (sb+eb)/2 + float64(height*(ea-sa))/chord
	return ca, cb, "", ""
}

// Length is the length of a move in space, mm.
func (m *Move) Length() float64 {
	if m.Helix == nil {
		return length3(m.To.X-m.From.X, m.To.Y-m.From.Y, m.To.Z-m.From.Z)
	}
	_, _, from := inPlane(m.Helix.Plane, m.From)
	_, _, to := inPlane(m.Helix.Plane, m.To)
	return root(m.Helix.planeLength(), to-from)
}

// planeLength is the length of the arc in its plane, mm.
func (t *Helix) planeLength() float64 {
	return float64((t.Radius + t.EndsOff/2) * math.Abs(t.Sweep))
}

// chordError is how far a chord may be from the arc that it replaces, mm.
const chordError = 0.0005

// maxChords bounds the chords of one arc.
const maxChords = 20000

// count is the number of chords needed to stay within the given distance (mm)
// of the arc.
func (t *Helix) count(within float64) int {
	// A chord over the angle a lies r(1 - cos(a/2)) from its arc, which is at
	// most r a²/8.
	step := min(math.Sqrt(float64(8*within)/t.Radius), 0.5)
	return min(int(math.Abs(t.Sweep)/step)+1, maxChords)
}

// chords yields the points of a move after its first, each with its share of
// the length from 0 to 1: the end of a straight move; points of an arc whose
// chords are nowhere farther than within (mm) from it. It stops if yield
// returns false.
func (m *Move) chords(within float64, yield func(share float64, p Point) bool) {
	t := m.Helix
	if t == nil {
		yield(1, m.To)
		return
	}
	n := t.count(within)
	ca, cb, _ := inPlane(t.Plane, t.Centre)
	a, b, from := inPlane(t.Plane, m.From)
	_, _, to := inPlane(t.Plane, m.To)
	a, b = a-ca, b-cb
	sine, cosine := sineCosine(t.Sweep / float64(n))
	for i := 1; i < n; i++ {
		a, b = float64(a*cosine)-float64(b*sine), float64(a*sine)+float64(b*cosine)
		share := float64(i) / float64(n)
		stretch := 1 + float64(share*t.EndsOff)/t.Radius
		p := outOfPlane(t.Plane, ca+float64(a*stretch), cb+float64(b*stretch), from+float64((to-from)*share))
		if !yield(share, p) {
			return
		}
	}
	yield(1, m.To)
}
