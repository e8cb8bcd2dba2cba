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

// armsOfMark is how many strokes a painted register mark has.
const armsOfMark = 4

// StatedBeside counts the strokes that comments of the program call check marks
// or arms of register marks.
func (p *Path) StatedBeside() (checkMarks, arms int) {
	for _, c := range p.Comments {
		text := strings.TrimSpace(c.Text)
		switch {
		case !strings.HasPrefix(text, "stroke "):
		case strings.Contains(text, ", check mark "):
			checkMarks++
		case strings.Contains(text, " of register mark "):
			arms++
		}
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
