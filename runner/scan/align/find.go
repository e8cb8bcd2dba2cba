package align

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// Picture is what the overview of a scan shows.
type Picture struct {
	Width, Height int // squares
	// Ink are the squares that are ink, row by row from the top.
	Ink []bool
	// PerMM is how many squares a mm has, as the scan states it; 0 if it does not.
	PerMM float64
}

// Found is a way in which a scan may lie on the sheet.
type Found struct {
	Map      Map  // to squares of the overview
	Mirrored bool // the scan shows the sheet as in a mirror
	// Alike is twice the ink that scan and job have in common, as a part of the ink of
	// both (Dice's coefficient); Hit the part of the job's lines on which there is ink.
	Alike, Hit float64
	InView     float64 // the part of the job's lines that lies on the scan; Alike and Hit are of these
}

const (
	grid      = 4.0 // squares a mm, of what the job paints
	leastLine = 0.3 // mm, the least width with which it is drawn there
	nearby    = 0.5 // mm within which ink counts as hit, at first
	// scales: the scale of a scanner that states its own, and of one that does not, as
	// a part of the one by which sheet and scan are equally long.
	statedScale = 0.04
	widestScale = 1.6
	leastScale  = 0.25
	skew        = 12 * math.Pi / 180 // a scan lies within this of one of its four ways up
	anchors     = 24                 // blobs of the job that are tried in pairs
	mostBlobs   = 160                // of the scan
	leastBlob   = 5                  // squares, of the largest on a sheet that is not blank
	leastView   = 0.3                // of the lines of the job lie on the scan
	leastHits   = 0.3                // of the samples
	kept        = 24                 // of the hypotheses are looked at closely
	mostSamples = 1500
)

// search looks for a way in which a scan lies on the sheet.
type search struct {
	picture  *bitmap
	near     *bitmap // picture, grown
	blobs    []blob
	asked    *bitmap // what the job paints
	expected []blob
	samples  []vector.XY // on the lines of the job, in an order that is mixed
	scale    [2]float64  // from, to: squares of the picture a square of asked
}

// Find looks for the ways in which a scan may lie on a sheet of width x height mm on
// which some paths are painted, the best first, those of a mirror among them. There is none
// if nothing of the scan fits; blank reports that nothing is on it but what lies beside a
// sheet.
func Find(pic Picture, paths []Path, width, height float64) (found []Found, blank bool) {
	s := &search{picture: &bitmap{pic.Width, pic.Height, slices.Clone(pic.Ink)}}
	s.blobs = s.picture.blobs(true)
	if len(s.blobs) == 0 || s.blobs[0].area < leastBlob {
		return nil, true
	}
	s.asked = draw(paths, width, height)
	s.expected = s.asked.blobs(false)
	s.samples = samplesOf(paths)
	if len(s.samples) == 0 {
		return nil, false
	}
	perMM := pic.PerMM
	s.scale = [2]float64{perMM / grid * (1 - statedScale), perMM / grid * (1 + statedScale)}
	if perMM == 0 {
		perMM = float64(max(pic.Width, pic.Height)) / max(width, height)
		s.scale = [2]float64{perMM / grid * leastScale, perMM / grid * widestScale}
	}
	s.near = s.picture.grown(max(1, int(math.Round(nearby*perMM))))
	var out []Found
	for _, m := range s.hypotheses() {
		out = append(out, s.judge(m, paths, width, height))
	}
	slices.SortStableFunc(out, func(a, b Found) int { return cmp.Compare(b.Alike, a.Alike) })
	return distinct(out, width, height), false
}

// draw is what a job paints, on a sheet with y down.
func draw(paths []Path, width, height float64) *bitmap {
	b := newBitmap(int(math.Ceil(width*grid)), int(math.Ceil(height*grid)))
	for _, p := range paths {
		p.Walk(0.5/grid, func(at Point, _ vector.XY) {
			x, y, r := at.X*grid, (height-at.Y)*grid, max(at.Width, leastLine)/2*grid
			for j := max(0, int(y-r)); j <= min(b.height-1, int(y+r)); j++ {
				for i := max(0, int(x-r)); i <= min(b.width-1, int(x+r)); i++ {
					if dx, dy := float64(i)+0.5-x, float64(j)+0.5-y; float64(dx*dx)+float64(dy*dy) <= r*r {
						b.ink[j*b.width+i] = true
					}
				}
			}
		})
	}
	return b
}

