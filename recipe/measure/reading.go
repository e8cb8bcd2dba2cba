package measure

import (
	"cmp"
	"math"
	"slices"
)

// From says from where a press was reached.
type From int8

// Below is the press of a brush that goes down, Above that of one that is lifted.
const (
	Below From = iota
	Above
)

// Reading is one reading of one mark.
type Reading struct {
	// Touch counts the touch-offs: marks that were painted after one touch-off
	// have their presses wrong by the same amount.
	Touch int
	Mark  int // number of the mark; readings of one mark share it, below one Touch
	By    int // who measured it, from 0; less where that is not known
	Press float64
	From  From
	Width float64 // 0 where the brush left no mark
	// U is the reading's own standard uncertainty in mm, 0 where it is not known.
	U float64
}

// mark is a mark with the mean of its readings.
type mark struct {
	touch    int
	press    float64 // below the touch-off, later below the touch
	width, u float64
	weight   float64 // 1/scatter² of its touch-off's marks
	readings []int
}

// gather puts the readings of each mark together, in the order of the marks'
// first readings, and pools the scatter of readings of one mark.
func gather(readings []Reading, want func(Reading) bool) (marks []mark, scatter Estimate) {
	type key struct{ touch, number int }
	at := make(map[key]int, len(readings))
	for i, r := range readings {
		if !want(r) {
			continue
		}
		k := key{r.Touch, r.Mark}
		m, known := at[k]
		if !known {
			m = len(marks)
			at[k] = m
			marks = append(marks, mark{touch: r.Touch, press: r.Press})
		}
		marks[m].readings = append(marks[m].readings, i)
	}
	squares, freedom := 0.0, 0
	for i := range marks {
		m := &marks[i]
		n := float64(len(m.readings))
		own := 0.0
		for _, r := range m.readings {
			m.width += readings[r].Width / n
			own += square(readings[r].U) / n
		}
		for _, r := range m.readings {
			squares += square(readings[r].Width - m.width)
		}
		freedom += len(m.readings) - 1
		m.width, m.u = round(m.width), math.Sqrt(own/n)
		scatter.Readings += len(m.readings)
	}
	if freedom > 0 {
		scatter.Freedom, scatter.U = float64(freedom), math.Sqrt(squares/float64(freedom))
	}
	return marks, scatter
}

// byPress sorts marks by press, those of one press in the order of the readings.
func byPress(marks []mark) {
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.press, b.press) })
}

// readingsOf counts the readings of marks.
func readingsOf(marks []mark) (n int) {
	for _, m := range marks {
		n += len(m.readings)
	}
	return n
}
