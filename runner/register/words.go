package register

import (
	"math"
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
)

func (r *registration) contourPlace(square int) source.Place {
	return r.d.Contours[r.squares[square].contours[0]].Place
}

// mm prints a length with at most three decimals.
func mm(v float64) string {
	return format.Plain.Number(v, 3)
}

func xy(p drawing.XY) string { return mm(p.X) + " mm, " + mm(p.Y) + " mm" }

func quote(s string) string { return strconv.Quote(s) }

func plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

func percent(ratio float64) string { return format.Plain.Share(math.Abs(ratio - 1)) }

func farOrNear(ratio float64) string {
	if ratio > 1 {
		return "farther apart"
	}
	return "nearer together"
}

// extent gives width and height of the box around points.
func extent(points []drawing.XY) (w, h float64) {
	if len(points) == 0 {
		return 0, 0
	}
	low, high := points[0], points[0]
	for _, p := range points[1:] {
		low.X, low.Y = min(low.X, p.X), min(low.Y, p.Y)
		high.X, high.Y = max(high.X, p.X), max(high.Y, p.Y)
	}
	return high.X - low.X, high.Y - low.Y
}
