package runner_test

import (
	"math"
	"testing"

	"mahlstick/recipe/problem"
)

// A line wider than the brush has its ends and corners as in the drawing, and so has
// a line that hides others or is cut off. Areas against closed forms of the strokes of
// SVG 2, 13.5.3 (from memory); the brush paints at most 4.2 mm wide.
func TestEndsAsDrawn(t *testing.T) {
	const (
		tan22 = 0.41421356 // of 22.5 degrees
		bar   = `<path d="M40 40h30" fill="none" stroke="black" stroke-width="10" `
		elbow = `<path d="M40 40h30v30" fill="none" stroke="black" stroke-width="10" `
		bend  = `<path d="M40 40h30l20 20" fill="none" stroke="black" stroke-width="10" ` // turns by 45 degrees
		under = `<rect x="30" y="30" width="60" height="20" fill="black"/>`
		over  = `<path d="M40 40h30" fill="none" stroke="white" stroke-width="10" `
		thin  = `<path d="M-20 40h60" fill="none" stroke="black" stroke-width="2" `
	)
	slant := 10 * math.Hypot(20, 20)
	for _, c := range []struct {
		name, body string
		cell       string
		want       float64 // mm²
	}{
		{"flat", bar + `/>`, "", 300},
		{"square", bar + `stroke-linecap="square"/>`, "", 400},
		{"round", bar + `stroke-linecap="round" stroke-linejoin="round"/>`, "", 300 + 25*math.Pi},
		{"pointed", elbow + `/>`, "", 600},
		{"cut off", elbow + `stroke-linejoin="bevel"/>`, "", 600 - 12.5},
		{"beyond the limit", elbow + `stroke-miterlimit="1.4"/>`, "", 600 - 12.5},
		{"within the limit", elbow + `stroke-miterlimit="1.42"/>`, "", 600},
		{"round corners", elbow + `stroke-linejoin="round"/>`, "", 600 - 25 + 25*math.Pi/4},
		// The segments overlap on the inner side by as much as the tip adds.
		{"slanted", bend + `/>`, "", 300 + slant},
		{"slanted and cut off", bend + `stroke-linejoin="bevel"/>`, "", 300 + slant - 25*tan22 + 12.5*math.Sqrt2/2},
		{"closed", `<rect x="40" y="40" width="40" height="20" fill="none" stroke="black" stroke-width="10"/>`, "", 50*30 - 30*10},
		{"hides", under + over + `/>`, "covered", 1200 - 300},
		{"hides, round", under + over + `stroke-linecap="round"/>`, "covered", 1200 - 300 - 25*math.Pi},
		{"partly covered", `<path d="M40 40h30" fill="none" stroke="black" stroke-width="2"/><rect x="60" y="30" width="20" height="20" fill="white"/>`, "covered", 40},
		{"cut off at the page", thin + `/>`, "cut to", 80},
	} {
		cells := map[string]string{}
		switch c.cell {
		case "covered":
			cells["covered"] = "leave"
		case "cut to":
			cells["cut to"], cells["offset x"], cells["offset y"] = "page", "20 mm", "20 mm"
		}
		drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="80mm" viewBox="0 0 160 80">` + c.body + `</svg>`
		r, problems := sized(t, "a.svg", drawing, "", cells)
		if r == nil || math.Abs(drawnArea(r)-c.want) > 0.1 || hasCode(problems, problem.RoundedLines) {
			got := 0.0
			if r != nil {
				got = drawnArea(r)
			}
			t.Errorf("%s: %.3f mm², want %.3f; %v", c.name, got, c.want, problems)
		}
	}
}

// Where brush strokes with round ends differ from the drawing by more than a hundredth
// of the layer, a warning says by how much.
func TestRoundedLines(t *testing.T) {
	for _, c := range []struct {
		body string
		cell string
		want bool
	}{
		{`<path d="M40 40h20" fill="none" stroke="black" stroke-width="2"/>`, "", true}, // pi of 40 mm²
		{`<path d="M40 40h20" fill="none" stroke="black" stroke-width="2"/>`, "1 mm", false},
		{`<path d="M40 40h20" fill="none" stroke="black" stroke-width="2" stroke-linecap="round"/>`, "", false},
		{`<path d="M40 40h20" fill="none" stroke="black" stroke-width="2" stroke-linecap="square"/>`, "", true},  // 0.86 of 40 mm²
		{`<path d="M40 40h60" fill="none" stroke="black" stroke-width="0.4"/>`, "", false},                       // 0.13 of 24 mm²
		{`<path d="M40 40h6v6" fill="none" stroke="black" stroke-width="2" stroke-linecap="round"/>`, "", false}, // 1 - pi/4 of 24 mm², less than a hundredth
		{`<path d="M40 40h4v4" fill="none" stroke="black" stroke-width="2" stroke-linecap="round"/>`, "", true},  // of 16 mm²
	} {
		cells := map[string]string{}
		if c.cell != "" {
			cells["width"] = c.cell
		}
		drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="80mm" viewBox="0 0 160 80">` + c.body + `</svg>`
		if r, problems := sized(t, "a.svg", drawing, "", cells); r == nil || hasCode(problems, problem.RoundedLines) != c.want {
			t.Errorf("%s: %v", c.body, problems)
		}
	}
}
