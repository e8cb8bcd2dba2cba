package measure_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/measure"
	"mahlstick/runner/golden"
)

// fixedReadings are those of a sheet, made of whole hundredths alone so that they
// have the same bits everywhere.
func fixedReadings() []measure.Reading {
	var out []measure.Reading
	seed := uint32(12345)
	scatter := func() float64 {
		seed = seed*1664525 + 1013904223
		return float64(int(seed>>16)%11-5) / 100
	}
	for rung := range 24 {
		press := float64(rung-4) * 0.2
		for repeat := range 3 {
			for range 2 {
				width := 0.0
				if press > 0.05 {
					width = math.Round((0.3+float64(0.47*press)-float64(float64(0.01*press)*press))*100)/100 + scatter()
				}
				out = append(out, measure.Reading{Mark: 3*rung + repeat, Press: press, Width: width})
			}
		}
	}
	return out
}

// The same readings have the same bits on every processor.
func TestBits(t *testing.T) {
	l, err := measure.NewLadder(fixedReadings(), measure.Options{Step: 0.02, Touch: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	curve, err := l.Curve(5)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	show := func(what string, values ...float64) {
		b.WriteString(what)
		for _, v := range values {
			fmt.Fprintf(&b, " %016x", math.Float64bits(v))
		}
		fmt.Fprintf(&b, " %.6f\n", values)
	}
	estimate := func(what string, e measure.Estimate) { show(what, e.Value, e.U, e.Freedom) }
	estimate("touch", l.Touches[0])
	estimate("touch mark", l.TouchMark)
	estimate("half-angle", l.HalfAngle)
	estimate("scatter", l.Scatter)
	for _, m := range curve.Marks() {
		show("mark", m.Press, m.Width, m.UWidth)
	}
	for p := 0.0; p < curve.SafePress(); p += 0.37 {
		low, high, _ := curve.Band(p)
		show("band", p, low, high)
	}
	for _, lag := range measure.Lags([]measure.Ring{{2, 4, 3.84, 0.02}, {2, 8, 7.91, 0.02}}, []measure.Corner{{1, 90, 0.41, 0.03}, {1, 60, 0.26, 0.03}}) {
		estimate(fmt.Sprint("lag at ", lag.Press), lag.Lag)
	}
	spread, _ := measure.SpreadOf([]measure.AtFeed{{300, 1.71}, {600, 1.65}, {1200, 1.60}, {2400, 1.58}}, 0.02)
	estimate("dry", spread.Dry)
	estimate("spread", spread.Rate)
	growth, _ := measure.GrowthOf([]measure.Dot{{0, 1.02}, {0.5, 1.07}, {1, 1.11}, {4, 1.32}}, 0.02)
	estimate("dot", growth.First)
	estimate("growth", growth.Rate)
	people := fixedReadings()
	for i := range people {
		people[i].By = i * 7 % 5
	}
	l, err = measure.NewLadder(people, measure.Options{Step: 0.02, Touch: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	show("people", l.People.BetweenSquare, l.People.WithinSquare, l.People.Each)
	for _, off := range append([]measure.Estimate{l.People.Between, l.People.Within}, l.People.Off...) {
		estimate("person", off)
	}
	golden.Compare(t, "testdata/bits.golden", []byte(b.String()))
}
