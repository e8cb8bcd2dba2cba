package proof

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
)

func sqrt(v float64) float64 { return math.Sqrt(v) }

// Bounds on a comparison, so that it always ends.
const (
	maxSide = 1 << 20 // pixels along each side of the whole
	// maxWork is the greatest number of rows and words of pixels visited. It is
	// typed: an int may have 32 bits.
	maxWork  int64 = 4 << 30
	maxPlace       = 1 << 29 // pixels from zero to any coordinate
)

var errTooMuch = errors.New("there are too many marks or drawn areas, or too large ones, to compare: split the program")

// Comparison is what a program's marks are compared with, and how.
type Comparison struct {
	Brush *Brush
	// TipX, TipY is the position of the mark less that of the machine, mm.
	TipX, TipY float64
	// Drawn is what was drawn, in machine coordinates, mm: the union of the
	// regions. LeftOut is an area that does not count: neither as drawn nor,
	// if it is painted, as spill.
	Drawn, LeftOut []Region
	Pixel          float64 // side of a pixel in mm; 0 means 0.02
	// Askew turns the pixels by an angle whose tangent is the golden section.
	// Otherwise a narrow bare strip along a straight side could lie between two
	// rows of pixels, or cover a whole row.
	Askew  bool
	Places int // how many of the worst places to list; 0 means 5
}

// Place is a square of 64 by 64 pixels where much is wrong.
type Place struct {
	X, Y float64 // centre of the wrong area, mm
	Area float64 // mm²
}

// Cover is how well the painted area covers the drawn one. Areas are in mm².
type Cover struct {
	Pixel   float64 // mm
	Drawn   float64 // without LeftOut
	LeftOut float64 // the part of LeftOut that was drawn
	Painted float64
	Covered float64 // drawn and painted
	Missing float64 // drawn and not painted
	Spill   float64 // painted, and neither drawn nor left out
	// Coverage is Covered and Excess is Spill as a share of Drawn. If nothing is
	// drawn, Coverage is 1, and Excess is 1 if anything is painted.
	Coverage, Excess       float64
	MostMissing, MostSpill []Place // the worst first
}

// tooWide is the error for coordinates too far apart to compare.
func tooWide(pixel float64) error {
	return fmt.Errorf("the marks and the drawing extend over more than %d pixels of %g mm: look for a missing decimal point in a coordinate", maxSide, pixel)
}

// inGrid reports whether a point in pixels is near enough to zero that whole
// numbers of 32 bits can count to it.
func inGrid(x, y float64) bool { return abs(x) < maxPlace && abs(y) < maxPlace }

// capsule is a part of a mark, in pixels: all discs between two, whose radii and
// centres change evenly.
type capsule struct {
	x0, y0, r0, x1, y1, r1 float64
	begins                 bool // the first disc is not painted by the capsule before
}

// turn converts a point to the axes of the pixels, in mm.
func (c *Comparison) turn(x, y float64) (float64, float64) {
	if !c.Askew {
		return x, y
	}
	return float64(askewCos*x) + float64(askewSin*y), float64(askewCos*y) - float64(askewSin*x)
}

// Cosine and sine of the angle whose tangent is the golden section, (√5-1)/2.
const (
	askewCos = 0.8506508083520399
	askewSin = 0.5257311121191336
)

