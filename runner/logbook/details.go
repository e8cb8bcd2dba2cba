package logbook

import (
	"math"
	"slices"
)

// Measures of details in printed mm.
const (
	detailGap      = 3.0
	detailLeast    = 14.0 // narrower than this, a detail shows nothing
	detailScale    = 1.4  // what a detail is larger than the map, at least
	crowdedMap     = 30   // a map with so many strokes without a number rather shrinks for details
	growMost       = 20.0 // so much width makes a map larger, and is not kept for details
	detailEdge     = 2.2  // around what a detail is to show
	detailReach    = 14.0 // of a stroke, from where it begins, so much is to be on a detail
	detailNumbered = 18.0 // a detail so wide, with its ticks, has numbers at them
	detailOf       = 3    // a detail shows so many strokes or more that have no number on the map
)

// detailNames are the numbers of the details on a map.
var detailNames = [...]string{"i", "ii"}

// strip is free room of a card beside or below a map, in printed mm.
type strip struct {
	wide, high float64
	below      bool
}

// strips are the free rooms of a map: beside it and below it.
func strips(f MapOf) []strip {
	wide, high := printedWide(f), printedHigh(f)
	return []strip{
		{wide: f.room - wide - detailGap, high: max(high, f.tall)},
		{wide: f.room, high: f.tall - high - detailGap, below: true},
	}
}

// detailsOf are where a map is crowded, at a larger scale, in what is left of its room:
// those that show most numbers of the strokes that have none on the map. They lie below
// the map, or else beside it.
func detailsOf(f MapOf, without []Stroke) (best []MapOf, below bool) {
	most := detailOf - 1
	for _, s := range strips(f) {
		for _, part := range [...]float64{0.5, 1} {
			if details, n := inStrip(f, s, part, without); n > most {
				best, below, most = details, s.below, n
			}
		}
	}
	return best, below
}

// inStrip are up to two details in a strip, the first in a part of it, and how many
// numbers they show that the map does not.
func inStrip(f MapOf, s strip, part float64, without []Stroke) (out []MapOf, numbers int) {
	for len(out) < len(detailNames) {
		free := s
		switch {
		case len(out) > 0 || part == 1:
		case s.below:
			free.wide = float64(part * (s.wide - detailGap))
		default:
			free.high = float64(part * (s.high - detailGap))
		}
		d, shown := bestDetail(f, free, without, out)
		if len(shown) < detailOf {
			break
		}
		out = append(out, d)
		numbers += len(shown)
		without = slices.DeleteFunc(slices.Clone(without), func(s Stroke) bool {
			return slices.ContainsFunc(shown, func(o Stroke) bool { return &o.Points[0] == &s.Points[0] })
		})
		if s.below {
			s.wide -= printedWide(d) + detailGap
		} else {
			s.high -= printedHigh(d) + detailGap
		}
	}
	return out, numbers
}

// bestDetail is the detail of a size up to that of a strip that shows most numbers of
// strokes, and these strokes. It does not lie over others.
func bestDetail(f MapOf, s strip, without []Stroke, others []MapOf) (best MapOf, shown []Stroke) {
	d := f
	if s.wide < detailNumbered {
		d.left, d.low = tickBare, tickLong
	}
	wide, high := s.wide-d.left-mapRim-0.02, s.high-d.low-mapRim-0.02
	if wide < detailLeast || high < detailLeast {
		return best, nil
	}
	for _, larger := range [...]float64{1.5, 1.8, 2.2, 2.7} {
		d.scale = min(1, larger*f.scale)
		if d.scale < detailScale*f.scale {
			break
		}
		d.frame = frame{wide: min(f.wide, wide/d.scale), high: min(f.high, high/d.scale), scale: d.scale}
		held := fullest(&d.frame, f.frame, without, others)
		if len(held) < detailOf {
			continue
		}
		fitted := around(d, f.frame, held, wide, high, others)
		if numbered := numberedOn(fitted, held); len(numbered) > len(shown) {
			best, shown = fitted, numbered
		}
	}
	return best, shown
}

// numberedOn are those of some strokes that have a number on a detail.
func numberedOn(d MapOf, strokes []Stroke) []Stroke {
	left := newLabels(&svg{height: d.sheet.Height}, d).numbers(d.Layer, d.Every(), onDetail)
	return slices.DeleteFunc(slices.Clone(strokes), func(s Stroke) bool {
		return slices.ContainsFunc(left, func(o Stroke) bool { return &o.Points[0] == &s.Points[0] })
	})
}

