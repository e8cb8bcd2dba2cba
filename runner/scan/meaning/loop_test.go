package meaning_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"mahlstick/runner/scan/meaning"
)

// Over three sheets, each painted with the rows that the one before gave, the width
// error falls by 60 % or more in the median of the workshops. Every sheet is touched
// off anew.
func TestThreeSheets(t *testing.T) {
	n := count(2)
	var falls []float64
	worse := 0
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 6))
		h, b := draw(r), newTable()
		var errors [3]float64
		for i := range errors {
			h.deep = [2]float64{touchScatter * r.NormFloat64(), touchScatter * r.NormFloat64()}
			m := b.sheet(t, h, uint64(3*seed+i))
			errors[i] = m.Before
			b = b.paste(m.Corrections[0])
		}
		fall := 1 - errors[2]/errors[0]
		if falls = append(falls, fall); fall < 0 {
			worse++
		}
		t.Logf("workshop %d (%+v): %.4f, %.4f, %.4f mm", seed, h, errors[0], errors[1], errors[2])
	}
	slices.Sort(falls)
	t.Logf("%d workshops: the error falls by %.0f %% in the median, by %.0f %% in the worst tenth; it rises in %d", n, 100*falls[n/2], 100*falls[n/10], worse)
	if falls[n/2] < 0.6 {
		t.Errorf("the error falls by %.0f %% in the median of %d workshops", 100*falls[n/2], n)
	}
}

// A table that is right is made worse, by more than the 0.005 mm that a scan at
// 300 dpi tells, in at most 1 of 100 workshops.
func TestGoodTable(t *testing.T) {
	n := count(2)
	worse, changed := 0, 0
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 7))
		h := hidden{angle: tableAngle, deep: [2]float64{touchScatter * r.NormFloat64(), touchScatter * r.NormFloat64()}}
		m := newTable().sheet(t, h, uint64(seed))
		if m.Corrections[0].Empty() {
			continue
		}
		changed++
		// Both tables paint the next sheet, touched off alike.
		h.deep = [2]float64{touchScatter * r.NormFloat64(), touchScatter * r.NormFloat64()}
		left := newTable().sheet(t, h, uint64(seed+5000)).Before
		pasted := newTable().paste(m.Corrections[0]).sheet(t, h, uint64(seed+5000)).Before
		if pasted > left+0.005 {
			worse++
		}
		t.Logf("workshop %d: %.4f mm, with the rows of the scan %.4f mm", seed, left, pasted)
	}
	t.Logf("%d workshops: rows were given in %d, the next sheet was worse in %d", n, changed, worse)
	if 100*worse > n {
		t.Errorf("a good table was made worse in %d of %d workshops", worse, n)
	}
}

// What cannot be told apart is said, and not used: marks of one press say nothing of
// the slope.
func TestNotTold(t *testing.T) {
	b := newTable()
	b.level = true
	m := b.sheet(t, hidden{angle: 13}, 1)
	e, _ := m.Effect(meaning.Slope, 0)
	if e.Counts() && math.Abs(e.Value) > 0 {
		t.Errorf("slope from marks of one press: %+v", e)
	}
}
