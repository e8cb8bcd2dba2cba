package proof

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// StatedTiming is the timing that comments of the program state, as the head
// of our own programs does; the zero Timing if there is none.
func (p *Path) StatedTiming() Timing {
	var t Timing
	whole := map[string]*float64{"travel": &t.Travel, "z": &t.ZFeed, "acceleration": &t.Acceleration, "corner": &t.Corner}
	timed := false
	for _, c := range remarks(p) {
		text := c.text
		if list, ok := strings.CutPrefix(text, "timed with "); ok && !timed {
			timed = true
			for part := range strings.SplitSeq(list, ", ") {
				name, number, _ := strings.Cut(part, " ")
				if field := whole[name]; field != nil {
					*field = statedNumber(number)
				}
			}
		}
		axis, ok := strings.CutPrefix(text, "timed by axis ")
		if words := strings.Fields(axis); ok && len(words) == 3 && len(words[0]) == 1 {
			if i := strings.Index("xyz", words[0]); i >= 0 {
				t.Axes[i] = AxisMotion{statedNumber(words[1]), statedNumber(words[2])}
			}
		}
	}
	return t
}

// statedNumber is a number of a comment; 0 for what is none, or out of range.
func statedNumber(number string) float64 {
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || !(v >= 0 && v < 1e9) {
		return 0
	}
	return v
}

// What a head may state of a place where the brush stays on the paper: no wider than
// the mark of any brush, and no longer than a recipe may ask for.
const (
	mostStayed  = 60.0 // mm
	longestStay = 60.0 // s
	mostStays   = 1000
)

// StatedWaits are the places where the program's head states that the brush stays
// on the paper. Only comments before the first move count.
func (p *Path) StatedWaits() []Wait {
	var out []Wait
	for _, c := range remarks(p) {
		if len(p.Moves) == 0 || c.line >= p.Moves[0].Line || len(out) == mostStays {
			break
		}
		fields := strings.Fields(strings.NewReplacer(",", "", "X", "", "Y", "", "Z", "").Replace(c.text))
		if len(fields) != 13 || !strings.HasPrefix(c.text, "may stay in X") {
			continue
		}
		var v [6]float64
		wrong := false
		for i, at := range [...]int{3, 5, 6, 8, 9, 11} {
			x, err := strconv.ParseFloat(fields[at], 64)
			wrong = wrong || err != nil || !(math.Abs(x) < 1e6)
			v[i] = x
		}
		w := Wait{Rect: Rect{MinX: v[0], MinY: v[2], MaxX: v[1], MaxY: v[3]}, Depth: -v[4], Seconds: v[5]}
		if !wrong && w.Rect.MaxX-w.Rect.MinX <= mostStayed && w.Rect.MaxY-w.Rect.MinY <= mostStayed && w.Depth >= 0 && w.Seconds <= longestStay {
			out = append(out, w)
		}
	}
	return out
}

// armsOfMark is how many strokes a painted register mark has.
const armsOfMark = 4

// StatedBeside counts the strokes that comments of the program call check marks
// or arms of register marks.
func (p *Path) StatedBeside() (checkMarks, arms int) {
	for _, c := range remarks(p) {
		text := c.text
		switch {
		case !strings.HasPrefix(text, "stroke "):
		case strings.Contains(text, ", check mark "):
			checkMarks++
		case strings.Contains(text, " of register mark "):
			arms++
		}
	}
	if checkMarks+arms == 0 { // its comments may be in the head only
		return headBeside(p)
	}
	return checkMarks, arms
}

// headBeside is what StatedBeside counts, of the sentence about time and strokes in
// the head.
func headBeside(p *Path) (checkMarks, arms int) {
	for _, c := range remarks(p) {
		if p.FirstWord > 0 && c.line >= p.FirstWord || !strings.HasPrefix(c.text, "about ") {
			continue
		}
		fields := strings.Fields(strings.ReplaceAll(c.text, ",", ""))
		for i := 2; i < len(fields); i++ {
			n, err := strconv.Atoi(fields[i-2])
			what := fields[i-1] + " " + strings.TrimSuffix(fields[i], "s")
			switch {
			case err != nil || n < 0 || n > MaxNotes:
			case what == "check mark":
				checkMarks = n
			case what == "register mark":
				arms = armsOfMark * n
			}
		}
		break
	}
	return checkMarks, arms
}

// strokes counts the strokes of a program, check marks and register marks apart.
func (r *Reading) strokes() string {
	n := len(r.Measures.Strokes)
	checkMarks, arms := r.Path.StatedBeside()
	if checkMarks+arms > n {
		return countText(n, "stroke")
	}
	text := countText(n-checkMarks-arms, "stroke")
	if checkMarks > 0 && arms >= armsOfMark {
		text += ", " + countText(checkMarks, "check mark")
	} else if checkMarks > 0 {
		text += " and " + countText(checkMarks, "check mark")
	}
	if arms >= armsOfMark {
		text += " and " + countText(arms/armsOfMark, "register mark")
	}
	return text
}

// OnStatedBed is the path with heights over the paper of the bed that the program
// states; the same path if it states none.
func OnStatedBed(p *Path) *Path {
	b, tipX, tipY := StatedBed(p)
	return OnBed(p, b, tipX, tipY)
}

// StatedBed is the bed that comments of the program state, as the head of our
// own programs does, with the offset of the tip in mm; nil if there is none.
func StatedBed(p *Path) (b *Bed, tipX, tipY float64) {
	var area Rect
	var zero Point
	var touches []Point
	kind := ""
	for _, c := range remarks(p) {
		text, ok := strings.CutPrefix(c.text, "bed ")
		if !ok || len(touches) > maxTouches {
			continue
		}
		var word string
		t := Point{}
		if n, _ := fmt.Sscanf(text, "touched X%g Y%g height %g", &t.X, &t.Y, &t.Z); n == 3 {
			touches = append(touches, t)
			continue
		}
		if n, _ := fmt.Sscanf(text, "tip X%g Y%g, zero X%g Y%g", &tipX, &tipY, &zero.X, &zero.Y); n == 4 {
			continue
		}
		if n, _ := fmt.Sscanf(text, "%s from X%g Y%g to X%g Y%g", &word, &area.MinX, &area.MinY, &area.MaxX, &area.MaxY); n == 5 {
			kind = word
		}
	}
	if kind == "" || !finite(append(touches, zero, Point{tipX, tipY, 0}, Point{area.MinX, area.MinY, 0}, Point{area.MaxX, area.MaxY, 0})) {
		return nil, 0, 0
	}
	b, err := NewBed(touches, zero, area, kind == "bent")
	if err != nil {
		return nil, 0, 0
	}
	return b, tipX, tipY
}

// maxTouches is the most touches that are read.
const maxTouches = 10_000

// finite reports whether all coordinates are numbers of a size that a machine has.
func finite(points []Point) bool {
	for _, q := range points {
		for _, v := range [...]float64{q.X, q.Y, q.Z} {
			if !(abs(v) <= MaxCoord) {
				return false
			}
		}
	}
	return true
}