// boundsOf is the box around strokes. What is far from where a stroke begins is left
// out: a stroke is looked up by its number, which is there.
func boundsOf(strokes []Stroke, reach float64) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range strokes {
		from := s.Points[0]
		for _, p := range s.Points {
			x, y := max(from.X-reach, min(p.X, from.X+reach)), max(from.Y-reach, min(p.Y, from.Y+reach))
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
		}
	}
	return x0, y0, x1, y1
}

// around is a detail on the middle of what it holds, not larger than that needs, and
// at the largest scale that has room for it.
func around(d MapOf, within frame, held []Stroke, wide, high float64, others []MapOf) MapOf {
	x0, y0, x1, y1 := boundsOf(held, detailReach/d.scale)
	edge := detailEdge / d.scale
	x0, y0, x1, y1 = max(within.x, x0-edge), max(within.y, y0-edge), min(within.x+within.wide, x1+edge), min(within.y+within.high, y1+edge)
	out := d
	out.scale = max(d.scale, min(1, wide/(x1-x0), high/(y1-y0)))
	out.wide = min(within.wide, wide/out.scale, max(x1-x0, detailLeast/out.scale))
	out.high = min(within.high, high/out.scale, max(y1-y0, detailLeast/out.scale))
	out.x = max(within.x, min((x0+x1-out.wide)/2, within.x+within.wide-out.wide))
	out.y = max(within.y, min((y0+y1-out.high)/2, within.y+within.high-out.high))
	if over(out.frame, others) || slices.ContainsFunc(held, func(s Stroke) bool { return !out.holds(s.Points[0]) }) {
		return d
	}
	return out
}

// over reports whether a frame lies over one of others.
func over(f frame, others []MapOf) bool {
	return slices.ContainsFunc(others, func(o MapOf) bool {
		return f.x < o.x+o.wide && o.x < f.x+f.wide && f.y < o.y+o.high && o.y < f.y+f.high
	})
}

// fullest moves a frame within another, over none of others, to where most strokes
// begin, whole ones before those that it cuts off; and says which.
func fullest(d *frame, within frame, strokes []Stroke, others []MapOf) (held []Stroke) {
	type box struct{ x0, y0, x1, y1 float64 }
	boxes := make([]box, len(strokes))
	for i := range strokes {
		b := &boxes[i]
		b.x0, b.y0, b.x1, b.y1 = boundsOf(strokes[i:i+1], detailReach/d.scale)
	}
	edge := detailEdge / d.scale
	step := 1 + len(strokes)/60 // of very many, not every one is tried
	most, best := 0, *d
	for a := 0; a < len(strokes); a += step {
		for b := 0; b < len(strokes); b += step { // one is at the left, one at the lower edge
			d.x = max(within.x, min(boxes[a].x0-edge, within.x+within.wide-d.wide))
			d.y = max(within.y, min(boxes[b].y0-edge, within.y+within.high-d.high))
			if over(*d, others) {
				continue
			}
			n := 0
			for i, s := range strokes {
				switch q := boxes[i]; {
				case !d.holds(s.Points[0]):
				case q.x0 >= d.x && q.x1 <= d.x+d.wide && q.y0 >= d.y && q.y1 <= d.y+d.high:
					n += 3
				default:
					n++
				}
			}
			if n > most {
				most, best = n, *d
			}
		}
	}
	*d = best
	if most == 0 {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(strokes), func(s Stroke) bool { return !best.holds(s.Points[0]) })
}

// drawDetailFrame draws on a map what a detail shows.
func drawDetailFrame(s *svg, d frame) {
	s.WriteString(`<rect class="detail" x="` + mm(d.x) + `" y="` + mm(s.height-d.y-d.high) + `" width="` + mm(d.wide) + `" height="` + mm(d.high) + `"/>`)
}

// share gives the maps of a row what it leaves of the width of the card: those with
// the most strokes without a number have room for details.
func share(row []MapOf, high float64) {
	grow(row, high)
	left := sideWide - float64(mapGap*float64(len(row)-1))
	counts := make([]int, len(row))
	for i := range row {
		left -= printedWide(row[i])
		counts[i] = len(unnumbered(row[i]))
		if counts[i] < detailOf || row[i].scale > 1/detailScale {
			counts[i] = 0
		}
	}
	for {
		sum, last := 0, -1
		for i, n := range counts {
			if sum += n; n > 0 && (last < 0 || n <= counts[last]) {
				last = i
			}
		}
		if last < 0 {
			return
		}
		if float64(left*float64(counts[last]))/float64(sum) < detailLeast+detailGap+tickBare+mapRim {
			counts[last] = 0
			continue
		}
		for i, n := range counts {
			row[i].room = printedWide(row[i]) + max(0, float64(left*float64(n))/float64(sum)-0.02)
		}
		return
	}
}

