package logbook

import "slices"

// Measures of details in printed mm.
const (
	detailGap      = 3.0
	detailLeast    = 14.0 // narrower than this, a detail shows nothing
	detailScale    = 1.4  // what a detail is larger than the map, at least
	detailNumbered = 24.0 // a detail so wide, with its ticks, has numbers at them
	detailTwo      = 60.0 // a map so high has two details beside it
	detailOf       = 3    // a detail shows so many strokes or more that have no number on the map
)

// detailNames are the numbers of the details on a map.
var detailNames = [...]string{"i", "ii"}

// detailsOf are where a map is crowded, at a larger scale, in what is left of its room:
// each holds as many as possible of the strokes without a number.
func detailsOf(f MapOf, without []Stroke) []MapOf {
	wide, high := f.room-printedWide(f)-detailGap-mapRim, printedHigh(f)-mapRim
	left, low := f.left, f.low
	if wide < detailNumbered {
		left, low = tickBare, tickLong
	}
	wide -= left
	scale := min(1, float64(2.2*f.scale))
	if wide < detailLeast || scale < detailScale*f.scale {
		return nil
	}
	n := 1
	if high >= detailTwo && wide < high {
		n, high = 2, (high-mapRim-detailGap)/2
	}
	high -= low
	var out []MapOf
	for range n {
		d := f
		d.left, d.low = left, low
		d.scale, d.wide, d.high = scale, min(f.wide, wide/scale), min(f.high, high/scale)
		var most int
		d.frame, most = fullest(d.frame, f.frame, without)
		if most < detailOf {
			break
		}
		out = append(out, d)
		without = slices.DeleteFunc(slices.Clone(without), func(s Stroke) bool { return d.holds(s.Points[0]) })
	}
	return out
}

// fullest is the frame of the size of d, within another, in which most strokes begin,
// and how many these are.
func fullest(d, within frame, strokes []Stroke) (best frame, most int) {
	best = d
	step := 1 + len(strokes)/60 // of very many, not every one is tried
	for a := 0; a < len(strokes); a += step {
		for b := 0; b < len(strokes); b += step { // one is at the left, one at the lower edge
			d.x = max(within.x, min(strokes[a].Points[0].X-2/d.scale, within.x+within.wide-d.wide))
			d.y = max(within.y, min(strokes[b].Points[0].Y-2/d.scale, within.y+within.high-d.high))
			n := 0
			for _, s := range strokes {
				if d.holds(s.Points[0]) {
					n++
				}
			}
			if n > most {
				best, most = d, n
			}
		}
	}
	return best, most
}

// drawDetailFrame draws on a map what a detail shows.
func drawDetailFrame(s *svg, d frame) {
	s.WriteString(`<rect class="detail" x="` + mm(d.x) + `" y="` + mm(s.height-d.y-d.high) + `" width="` + mm(d.wide) + `" height="` + mm(d.high) + `"/>`)
}

// share gives the maps of a row what it leaves of the width of the card: those with
// the most strokes without a number have room for details.
func share(row []MapOf) {
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
