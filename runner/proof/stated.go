package proof

import (
	"strconv"
	"strings"
)

// StatedTiming is the timing that a comment of the program states, as the head
// of our own programs does; the zero Timing if there is none.
func (p *Path) StatedTiming() Timing {
	for _, c := range p.Comments {
		text, ok := strings.CutPrefix(strings.TrimSpace(c.Text), "timed with ")
		if !ok {
			continue
		}
		var t Timing
		fields := map[string]*float64{"travel": &t.Travel, "z": &t.ZFeed, "acceleration": &t.Acceleration, "corner": &t.Corner}
		for part := range strings.SplitSeq(text, ", ") {
			name, number, _ := strings.Cut(part, " ")
			v, err := strconv.ParseFloat(number, 64)
			if field := fields[name]; field != nil && err == nil && v >= 0 && v < 1e9 {
				*field = v
			}
		}
		return t
	}
	return Timing{}
}

// StatedCheckMarks counts the strokes that comments of the program call check
// marks.
func (p *Path) StatedCheckMarks() int {
	n := 0
	for _, c := range p.Comments {
		if text := strings.TrimSpace(c.Text); strings.HasPrefix(text, "stroke ") && strings.Contains(text, ", check mark ") {
			n++
		}
	}
	return n
}

// strokes counts the strokes of a program, check marks apart.
func (r *Reading) strokes() string {
	n, marks := len(r.Measures.Strokes), r.Path.StatedCheckMarks()
	if marks == 0 || marks > n {
		return countText(n, "stroke")
	}
	return countText(n-marks, "stroke") + " and " + countText(marks, "check mark")
}