// unnumbered are the strokes of a map that have no number on it.
func unnumbered(f MapOf) []Stroke {
	return newLabels(&svg{height: f.sheet.Height}, f).numbers(f.Layer, f.Every(), nearby)
}

// grow makes the map of a row with most strokes without a number larger, up to a height,
// where that has room beside the others, and too little is left for details; or a little
// smaller, if it has very many of them, so that there is room for details.
func grow(row []MapOf, high float64) {
	busiest, most := -1, detailOf-1
	left := sideWide - float64(mapGap*float64(len(row)-1))
	for i := range row {
		left -= printedWide(row[i])
		if n := len(unnumbered(row[i])); n > most {
			busiest, most = i, n
		}
	}
	if busiest < 0 || left <= 0 || left > growMost {
		return
	}
	f := &row[busiest]
	if less := growMost + 4 - left; most >= crowdedMap && less < float64(0.2*f.scale*f.wide) {
		f.scale -= less / f.wide
		return
	}
	f.scale = max(f.scale, min(1, (high-f.low-mapRim)/f.high, f.scale+float64((left-0.05)/f.wide)))
	left = sideWide - float64(mapGap*float64(len(row)-1))
	for i := range row {
		left -= printedWide(row[i])
	}
	for i := range row {
		row[i].room = printedWide(row[i]) + float64(left/float64(len(row))) - 0.002
	}
}

// spread gives the rows of a plan the height that they leave, for details below maps:
// each as much as its map with most strokes without a number needs of it.
func spread(maps []MapOf, across int, left float64) {
	if left < detailLeast+detailGap+tickRoom {
		return
	}
	counts, sum := make([]int, (len(maps)+across-1)/across), 0
	for i, f := range maps {
		if n := len(unnumbered(f)); n >= detailOf && f.scale <= 1/detailScale {
			counts[i/across] = max(counts[i/across], n)
		}
	}
	for _, n := range counts {
		sum += n
	}
	for i := range maps {
		if n := counts[i/across]; n > 0 {
			maps[i].tall += float64(left * float64(n) / float64(sum))
		}
	}
}

// frames draws on a map what its details show, each with its letter outside a corner.
func (m *labels) frames(details []MapOf) {
	for _, d := range details {
		drawDetailFrame(m.svg, d.frame)
	}
	for i, d := range details {
		width := labelDigit*len(detailNames[i]) + 30
		left, top := m.printed(StrokePoint{X: d.x, Y: d.y + d.high})
		right, foot := m.printed(StrokePoint{X: d.x + d.wide, Y: d.y})
		m.corner(detailNames[i], width, tile{left, top, right, foot}, details)
	}
}

// corner writes the letter of a frame outside a corner of it, where it hides least.
func (m *labels) corner(text string, width int, f tile, details []MapOf) {
	const off = 25
	half, tall := width/2, labelHigh/2
	least, at := math.MaxInt, tile{}
	for _, c := range [...][2]int{
		{f.x0 - half - off, f.y0 + tall}, {f.x0 + half, f.y0 - tall - off}, {f.x1 + half + off, f.y0 + tall}, {f.x1 - half, f.y0 - tall - off},
		{f.x0 - half - off, f.y1 - tall}, {f.x1 + half + off, f.y1 - tall}, {f.x0 + half, f.y1 + tall + off}, {f.x1 - half, f.y1 + tall + off},
	} {
		t := tile{c[0] - half, c[1] - tall, c[0] + half, c[1] + tall}
		if t.x0 < 0 || t.y0 < 0 || t.x1 >= m.places.width || t.y1 >= m.places.height {
			continue
		}
		cost := m.places.cost(t, 0, math.MaxInt)
		for _, d := range details {
			x0, y0 := m.printed(StrokePoint{X: d.x, Y: d.y + d.high})
			x1, y1 := m.printed(StrokePoint{X: d.x + d.wide, Y: d.y})
			if t.overlap(tile{x0, y0, x1, y1}) > 0 {
				cost += 10 * costOverlap
			}
		}
		if cost < least {
			least, at = cost, t
		}
	}
	if least == math.MaxInt { // the frame is as large as the map
		m.label("detail", text, StrokePoint{X: m.frame.x, Y: m.frame.y + m.frame.high})
		return
	}
	cx, cy := m.places.take(at)
	m.write("detail", text, cx, cy, cx, cy, width)
}

// drawDetailName writes the letter of a detail at the left of its upper corner.
func drawDetailName(s *svg, d MapOf, name string) {
	s.WriteString(`<text class="detail" x="` + mm3(d.x-float64(0.5*(tickBare-tickFine))/d.scale-tickFine/d.scale) + `" y="` + mm3(s.height-d.y-d.high+float64(0.01*(labelHigh+10))/d.scale) + `">` + name + `</text>`)
}
