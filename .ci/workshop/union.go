package main

import (
	"fmt"
	"math"
	"os"
	"strings"
)

// piece are the strokes that one program paints, on the sheet as it lay then.
type piece struct {
	from, to int
	file     string
	on       bench
	zero     [2]float64
}

// compare paints all parts, and holds each stroke against the uninterrupted one.
func (j *uninterrupted) compare(i *interruption, parts []piece) error {
	pieces := make([][][]disc, len(j.strokes))
	for _, p := range parts {
		if err := j.stays(p.file); err != nil {
			return err
		}
		strokes, err := j.kit.strokesOf(p.file, p.on, p.zero)
		if err != nil {
			return err
		}
		for n := p.from; n <= p.to; n++ {
			if strokes[n] == nil {
				return fmt.Errorf("%s does not paint stroke %d", p.file, n)
			}
			pieces[n-1] = append(pieces[n-1], strokes[n])
		}
		for n := range strokes {
			if p.file != j.file(program) && (n < p.from || n > p.to) {
				return fmt.Errorf("%s paints stroke %d", p.file, n)
			}
		}
	}
	for n, whole := range j.strokes {
		own := pieces[n]
		if n+1 == i.from && i.share > 0 {
			share := float64(i.share) / 1000
			own[0] = upTo(whole, share*lengthOf(whole))
			lap := from(whole, share*lengthOf(whole)-widthAt(whole, own[0][len(own[0])-1]))
			i.lap = math.Max(i.lap, farthest([][]disc{own[1]}, [][]disc{lap}))
		}
		i.bare = math.Max(i.bare, farthest([][]disc{whole}, own))
		i.spilt = math.Max(i.spilt, farthest(own, [][]disc{whole}))
	}
	return nil
}

// widthAt is how wide a mark is on the paper where the brush is at a moment. That may
// be more than the brush makes then: at the end of a stroke it lifts in place.
func widthAt(whole []disc, at disc) float64 {
	const near = 0.3 // mm
	widest := at.r
	for _, d := range whole {
		if math.Hypot(d.x-at.x, d.y-at.y) < near {
			widest = math.Max(widest, d.r)
		}
	}
	return 2 * widest
}

// lengthOf is the length of the way of a mark.
func lengthOf(a []disc) float64 {
	sum := 0.0
	for i := 1; i < len(a); i++ {
		sum += math.Hypot(a[i].x-a[i-1].x, a[i].y-a[i-1].y)
	}
	return sum
}

// upTo is a mark as far as a length, and from the rest of it.
func upTo(a []disc, length float64) []disc { return a[:len(a)-len(from(a, length))+1] }

func from(a []disc, length float64) []disc {
	sum := 0.0
	for i := 1; i < len(a); i++ {
		if sum += math.Hypot(a[i].x-a[i-1].x, a[i].y-a[i-1].y); sum > length {
			return a[i-1:]
		}
	}
	return a[len(a)-1:]
}

// farthest is how far (mm) the edge of marks reaches outside of others.
func farthest(marks, others [][]disc) float64 {
	worst := 0.0
	for _, m := range marks {
		along := 1.0
		for i, d := range m {
			if i > 0 {
				along += math.Hypot(d.x-m[i-1].x, d.y-m[i-1].y)
			}
			if along < 0.5 && i < len(m)-1 { // places half a millimetre apart
				continue
			}
			along = 0
			for k := range 12 {
				s, c := math.Sincos(float64(k) * math.Pi / 6)
				worst = math.Max(worst, outside(d.x+d.r*c, d.y+d.r*s, others))
			}
		}
	}
	return worst
}

// outside is how far a place is from the nearest mark.
func outside(x, y float64, marks [][]disc) float64 {
	least := math.Inf(1)
	for _, m := range marks {
		for _, d := range m {
			if least = math.Min(least, math.Hypot(x-d.x, y-d.y)-d.r); least <= 0 {
				return 0
			}
		}
	}
	return least
}

// stays checks that a program keeps the press and the reach, and that it lowers the
// brush nowhere but over a place that it has stated since the stroke began.
func (j *uninterrupted) stays(file string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	const safe, deepestRounded = 6.0, 0.0005
	placed := [2]bool{}
	for n, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, "(stroke") || line == "M0" {
			placed = [2]bool{}
		}
		if strings.HasPrefix(line, "(") {
			continue
		}
		for _, word := range strings.Fields(line) {
			v := value(word[1:])
			switch word[0] {
			case 'X':
				placed[0] = true
			case 'Y':
				placed[1] = true
			case 'Z':
				if v < safe && placed != [2]bool{true, true} {
					return fmt.Errorf("%s:%d: lowers without a place", file, n+1)
				}
				if v < -j.kit.brush.full-deepestRounded {
					return fmt.Errorf("%s:%d: deeper than the safe press", file, n+1)
				}
			}
		}
	}
	return nil
}
