package runner_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// tally counts strokes, and pairs of them that are of a kind on either side.
type tally struct{ strokes, once, right, pairs, inOrder float64 }

func (a *tally) add(b tally) {
	a.strokes, a.once, a.right = a.strokes+b.strokes, a.once+b.once, a.right+b.right
	a.pairs, a.inOrder = a.pairs+b.pairs, a.inOrder+b.inOrder
}

// figures are what was measured of characters.
type figures struct {
	characters, perfect int
	kinds               map[string]*tally
	whole               tally // each pair once
	contacts            int
	jumps               int     // strokes after one of a later character
	drawn               float64 // areas in rows times mm
	covered, spilt      float64
	edges               histogram
	outOfOrder, against []string
}

func (f *figures) kind(name string) *tally {
	if f.kinds[name] == nil {
		f.kinds[name] = &tally{}
	}
	return f.kinds[name]
}

func (f *figures) add(g *figures) {
	f.characters, f.perfect = f.characters+g.characters, f.perfect+g.perfect
	for name, t := range g.kinds {
		f.kind(name).add(*t)
	}
	f.whole.add(g.whole)
	f.contacts, f.jumps = f.contacts+g.contacts, f.jumps+g.jumps
	f.drawn, f.covered, f.spilt = f.drawn+g.drawn, f.covered+g.covered, f.spilt+g.spilt
	f.edges.add(&g.edges)
	f.outOfOrder, f.against = append(f.outOfOrder, g.outOfOrder...), append(f.against, g.against...)
}

// table is the report, by kind of stroke.
func (f *figures) table() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-18s %8s %12s %10s %8s %9s\n", "kind of stroke", "strokes", "one contact", "direction", "pairs", "in order")
	row := func(name string, t tally) {
		fmt.Fprintf(&b, "%-18s %8.0f %10.2f %% %8.2f %% %8.0f %7.2f %%\n", name, t.strokes,
			100*t.once/t.strokes, 100*t.right/t.strokes, t.pairs, 100*t.inOrder/max(t.pairs, 1))
	}
	for _, name := range slices.Sorted(maps.Keys(f.kinds)) {
		row(name, *f.kinds[name])
	}
	row("all", f.whole)
	fmt.Fprintf(&b, "%d characters, %d wholly in order; %.2f contacts a stroke\n", f.characters, f.perfect, float64(f.contacts)/f.whole.strokes)
	fmt.Fprintf(&b, "covered %.4f %%, spilt %.4f %%; edge off by %.4f mm (median), %.4f mm (99 of 100), %.4f mm at most\n",
		100*f.covered/f.drawn, 100*f.spilt/f.drawn, f.edges.at(0.5), f.edges.at(0.99), f.edges.worst)
	return b.String()
}

// histogram counts lengths in steps of 0.0002 mm, up to 0.2 mm and beyond.
type histogram struct {
	count [1001]int
	n     int
	worst float64 // mm
}

const histogramStep = 0.0002

func (h *histogram) put(v float64) {
	h.count[min(int(v/histogramStep), len(h.count)-1)]++
	h.n, h.worst = h.n+1, max(h.worst, v)
}

func (h *histogram) add(g *histogram) {
	for i, n := range g.count {
		h.count[i] += n
	}
	h.n, h.worst = h.n+g.n, max(h.worst, g.worst)
}

// at is the length that a share of all do not exceed.
func (h *histogram) at(share float64) float64 {
	left := share * float64(h.n)
	for i, n := range h.count {
		if left -= float64(n); left <= 0 {
			return float64(i+1) * histogramStep
		}
	}
	return h.worst
}

// drawnStroke is a stroke as it lies on the sheet, with what is painted of it.
type drawnStroke struct {
	publishedStroke
	name      string
	character int
	at        place // the data's zero
	rings     [][]place
	contacts  []contact
	first     int // number of its first contact
}