// Walk visits a path in equal steps of at most so many mm, with the direction of the
// path; a path of one point is visited once, and its direction is that of x.
func (p Path) Walk(step float64, visit func(at Point, along vector.XY)) {
	if len(p.Points) == 1 {
		visit(p.Points[0], vector.XY{X: 1})
		return
	}
	for i := 1; i < len(p.Points); i++ {
		a, b := p.Points[i-1], p.Points[i]
		length := vector.Distance(a.XY, b.XY)
		if length == 0 {
			continue
		}
		along := b.XY.Minus(a.XY).Times(1 / length)
		n := int(math.Ceil(length / step))
		for k := range n {
			t := (float64(k) + 0.5) / float64(n)
			visit(Point{a.XY.Toward(b.XY, t), vector.Lerp(a.Width, b.Width, t)}, along)
		}
	}
}

// Length is how long a path is, in mm.
func (p Path) Length() (sum float64) {
	for i := 1; i < len(p.Points); i++ {
		sum += vector.Distance(p.Points[i-1].XY, p.Points[i].XY)
	}
	return sum
}

// samplesOf are places on the middle lines of paths, about one a mm, in an order that
// is mixed and always the same, so that the first of them are spread over all.
func samplesOf(paths []Path) []vector.XY {
	var all []vector.XY
	for _, p := range paths {
		p.Walk(1, func(at Point, _ vector.XY) { all = append(all, at.XY) })
	}
	step := max(1, len(all)/mostSamples)
	var out []vector.XY
	for i := 0; i < len(all); i += step {
		out = append(out, all[i])
	}
	// Steps of the golden ratio spread evenly (a low-discrepancy sequence).
	mixed := make([]vector.XY, 0, len(out))
	stride := max(1, int(math.Round(float64(len(out))*0.6180339887)))
	for gcd(stride, len(out)) != 1 {
		stride++
	}
	for i := range out {
		mixed = append(mixed, out[i*stride%len(out)])
	}
	return mixed
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// hypothesis is a map with what speaks for it.
type hypothesis struct {
	m    Map
	hits float64
}

// hypotheses lays pairs of blobs of the job on pairs of the scan.
func (s *search) hypotheses() []Map {
	expected, blobs := s.anchors(), s.blobs[:min(len(s.blobs), mostBlobs)]
	far := 0.0
	for _, a := range expected {
		for _, b := range expected {
			far = max(far, vector.Distance(a.centre, b.centre))
		}
	}
	var best []hypothesis
	try := func(m Map) { best = s.keep(best, m) }
	for i, a := range expected {
		for _, b := range expected[:i] {
			if d := vector.Distance(a.centre, b.centre); d > far/4 {
				s.pairs(a, b, d, blobs, try)
			}
		}
	}
	out := make([]Map, len(best))
	for i, h := range best {
		out[i] = h.m
	}
	return out
}

// keep adds a map to the best ones, unless it is the same as one of them or worse than
// all.
func (s *search) keep(best []hypothesis, m Map) []hypothesis {
	least := leastHits
	if len(best) == kept {
		least = max(least, best[kept-1].hits)
	}
	h := hypothesis{m, s.hits(m, least)}
	if h.hits < leastHits || len(best) == kept && h.hits <= best[kept-1].hits {
		return best
	}
	same := slices.IndexFunc(best, func(b hypothesis) bool {
		return nearTo(b.m, m, float64(s.asked.width)/grid, float64(s.asked.height)/grid, 1)
	})
	switch {
	case same < 0:
		best = append(best, h)
	case h.hits > best[same].hits:
		best[same] = h
	}
	slices.SortStableFunc(best, func(a, b hypothesis) int { return cmp.Compare(b.hits, a.hits) })
	return best[:min(len(best), kept)]
}

// pairs tries one pair of the job on all of the scan.
func (s *search) pairs(a, b blob, apart float64, blobs []blob, try func(Map)) {
	for i := range blobs {
		p := &blobs[i]
		if !s.alike(a, *p) {
			continue
		}
		for j := range blobs {
			q := &blobs[j]
			if i == j || !s.alike(b, *q) {
				continue
			}
			scale := vector.Distance(p.centre, q.centre) / apart
			if scale < s.scale[0] || scale > s.scale[1] {
				continue
			}
			for _, mirrored := range [...]bool{false, true} {
				if m, ok := s.similarity(a.centre, b.centre, p.centre, q.centre, mirrored); ok {
					try(m)
				}
			}
		}
	}
}

// alike reports whether a blob of the scan may be one of the job: its length is about the
// same.
func (s *search) alike(asked, seen blob) bool {
	return seen.long > float64(0.6*asked.long*s.scale[0])-2 && seen.long < float64(1.5*asked.long*s.scale[1])+2
}

// similarity is the map of the sheet that lays a, b of the asked on p, q of the
// picture; false if the scan does not lie near one of its four ways up.
func (s *search) similarity(a, b, p, q vector.XY, mirrored bool) (Map, bool) {
	d, e := b.Minus(a), q.Minus(p)
	sign := 1.0
	if mirrored {
		sign = -1
		d.X = -d.X
	}
	n := d.Dot(d)
	cos, sin := d.Dot(e)/n, d.Cross(e)/n
	quarter := math.Pi / 2
	if turn := math.Atan2(sin, cos) / quarter; math.Abs(turn-math.Round(turn))*quarter > skew {
		return Map{}, false
	}
	// Of asked: x' = cos·sign·x - sin·y, y' = sin·sign·x + cos·y, and asked is grid·(x, height-y).
	m := Map{XX: cos * sign * grid, XY: sin * grid, YX: sin * sign * grid, YY: -cos * grid}
	at := vector.XY{X: a.X / grid, Y: (float64(s.asked.height) - a.Y) / grid}
	where := m.Pixel(at)
	m.X0, m.Y0 = p.X-where.X, p.Y-where.Y
	return m, true
}

// anchors are blobs of the job that are large and far from each other.
func (s *search) anchors() []blob {
	if len(s.expected) <= anchors {
		return s.expected
	}
	out := []blob{s.expected[0]}
	for len(out) < anchors {
		best, most := 0, -1.0
		for i, b := range s.expected {
			nearest := math.Inf(1)
			for _, o := range out {
				nearest = min(nearest, vector.Distance(o.centre, b.centre))
			}
			if value := nearest * math.Sqrt(b.long+1); value > most {
				best, most = i, value
			}
		}
		out = append(out, s.expected[best])
	}
	return out
}

// hits is the share of the job's lines that have ink near them; 0 as soon as the
// first samples say that there is little, or that it stays below the least.
func (s *search) hits(m Map, least float64) float64 {
	n, hit, all := 0, 0, min(len(s.samples), 400)
	for i, p := range s.samples[:all] {
		if at := m.Pixel(p); s.picture.has(at) {
			n++
			if s.near.holds(at) {
				hit++
			}
		}
		if i == 32 && (float64(n) < leastView*32 || 3*hit < n) {
			return 0
		}
		if left := all - i - 1; i%16 == 15 && float64(hit+left)/float64(n+left) < least {
			return 0 // even if it hits all that is left
		}
	}
	if float64(n) < leastView*float64(all) {
		return 0
	}
	return float64(hit) / float64(n)
}

// nearTo reports whether two maps lay the corners of the sheet within some mm.
func nearTo(a, b Map, width, height, mm float64) bool {
	for _, p := range [...]vector.XY{{}, {X: width}, {Y: height}, {X: width, Y: height}} {
		if d := vector.Distance(p, a.Sheet(b.Pixel(p))); !(d <= mm) {
			return false
		}
	}
	return true
}

// Near reports whether two maps lay a sheet of width x height mm alike.
func Near(a, b Map, width, height float64) bool { return nearTo(a, b, width, height, distinctFrom) }

// distinctFrom (mm) is how far the corners of a sheet lie apart in two ways of laying it.
const distinctFrom = 1.5

// distinct leaves out what is nearly the same as something better.
func distinct(found []Found, width, height float64) (out []Found) {
	for _, f := range found {
		if !slices.ContainsFunc(out, func(o Found) bool { return nearTo(o.Map, f.Map, width, height, distinctFrom) }) {
			out = append(out, f)
		}
	}
	return out
}