// Compare draws the marks of a program from its text and the brush alone, and
// compares them with what was drawn. A pixel counts as painted if its centre
// is. A mark is the exact union of discs along its path, each as wide as the
// brush paints at the press there.
func Compare(p *Path, c Comparison) (Cover, error) {
	if c.Brush == nil {
		return Cover{}, errors.New("marks cannot be drawn without the widths of the brush")
	}
	if c.Pixel == 0 {
		c.Pixel = 0.02
	}
	if c.Places == 0 {
		c.Places = 5
	}
	if !(c.Pixel >= 1e-4 && c.Pixel <= 1000) {
		return Cover{}, fmt.Errorf("a pixel of %g mm is too small or too large", c.Pixel)
	}
	t := &tally{pixel: c.Pixel, places: c.Places, left: math.MaxInt, bottom: math.MaxInt, right: math.MinInt, top: math.MinInt}
	t.cover.Pixel = c.Pixel
	far := false
	c.eachCapsule(p, func(s capsule) {
		far = far || !inGrid(abs(s.x0)+s.r0, abs(s.y0)+s.r0) || !inGrid(abs(s.x1)+s.r1, abs(s.y1)+s.r1)
		t.include(&s)
	})
	if far {
		return Cover{}, tooWide(c.Pixel)
	}
	t.each = func(yield func(capsule)) { c.eachCapsule(p, yield) }
	var err error
	if t.drawn, err = c.fills(c.Drawn); err != nil {
		return Cover{}, err
	}
	if t.leftOut, err = c.fills(c.LeftOut); err != nil {
		return Cover{}, err
	}
	if err := t.run(); err != nil {
		return Cover{}, err
	}
	out := t.result()
	if c.Askew {
		for _, list := range [][]Place{out.MostMissing, out.MostSpill} {
			for i, p := range list {
				list[i].X, list[i].Y = float64(askewCos*p.X)-float64(askewSin*p.Y), float64(askewCos*p.Y)+float64(askewSin*p.X)
			}
		}
	}
	return out, nil
}

// fills prepares regions for filling; those that cross no row of pixels are
// left out.
func (c *Comparison) fills(regions []Region) ([]*scanFill, error) {
	var out []*scanFill
	for _, r := range regions {
		s, err := newScanFill(r, c.Pixel, c.turn)
		if err != nil {
			return nil, err
		}
		if len(s.sides) > 0 {
			out = append(out, s)
		}
	}
	return out, nil
}

// eachCapsule yields the marks of a path in the order of painting.
func (c *Comparison) eachCapsule(p *Path, yield func(capsule)) {
	p.marks(c.Brush, true, func(k segment) {
		last, r := k.from, c.Brush.at(k.from.Z, k.feed)/2
		begins := k.begins
		add := func(to Point) {
			next := c.Brush.at(to.Z, k.feed) / 2
			if r > 0 || next > 0 {
				x0, y0 := c.turn(last.X+c.TipX, last.Y+c.TipY)
				x1, y1 := c.turn(to.X+c.TipX, to.Y+c.TipY)
				yield(capsule{x0/c.Pixel - 0.5, y0/c.Pixel - 0.5, r / c.Pixel, x1/c.Pixel - 0.5, y1/c.Pixel - 0.5, next / c.Pixel, begins})
			}
			last, r, begins = to, next, false
		}
		c.Brush.bends(-k.from.Z, -k.to.Z, func(share float64) { add(between(k.from, k.to, share)) })
		add(k.to)
	})
}

// rows returns the lowest and highest row of pixels that the capsule may set.
func (s *capsule) rows() (low, high int) {
	return floor(min(s.y0-s.r0, s.y1-s.r1)) - 1, ceil(max(s.y0+s.r0, s.y1+s.r1)) + 1
}

// paint sets the pixels of the capsule: its two discs and, if neither is inside
// the other, the quadrilateral between their common tangents.
func (s *capsule) paint(on *tileRow) {
	if s.begins {
		on.disc(s.x0, s.y0, s.r0)
	}
	on.disc(s.x1, s.y1, s.r1)
	dx, dy := s.x1-s.x0, s.y1-s.y0
	length := root(dx, dy)
	swell := s.r1 - s.r0
	if length <= abs(swell) {
		return
	}
	dx, dy = dx/length, dy/length
	// At the points of tangency, the radius and the path make an angle with this
	// cosine.
	cosine := -swell / length
	sine := sqrt(1 - float64(cosine*cosine))
	lx, ly := float64(cosine*dx)-float64(sine*dy), float64(cosine*dy)+float64(sine*dx)
	rx, ry := float64(cosine*dx)+float64(sine*dy), float64(cosine*dy)-float64(sine*dx)
	on.convex(&[4][2]float64{
		{s.x0 + float64(s.r0*lx), s.y0 + float64(s.r0*ly)}, {s.x1 + float64(s.r1*lx), s.y1 + float64(s.r1*ly)},
		{s.x1 + float64(s.r1*rx), s.y1 + float64(s.r1*ry)}, {s.x0 + float64(s.r0*rx), s.y0 + float64(s.r0*ry)},
	})
}