// judgeSheet measures the program of a sheet of characters.
func judgeSheet(program []byte, sheet []character) (*figures, error) {
	contacts, err := contactsOf(program)
	if err != nil {
		return nil, err
	}
	f := &figures{kinds: map[string]*tally{}, characters: len(sheet), contacts: len(contacts)}
	var strokes []*drawnStroke
	for k, c := range sheet {
		x, y := placeOf(k)
		for i, s := range c.strokes {
			strokes = append(strokes, &drawnStroke{publishedStroke: s, name: fmt.Sprintf("%s-%d", c.name, i+1), character: k,
				at: place{x, y}, rings: s.rings(x, y), first: -1})
		}
	}
	last := 0
	for number, c := range contacts {
		s := owner(c, strokes)
		if s.character < last {
			f.jumps++
		}
		last = s.character
		if s.first < 0 {
			s.first = number
		}
		s.contacts = append(s.contacts, c)
	}
	for _, s := range strokes {
		if s.first < 0 {
			return nil, fmt.Errorf("%s is not painted", s.name)
		}
		f.judge(s)
	}
	f.judgeOrder(strokes, len(sheet))
	return f, nil
}

// owner is the stroke whose outline is nearest to where the paint of a contact
// reaches.
func owner(c contact, strokes []*drawnStroke) *drawnStroke {
	var best *drawnStroke
	least := math.Inf(1)
	for _, s := range strokes {
		if d := c[0].distance(s.at); d > 2*characterSide {
			continue
		}
		off := 0.0
		for i := 0; i < len(c) && off < least; i += max(1, len(c)/12) {
			off += math.Abs(s.inside(c[i].place) - c[i].r)
		}
		if off < least {
			best, least = s, off
		}
	}
	return best
}

// inside is how far a place is from the outline, negative outside.
func (s *drawnStroke) inside(p place) float64 {
	nearest, winding := math.Inf(1), 0
	for _, ring := range s.rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			nearest = min(nearest, p.distance(a.towards(b, p.shareOf(a, b))))
			if (a.y <= p.y) != (b.y <= p.y) && (a.x+(p.y-a.y)*(b.x-a.x)/(b.y-a.y) > p.x) {
				if winding++; a.y > b.y {
					winding -= 2
				}
			}
		}
	}
	if winding == 0 {
		return -nearest
	}
	return nearest
}

// judge measures one stroke.
func (f *figures) judge(s *drawnStroke) {
	t := tally{strokes: 1}
	if len(s.contacts) == 1 {
		t.once = 1
	}
	longest := slices.MaxFunc(s.contacts, func(a, b contact) int {
		if a.length() < b.length() {
			return -1
		}
		return 1
	})
	if s.along(longest[len(longest)-1].place, s.at.x, s.at.y) > s.along(longest[0].place, s.at.x, s.at.y) {
		t.right = 1
	} else {
		f.against = append(f.against, s.name)
	}
	f.kind(s.kind()).add(t)
	f.whole.add(t)
	drawn, painted := raster{}, raster{}
	drawn.draw(s.rings)
	for _, c := range s.contacts {
		painted.paint(c)
	}
	for row, d := range drawn {
		d, p := d.union(), painted[row].union()
		both := d.common(p)
		f.drawn, f.covered, f.spilt = f.drawn+d.length(), f.covered+both, f.spilt+p.length()-both
	}
	for row, p := range painted {
		if drawn[row] == nil {
			f.spilt += p.union().length()
		}
	}
	const step = 0.1 // mm along the edge
	for _, ring := range s.rings {
		left := 0.0
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			d := p.distance(q)
			for ; left < d; left += step {
				f.edges.put(math.Abs(offAll(s.contacts, p.towards(q, left/d))))
			}
			left -= d
		}
	}
}

// judgeOrder counts the pairs of strokes of each character that come in the order
// of writing.
func (f *figures) judgeOrder(strokes []*drawnStroke, characters int) {
	wrong := make([]bool, characters)
	for j, b := range strokes {
		for _, a := range strokes[:j] {
			if a.character != b.character {
				continue
			}
			t := tally{pairs: 1}
			if a.first < b.first {
				t.inOrder = 1
			} else {
				wrong[a.character] = true
				f.outOfOrder = append(f.outOfOrder, a.name+"/"+b.name)
			}
			f.whole.add(t)
			f.kind(a.kind()).add(t)
			if a.kind() != b.kind() {
				f.kind(b.kind()).add(t)
			}
		}
	}
	for _, w := range wrong {
		if !w {
			f.perfect++
		}
	}
}
