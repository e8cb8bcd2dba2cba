package main

import (
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// accounts says what a kind of warning can account for.
type accounts struct {
	bare, spilt bool
	shapes      bool // only where outlines are painted as areas
}

// causes are the kinds of warnings that name why paint differs from a drawing. Others,
// such as that a line is drawn twice, say nothing of it.
var causes = map[string]accounts{
	// Painted, though it does not show.
	"clipped-shape":  {bare: true, spilt: true}, // bare where it covers
	"closed-outline": {spilt: true},
	"dashed-stroke":  {bare: true, spilt: true}, // bare where it covers
	"hatch-pattern":  {spilt: true},
	"hidden-shape":   {spilt: true},
	"over-page":      {spilt: true},
	"white-shape":    {spilt: true},
	// Not painted, though it shows.
	"bad-count":       {bare: true},
	"bad-spline":      {bare: true},
	"bad-value":       {bare: true},
	"bare-paper":      {bare: true},
	"block-in-itself": {bare: true},
	"no-such-block":   {bare: true},
	"not-read":        {bare: true},
	"open-boundary":   {bare: true},
	// Painted otherwise.
	"ends-crossing":   {bare: true, spilt: true, shapes: true},
	"fit-points":      {bare: true, spilt: true},
	"flat-ends":       {bare: true, spilt: true}, // hints, up to which rounded-lines is said
	"pointed-corners": {bare: true, spilt: true},
	"gap-too-wide":    {bare: true, spilt: true, shapes: true},
	"gradient-fill":   {bare: true, spilt: true},
	"rounded-lines":   {bare: true, spilt: true},
	"stretched-width": {bare: true, spilt: true},
	"unread-style":    {bare: true, spilt: true},
}

var (
	warning   = regexp.MustCompile(`(?:warning|hint): .*\[([a-z-]+)\]\s*$`)
	ofLayer   = regexp.MustCompile(`layer "(ink \d+)"`)
	percent   = regexp.MustCompile(`([\d.]+)[ \x{a0}\x{202f}]?%`)
	tooThin   = regexp.MustCompile(`^(ink \d+): too thin in \S+ places?, ([\d.]+)[ \x{a0}\x{202f}](mm|m)$`)
	unpainted = regexp.MustCompile(`^(ink \d+): (.+) in \S+ places?, .*?([\d.]+)[ \x{a0}\x{202f}]mm² not painted`)
)

// reasons are the shares of what is shown of a layer that the words of a run
// account for, by the kind of warning or remark.
type reasons struct{ bare, spilt map[string]float64 }

// mostHinted is the share that a hint about the ends or corners of lines accounts for:
// from there on the program warns.
const mostHinted = 0.01

// lightest is the width in mm of the lightest mark that the brush of real drawings is
// sure to make, with the doubts of touch and bed that its recipe states. Where a drawing
// is thinner, up to that is painted outside.
var lightest = realBrush.width(2.3 * math.Hypot(0.01, 0.02/math.Sqrt(3)))

// reasonsFor reads what a run says of a layer, whose name is given. A warning with a
// figure accounts for no more than that and a tenth of it: it is a share of what is
// drawn, as the program counts it.
func reasonsFor(said, name string, s *shown) reasons {
	out := reasons{map[string]float64{}, map[string]float64{}}
	for line := range strings.Lines(said) {
		line = strings.TrimSpace(line)
		if out.remark(line, name, s) {
			continue
		}
		m := warning.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		if l := ofLayer.FindStringSubmatch(line); l != nil && l[1] != name {
			continue
		}
		of, share := causes[m[1]], math.Inf(1)
		if m[1] == "not-read" && strings.Contains(line, "an order of its own") {
			of.spilt = true
		}
		if p := percent.FindStringSubmatch(line); p != nil && slices.Contains([]string{"bare-paper", "over-page", "rounded-lines"}, m[1]) {
			share, _ = strconv.ParseFloat(p[1], 64)
			share *= 1.1 / 100
		}
		if m[1] == "flat-ends" || m[1] == "pointed-corners" {
			share = mostHinted
		}
		if of.shapes && s.look != "areas" {
			continue
		}
		if of.bare {
			out.bare[m[1]] += share
		}
		if of.spilt {
			out.spilt[m[1]] += share
		}
	}
	return out
}

// remark counts a remark of what could not be painted as drawn, and reports whether a
// line is one, of the layer.
func (r *reasons) remark(line, name string, s *shown) bool {
	if m := tooThin.FindStringSubmatch(line); m != nil && m[1] == name && s.area > 0 {
		long, _ := strconv.ParseFloat(m[2], 64)
		if m[3] == "m" {
			long *= 1000
		}
		r.spilt["too thin"] += 1.1 * long * lightest / s.area
		r.bare["too thin"] += 1.1 * long * (lightest - realBrush.touch) / s.area // a hairline is painted with the touch mark
		return true
	}
	if m := unpainted.FindStringSubmatch(line); m != nil && m[1] == name && s.area > 0 {
		area, _ := strconv.ParseFloat(m[3], 64)
		r.bare[m[2]] += area / s.area
		return true
	}
	return false
}

// explain decides whether what a layer differs by is accounted for, but for what is
// allowed without a word.
func (s *shown) explain(r reasons) {
	sum := func(of map[string]float64) float64 {
		sum := 0.0
		for _, v := range of {
			sum += v
		}
		return sum
	}
	bare, spilt := 1-s.covered, s.spilt
	s.explained = bare <= 1-coverWant+sum(r.bare) && spilt <= spillMost+sum(r.spilt)
	kinds := map[string]bool{}
	if bare > 1-coverWant {
		for k := range r.bare {
			kinds[k] = true
		}
	}
	if spilt > spillMost {
		for k := range r.spilt {
			kinds[k] = true
		}
	}
	s.causes = slices.Sorted(maps.Keys(kinds))
}