// tally counts pixels, one row of tiles at a time.
type tally struct {
	pixel                float64
	places               int
	each                 func(yield func(capsule)) // of all marks
	number               int                       // of all marks
	marks                []capsule                 // of the rows at hand, the lowest first
	drawn, leftOut       []*scanFill
	nDrawn, nPainted     int64 // pixels
	nCovered, nSpill     int64
	nLeftOut             int64
	cover                Cover
	planes               planeSet
	left, right          int
	bottom, top, columns int
}

// planeSet is the row of tiles for each of the three areas.
type planeSet struct{ drawn, leftOut, painted *tileRow }

// all are the three rows.
func (p *planeSet) all() [3]*tileRow { return [...]*tileRow{p.drawn, p.leftOut, p.painted} }

// work is the work done on all rows.
func (p *planeSet) work() int64 { return p.drawn.work + p.leftOut.work + p.painted.work }

// include widens the range of pixels to those that a mark may set.
func (t *tally) include(s *capsule) {
	t.number++
	low, high := s.rows()
	t.bottom, t.top = min(t.bottom, low), max(t.top, high)
	t.left = min(t.left, floor(min(s.x0-s.r0, s.x1-s.r1))-1)
	t.right = max(t.right, ceil(max(s.x0+s.r0, s.x1+s.r1))+1)
}

// bound widens the range of pixels to those of the areas.
func (t *tally) bound() (empty bool) {
	for _, list := range [...][]*scanFill{t.drawn, t.leftOut} {
		for _, s := range list {
			t.bottom, t.top = min(t.bottom, s.first), max(t.top, s.last)
			for _, d := range s.sides {
				end := d.x + float64((float64(d.last+1)-d.y)*d.slope)
				t.left, t.right = min(t.left, floor(min(d.x, end))-1), max(t.right, ceil(max(d.x, end))+1)
			}
		}
	}
	if t.top < t.bottom {
		return true
	}
	// Whole tiles, so that the tiles are the same for every drawing.
	t.left = (t.left &^ (tile - 1))
	t.bottom &^= tile - 1
	t.columns = (t.right-t.left)/tile + 1
	return false
}

// run counts the pixels of all rows.
func (t *tally) run() error {
	if t.bound() {
		return nil
	}
	if t.right-t.left >= maxSide || t.top-t.bottom >= maxSide {
		return tooWide(t.pixel)
	}
	t.planes = planeSet{newTileRow(t.left, t.columns), newTileRow(t.left, t.columns), newTileRow(t.left, t.columns)}
	// The marks are made again for each band of rows: keeping all of them would
	// take as much memory as the program.
	rows := (t.top-t.bottom)/tile + 1
	bands := min(t.number/bandMarks, mostBands) + 1
	each := (rows/bands + 1) * tile
	for bottom := t.bottom; bottom <= t.top; bottom += each {
		top := min(bottom+each-1, t.top)
		t.gather(bottom, top)
		if err := t.band(bottom, top); err != nil {
			return err
		}
	}
	return nil
}

const (
	bandMarks = 1 << 17 // marks of a band of rows, if they are spread evenly
	mostBands = 16
)

// gather makes the marks that set pixels from the row bottom to the row top.
func (t *tally) gather(bottom, top int) {
	t.marks = t.marks[:0]
	t.each(func(s capsule) {
		if low, high := s.rows(); low <= top && high >= bottom {
			t.marks = append(t.marks, s)
		}
	})
	low := func(s *capsule) int { low, _ := s.rows(); return low }
	slices.SortStableFunc(t.marks, func(a, b capsule) int { return low(&a) - low(&b) })
}

