package calibrate

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/recipe/measure"
	"mahlstick/recipe/problem"
)

// wrongUnits are by what a reading is wrong that was taken in another unit than its
// column says.
var wrongUnits = [...]struct {
	ratio float64
	unit  string
}{{10, "a tenth of a mm"}, {0.1, "cm"}, {25.4, "mm"}, {1 / 25.4, "inches"}}

// check reports readings that seem to be in another unit than the others.
func (c *calibration) check(sets []*set) {
	for _, s := range sets {
		var marks []*mark
		var ratios []float64
		for i := range s.marks {
			m := &s.marks[i]
			if len(m.readings) == 0 || !(m.mean() > 0) {
				continue
			}
			if m.kind == "ladder" {
				marks = append(marks, m)
				if m.expected > 0 {
					ratios = append(ratios, m.mean()/m.expected)
				}
			}
			if m.kind == "rings" { // their diameter is known without the brush, but for the lag
				ratios = append(ratios, m.mean()/(2*measure.RingRadii[m.index%len(measure.RingRadii)]))
			}
		}
		slices.SortStableFunc(marks, func(a, b *mark) int { return cmp.Compare(a.press, b.press) })
		checkUnits(c, marks)
		checkSizes(c, s, ratios)
	}
}

// checkUnits compares each reading with those of the marks beside it.
func checkUnits(c *calibration, marks []*mark) {
	const beside = 4
	for i, m := range marks {
		var others []float64
		for k := max(0, i-beside); k < min(len(marks), i+beside+1); k++ {
			for _, r := range marks[k].readings {
				others = append(others, r.mm)
			}
		}
		slices.Sort(others)
		usual := others[len(others)/2]
		for _, r := range m.readings {
			for _, w := range wrongUnits {
				if len(others) > 4 && math.Abs(r.mm/(w.ratio*usual)-1) < 0.3 {
					c.problems.Errorf(problem.MixedUnits, r.place, problem.Advise("write it in the unit of its column, or with its own unit"),
						"%s is about %.3g times the marks beside it: it seems to be in %s", r.place.Text(), w.ratio, w.unit)
				}
			}
		}
	}
}

// checkSizes compares all readings with what was expected, as ratios.
func checkSizes(c *calibration, s *set, ratios []float64) {
	if len(ratios) < 3 {
		return
	}
	slices.Sort(ratios)
	middle := ratios[len(ratios)/2]
	for _, w := range wrongUnits {
		if math.Abs(middle/w.ratio-1) < 0.3 {
			c.problems.Errorf(problem.MixedUnits, s.place, problem.Advise("compare the unit in the header of the column measured with your calipers"),
				"the readings of %s are about %.3g times as long as expected: their unit is another than the one stated", s.name, w.ratio)
		}
	}
}

// Most brushes mark 0.2 to 1 mm wider for each mm of press (common practice, no
// source). A brush beyond these may be real, but a wrong unit is likelier.
const (
	leastWidening = 0.12
	mostWidening  = 3
)

// checkWidening warns of widths that grow with the press as those of no usual brush.
func checkWidening(c *calibration, sets []*set) {
	w := c.out.Ladder.Widening
	if !c.out.Ladder.HalfAngle.Known() || w >= leastWidening && w <= mostWidening {
		return
	}
	c.problems.Warnf(problem.MixedUnits, c.out.first, problem.Advise("compare the unit in the header of the column with your calipers; ignore this if it is right"),
		"the marks of %s widen by %.2f mm for each mm of press, and those of most brushes by 0.2 to 1 mm: the readings of %s may be in another unit", c.brush.Title, w, sets[0].name)
}
