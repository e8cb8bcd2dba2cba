package runner_test

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
)

// What is painted, read from the text of a program by itself: nothing here is
// shared with what wrote it or with the proof.

// place is a place on the sheet in mm.
type place struct{ x, y float64 }

func (p place) distance(q place) float64         { return math.Hypot(p.x-q.x, p.y-q.y) }
func (p place) towards(q place, t float64) place { return place{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)} }
func (p place) shareOf(a, b place) (share float64) { // of the way from a to b where p is nearest
	if d := (b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y); d > 0 {
		share = ((p.x-a.x)*(b.x-a.x) + (p.y-a.y)*(b.y-a.y)) / d
	}
	return max(0, min(1, share))
}

// dab is the mark of the brush at one place: a disc.
type dab struct {
	place
	r float64
}

// contact is a path with the brush on the paper. The mark changes evenly from
// dab to dab.
type contact []dab

var (
	comment = regexp.MustCompile(`\([^)]*\)`)
	word    = regexp.MustCompile(`([A-Z])(-?[0-9.]+)`)
)

// contactsOf reads a program. A mark is twice as wide as the press is deep.
func contactsOf(program []byte) ([]contact, error) {
	var out []contact
	var now contact
	at, z := place{}, 1.0
	for number, text := range bytes.Split(program, []byte("\n")) {
		to, depth := at, z
		for _, w := range word.FindAllSubmatch(comment.ReplaceAll(text, nil), -1) {
			v, err := strconv.ParseFloat(string(w[2]), 64)
			if err != nil {
				return nil, fmt.Errorf("line %d: %w", number+1, err)
			}
			switch w[1][0] {
			case 'X':
				to.x = v
			case 'Y':
				to.y = v
			case 'Z':
				depth = v
			}
		}
		if to != at && (z > 0) != (depth > 0) {
			return nil, fmt.Errorf("line %d: the brush is put down or lifted on its way", number+1)
		}
		if z <= 0 || depth <= 0 {
			now = append(now, dab{to, max(0, -depth)})
		}
		if depth > 0 && len(now) > 0 {
			out, now = append(out, now), nil
		}
		at, z = to, depth
	}
	return out, nil
}

func (c contact) length() float64 {
	sum := 0.0
	for i := 1; i < len(c); i++ {
		sum += c[i-1].distance(c[i].place)
	}
	return sum
}

// off gives how far p is from the paint of a contact, negative inside it.
func (c contact) off(p place, best float64) float64 {
	for i := range c {
		a, b := c[max(i-1, 0)], c[i]
		length := a.distance(b.place)
		if p.distance(a.place)-length-max(a.r, b.r) > best {
			continue
		}
		// The distance from the axis less the radius is least where the line to p
		// leans to the wider end by the taper.
		share, taper := p.shareOf(a.place, b.place), 0.0
		if length > 0 {
			taper = (b.r - a.r) / length
			x := ((p.x-a.x)*(b.x-a.x) + (p.y-a.y)*(b.y-a.y)) / length
			y := math.Abs((p.x-a.x)*(b.y-a.y)-(p.y-a.y)*(b.x-a.x)) / length
			share = 1.0
			if math.Abs(taper) < 1 {
				share = max(0, min(1, (x+y*taper/math.Sqrt(1-taper*taper))/length))
			} else if taper < 0 {
				share = 0
			}
		}
		best = min(best, p.distance(a.towards(b.place, share))-a.r-share*(b.r-a.r))
	}
	return best
}

// offAll is off the paint of several contacts.
func offAll(contacts []contact, p place) float64 {
	best := math.Inf(1)
	for _, c := range contacts {
		best = c.off(p, best)
	}
	return best
}

// rowStep is how far apart the rows are along which areas are measured, in mm.
const rowStep = 0.02

// spans are the stretches of a row that are inside, from and to in turn.
type spans [][2]float64

// union joins spans that overlap.
func (s spans) union() spans {
	slices.SortFunc(s, func(a, b [2]float64) int {
		if a[0] < b[0] {
			return -1
		}
		return 1
	})
	var out spans
	for _, v := range s {
		if n := len(out); n > 0 && v[0] <= out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], v[1])
		} else {
			out = append(out, v)
		}
	}
	return out
}

func (s spans) length() float64 {
	sum := 0.0
	for _, v := range s {
		sum += v[1] - v[0]
	}
	return sum
}

// common is the length that is inside both.
func (s spans) common(t spans) float64 {
	sum := 0.0
	for i, j := 0, 0; i < len(s) && j < len(t); {
		sum += max(0, min(s[i][1], t[j][1])-max(s[i][0], t[j][0]))
		if s[i][1] < t[j][1] {
			i++
		} else {
			j++
		}
	}
	return sum
}

// raster holds spans by the number of their row.
type raster map[int]spans

func eachRow(low, high float64, do func(row int, y float64)) {
	for row := int(math.Ceil(low / rowStep)); float64(row)*rowStep <= high; row++ {
		do(row, float64(row)*rowStep)
	}
}

// paint adds what a contact paints.
func (r raster) paint(c contact) {
	for i := range c {
		a, b := c[max(i-1, 0)], c[i]
		eachRow(min(a.y-a.r, b.y-b.r), max(a.y+a.r, b.y+b.r), func(row int, y float64) {
			if from, to := sweptSpan(a, b, y); from < to {
				r[row] = append(r[row], [2]float64{from, to})
			}
		})
	}
}

// sweptSpan is where a row crosses the hull of two discs.
func sweptSpan(a, b dab, y float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, d := range []dab{a, b} {
		if h := d.r*d.r - (y-d.y)*(y-d.y); h >= 0 {
			from, to = min(from, d.x-math.Sqrt(h)), max(to, d.x+math.Sqrt(h))
		}
	}
	length := a.distance(b.place)
	if length <= math.Abs(a.r-b.r) {
		return from, to
	}
	// The two tangents touch the discs where their radii lean so far back.
	lean := (a.r - b.r) / length
	rest := math.Sqrt(1 - lean*lean)
	ux, uy := (b.x-a.x)/length, (b.y-a.y)/length
	for _, side := range []float64{1, -1} {
		nx, ny := ux*lean-side*uy*rest, uy*lean+side*ux*rest
		p, q := place{a.x + a.r*nx, a.y + a.r*ny}, place{b.x + b.r*nx, b.y + b.r*ny}
		if (p.y <= y) != (q.y <= y) {
			x := p.x + (y-p.y)*(q.x-p.x)/(q.y-p.y)
			from, to = min(from, x), max(to, x)
		}
	}
	return from, to
}

// crossing is where an edge of an outline crosses a row, upwards or downwards.
type crossing struct {
	x  float64
	up int
}

// draw adds what an outline holds, by the rule that what it winds around is
// inside.
func (r raster) draw(rings [][]place) {
	crossings := map[int][]crossing{}
	for _, ring := range rings {
		for i, p := range ring {
			q, up := ring[(i+1)%len(ring)], 1
			if p.y > q.y {
				p, q, up = q, p, -1
			}
			eachRow(p.y, q.y, func(row int, y float64) {
				if y < q.y {
					crossings[row] = append(crossings[row], crossing{p.x + (y-p.y)*(q.x-p.x)/(q.y-p.y), up})
				}
			})
		}
	}
	for row, list := range crossings {
		slices.SortFunc(list, func(a, b crossing) int {
			if a.x < b.x {
				return -1
			}
			return 1
		})
		winding := 0
		for i, c := range list {
			if winding != 0 {
				r[row] = append(r[row], [2]float64{list[i-1].x, c.x})
			}
			winding += c.up
		}
	}
}