// band counts the pixels of the rows for which the marks were gathered.
func (t *tally) band(first, last int) error {
	var active []int
	next := 0
	for bottom := first; bottom <= last; bottom += tile {
		for _, s := range t.planes.all() {
			s.begin(bottom)
		}
		for next < len(t.marks) {
			if low, _ := t.marks[next].rows(); low >= bottom+tile {
				break
			}
			active = append(active, next)
			next++
		}
		keep := active[:0]
		for _, i := range active {
			s := &t.marks[i]
			s.paint(t.planes.painted)
			if t.planes.painted.work > maxWork {
				return errTooMuch
			}
			if _, high := s.rows(); high >= bottom+tile {
				keep = append(keep, i)
			}
		}
		t.planes.painted.work += int64(len(active))
		active = keep
		for _, s := range t.drawn {
			s.fill(t.planes.drawn)
		}
		for _, s := range t.leftOut {
			s.fill(t.planes.leftOut)
		}
		t.count()
		if t.planes.work() > maxWork {
			return errTooMuch
		}
	}
	return nil
}

// count counts the row of tiles, tile by tile.
func (t *tally) count() {
	drawn, leftOut, painted := t.planes.drawn, t.planes.leftOut, t.planes.painted
	lo := min(drawn.lo, leftOut.lo, painted.lo)
	hi := max(drawn.hi, leftOut.hi, painted.hi)
	for w := lo; w < hi; w++ {
		missing, spill := 0, 0
		for row := range tile {
			at := row*t.columns + w
			d, l, p := drawn.bits[at], leftOut.bits[at], painted.bits[at]
			if d|p == 0 {
				continue
			}
			t.nLeftOut += ones(d & l)
			d &^= l
			t.nDrawn += ones(d)
			t.nPainted += ones(p)
			t.nCovered += ones(d & p)
			missing += bits.OnesCount64(d &^ p)
			spill += bits.OnesCount64(p &^ (d | l))
		}
		t.nSpill += int64(spill)
		t.place(&t.cover.MostMissing, missing, w, func(d, l, p uint64) uint64 { return d &^ l &^ p })
		t.place(&t.cover.MostSpill, spill, w, func(d, l, p uint64) uint64 { return p &^ (d | l) })
	}
}

// place adds tile w, with n wrong pixels, to the list if it is among the worst;
// of equal tiles the first stays.
func (t *tally) place(list *[]Place, n, w int, of func(d, l, p uint64) uint64) {
	area := float64(float64(n) * float64(t.pixel*t.pixel))
	if n == 0 || len(*list) == t.places && (*list)[t.places-1].Area >= area {
		return
	}
	columns, rows := 0, 0
	for row := range tile {
		at := row*t.columns + w
		_, c, r := sumBits(of(t.planes.drawn.bits[at], t.planes.leftOut.bits[at], t.planes.painted.bits[at]), row)
		columns, rows = columns+c, rows+r
	}
	x := float64(t.left+w*tile) + float64(columns)/float64(n) + 0.5
	y := float64(t.planes.drawn.bottom) + float64(rows)/float64(n) + 0.5
	at, _ := slices.BinarySearchFunc(*list, area, func(p Place, area float64) int {
		if p.Area >= area {
			return -1
		}
		return 1
	})
	*list = slices.Insert(*list, at, Place{X: float64(x * t.pixel), Y: float64(y * t.pixel), Area: area})
	if len(*list) > t.places {
		*list = (*list)[:t.places]
	}
}

// result is the counts as areas.
func (t *tally) result() Cover {
	c := t.cover
	pixel := float64(t.pixel * t.pixel)
	area := func(n int64) float64 { return float64(float64(n) * pixel) }
	c.Drawn, c.LeftOut, c.Painted = area(t.nDrawn), area(t.nLeftOut), area(t.nPainted)
	c.Covered, c.Missing, c.Spill = area(t.nCovered), area(t.nDrawn-t.nCovered), area(t.nSpill)
	switch {
	case t.nDrawn > 0:
		c.Coverage = float64(t.nCovered) / float64(t.nDrawn)
		c.Excess = float64(t.nSpill) / float64(t.nDrawn)
	default:
		c.Coverage = 1
		if t.nSpill > 0 {
			c.Excess = 1
		}
	}
	return c
}
