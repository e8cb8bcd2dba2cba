package register

import (
	"math"
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/runner/vector"
)

// mm writes a length with at most three decimals.
func mm(v float64) string {
	return format.Plain.Number(v, 3)
}

func xy(p vector.XY) string { return mm(p.X) + " mm, " + mm(p.Y) + " mm" }

func quote(s string) string { return strconv.Quote(s) }

func plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

func percent(ratio float64) string { return format.Plain.Share(math.Abs(ratio - 1)) }

func largerOrSmaller(ratio float64) string {
	if ratio > 1 {
		return "larger"
	}
	return "smaller"
}

func fartherOrNearer(ratio float64) string {
	if ratio > 1 {
		return "farther apart"
	}
	return "nearer together"
}

// extent returns width and height of the box around points.
func extent(points []vector.XY) (w, h float64) {
	if len(points) == 0 {
		return 0, 0
	}
	box := vector.Bounds(points)
	return box.Max.X - box.Min.X, box.Max.Y - box.Min.Y
}
