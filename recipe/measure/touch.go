package measure

import (
	"math"
	"slices"
)

// touchOf finds the press below a touch-off at which the brush begins to mark the
// paper: half-way between the deepest press without a mark and the lightest with
// one. Where a deeper press left no mark than one that did, it is the press that
// parts the two with the fewest marks on the wrong side. ok is false if there is
// no press without a mark. marks are sorted by press, and of one touch-off.
func touchOf(marks []mark) (touch Estimate, ok bool) {
	unmarked := 0
	for _, m := range marks {
		if m.width == 0 {
			unmarked++
		}
	}
	if unmarked == 0 || unmarked == len(marks) {
		return Estimate{}, false
	}
	wrong := unmarked // marks on the wrong side of a touch before mark i
	fewest := math.MaxInt
	var low, high float64
	for i := 0; i <= len(marks); i++ {
		if i > 0 && i < len(marks) && marks[i].press > marks[i-1].press && wrong <= fewest {
			if wrong < fewest {
				low, fewest = marks[i-1].press, wrong
			}
			high = marks[i].press
		}
		if i < len(marks) {
			if marks[i].width == 0 {
				wrong--
			} else {
				wrong++
			}
		}
	}
	if fewest == math.MaxInt {
		return Estimate{}, false
	}
	return Estimate{Value: (low + high) / 2, U: (high - low) / math.Sqrt(12), Readings: readingsOf(marks)}.rounded(), true
}

// touches finds the touch of each touch-off, and shifts the presses of the marks
// to be below it. Where a sheet does not show its touch, its touch-off is taken
// for it, with the standard uncertainty u.
func touches(marks []mark, u float64) map[int]Estimate {
	out := map[int]Estimate{}
	for _, m := range marks {
		if _, known := out[m.touch]; known {
			continue
		}
		own := slices.DeleteFunc(slices.Clone(marks), func(o mark) bool { return o.touch != m.touch })
		byPress(own)
		touch, ok := touchOf(own)
		if !ok {
			touch = Estimate{U: u}
			if lightest := own[0].press; lightest < 0 && own[0].width > 0 {
				// It lies above the lightest press. For a normal error of which two
				// standard deviations or more are known to be exceeded, the mean
				// excess is 0.37 of them, and scatters by 0.34 of them.
				touch = Estimate{Value: round(lightest - float64(0.37*u)), U: round(0.34 * u)}
			}
		}
		out[m.touch] = touch
	}
	for i := range marks {
		marks[i].press = round(marks[i].press - out[marks[i].touch].Value)
	}
	return out
}
