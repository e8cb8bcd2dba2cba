package calibrate

import (
	"cmp"
	"math"
	"slices"

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
		for i := range s.marks {
			if m := &s.marks[i]; m.kind == "ladder" && len(m.readings) > 0 && m.mean() > 0 {
				marks = append(marks, m)
			}
		}
		slices.SortStableFunc(marks, func(a, b *mark) int { return cmp.Compare(a.press, b.press) })
		checkUnits(c, marks)
		checkSizes(c, s, marks)
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

// checkSizes compares all readings with what was expected.
func checkSizes(c *calibration, s *set, marks []*mark) {
	var ratios []float64
	for _, m := range marks {
		if m.expected > 0 {
			ratios = append(ratios, m.mean()/m.expected)
		}
	}
	if len(ratios) < 4 {
		return
	}
	slices.Sort(ratios)
	middle := ratios[len(ratios)/2]
	for _, w := range wrongUnits {
		if math.Abs(middle/w.ratio-1) < 0.3 {
			c.problems.Errorf(problem.MixedUnits, s.place, problem.Advise("correct the unit in the header of the column measured"),
				"the readings of %s are about %.3g times as wide as expected: they seem to be in %s", s.name, w.ratio, w.unit)
		}
	}
}
