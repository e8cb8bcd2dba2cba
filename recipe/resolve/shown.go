package resolve

import (
	"math"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
	"mahlstick/recipe/working"
)

// measuredFormulas show how values come from readings, with the brush's name in the
// place of "brush". Each is left out where a number of it was not measured.
var measuredFormulas = [...]struct{ name, text, remark string }{
	{"touched_at", "(brush.last_without_mark + brush.first_with_mark) / 2", "presses on the sheet count from there"},
	{"cone", "atan(brush.widening / 2)", "half of the angle of the cone that fits the marks best"},
	{"between_people", "sqrt((brush.people_square - brush.rest_square) / brush.readings_each)", "spread between people: the mean square of their means is more than chance makes it"},
	{"trail", "sqrt(brush.ring^2 - brush.ring_painted^2)", "a towed mark runs on a smaller circle: one ring of several"},
	{"wider_by_spreading", "2 * sqrt(brush.spreading * brush.widest_mark / brush.fastest)", "at the fastest feed without gaps"},
	{"play_there", "press_for(brush, brush.from_above_width) - brush.from_above_press", "the press at which a mark reached from above is as wide, less its own: one mark of several"},
	{"load_area", "brush.load_length * width_at(brush, brush.load_press)", "what one load paints: the one that was empty first"},
	{"dot_then", "sqrt(brush.dot_at_once^2 + 4 * brush.dot_growth * brush.dot_held)", "diameter of a dot that is held as long as the longest"},
	{"tip_right", "brush.dot_right_of_cross - brush.dot_planned_right", "the tip is to the right of the axis by so much"},
	{"tip_up", "brush.dot_above_cross - brush.dot_planned_up", "and above it by so much"},
	{"step_before", "brush.press_a - brush.press_before", "how two dots of the chart are joined: marks a and b, the one before, and the one after"},
	{"step", "brush.press_b - brush.press_a", ""},
	{"step_after", "brush.press_after - brush.press_b", ""},
	{"rise_before", "(brush.width_a - brush.width_before) / brush.step_before", "mm of width a mm of press"},
	{"rise", "(brush.width_b - brush.width_a) / brush.step", ""},
	{"rise_after", "(brush.width_after - brush.width_b) / brush.step_after", ""},
	{"slope_a", "3 * (brush.step_before + brush.step) / ((2*brush.step + brush.step_before) / brush.rise_before + (brush.step + 2*brush.step_before) / brush.rise)", "the curve's slope at mark a, between the rises on both sides and nearer to the smaller one"},
	{"slope_b", "3 * (brush.step + brush.step_after) / ((2*brush.step_after + brush.step) / brush.rise + (brush.step_after + 2*brush.step) / brush.rise_after)", "and at mark b"},
	{"share", "(brush.press_between - brush.press_a) / brush.step", "of the way from a to b"},
	{"joined", "brush.width_a + brush.share^2 * ((3 - 2*brush.share) * (brush.width_b - brush.width_a) - (1 - brush.share) * brush.step * brush.slope_b) + (1 - brush.share)^2 * brush.share * brush.step * brush.slope_a", "width between the two dots, by a cubic that has these widths and slopes at its ends and never falls"},
	{"width_doubt_of_all", "sqrt(brush.mark_doubt^2 + (brush.widening * brush.touch_doubt)^2 + brush.people_doubt^2)", "standard uncertainty of the width at the deepest mark: of its readings, of the touch, and of so few people"},
	{"width_doubt", "sqrt(brush.mark_doubt^2 + (brush.widening * brush.touch_doubt)^2)", "standard uncertainty of the width at the deepest mark: of its readings, and of the touch"},
}

// showMeasured evaluates the formulas of a brush's readings.
func (v *Values) showMeasured(d *binding.Definition, name string, s *scope, budget *formula.Budget) []working.Working {
	result := v.Calibration(d)
	if result == nil {
		return nil
	}
	set := func(word string, value float64, unit quantity.Unit) {
		s.set(name+"."+word, formula.OfQuantity(quantity.New(value, unit)), source.Place{})
	}
	if t := result.Ladder.Touches[0]; t.Known() {
		half := float64(t.U*math.Sqrt(12)) / 2 // the touch is anywhere between the two
		set("last_without_mark", roundMicro(t.Value-half), quantity.MM)
		set("first_with_mark", roundMicro(t.Value+half), quantity.MM)
	}
	if result.Ladder.HalfAngle.Known() {
		set("widening", roundMicro(result.Ladder.Widening), quantity.One)
	}
	if p := &result.Ladder.People; p.Known() {
		area, _ := quantity.MM.Power(2)
		set("people_doubt", result.Ladder.Common().U, quantity.MM)
		set("people_square", roundNano(p.BetweenSquare), area)
		set("rest_square", roundNano(p.WithinSquare), area)
		set("readings_each", roundMicro(p.Each), quantity.One)
	}
	if result.Ring != (measure.Ring{}) {
		set("ring", result.Ring.Radius, quantity.MM)
		set("ring_painted", roundMicro(result.Ring.Painted), quantity.MM)
	}
	setExamples(result, set)
	setJoined(v.Curve(d), set)
	if rate := result.Spread.Rate; rate.Known() && rate.Value > 0 {
		area, _ := quantity.MM.Power(2)
		if unit, ok := area.Per(quantity.Second); ok {
			s.set(name+".spreading", formula.OfQuantity(quantity.Measured(rate.Value, unit, rate.U, quantity.Reading{File: result.Place().Name(), Offset: result.Place().Start + 98})), source.Place{})
			set("fastest", result.Spread.Fastest, quantity.MMPerMin)
		}
	}
	last := result.Ladder.Knots[len(result.Ladder.Knots)-1]
	set("mark_doubt", last.U, quantity.MM)
	set("touch_doubt", result.Ladder.Shift, quantity.MM)
	var formulas []*formula.Formula
	for _, m := range measuredFormulas {
		if m.name == "width_doubt" && result.Ladder.People.Known() {
			continue // that of all is shown
		}
		f, _ := formula.Parse(name+"."+m.name, strings.ReplaceAll(m.text, "brush", name), source.Place{})
		f.Remark = m.remark
		formulas = append(formulas, f)
	}
	results, _ := budget.Evaluate(formulas, s, 1)
	var out []working.Working
	for _, r := range results {
		if r.OK {
			out = append(out, r.Working)
		}
	}
	return out
}

// setJoined sets what the formula of the curve between two dots needs: those in
// the middle of the safe press.
func setJoined(curve *brush.Curve, set func(string, float64, quantity.Unit)) {
	if curve == nil {
		return
	}
	marks := curve.Marks()
	i := 1
	for i+3 < len(marks) && marks[i+1].Press < curve.SafePress()/2 {
		i++
	}
	if i+2 >= len(marks) {
		return
	}
	for k, word := range [...]string{"before", "a", "b", "after"} {
		m := marks[i-1+k]
		if k > 0 && m.Width <= marks[i-2+k].Width {
			return // beside a level stretch the slope is 0
		}
		set("press_"+word, roundMicro(m.Press), quantity.MM)
		set("width_"+word, roundMicro(m.Width), quantity.MM)
	}
	quarter := marks[i].Press + (marks[i+1].Press-marks[i].Press)/4
	set("press_between", math.Round(quarter*100)/100, quantity.MM)
}

// setExamples sets what the formulas of play, load, dots and tip need.
func setExamples(result *calibrate.Result, set func(string, float64, quantity.Unit)) {
	if m := result.Above; m.Width > 0 {
		set("from_above_press", roundMicro(m.Press), quantity.MM)
		set("from_above_width", roundMicro(m.Width), quantity.MM)
	}
	if run := result.Run; run.Length > 0 {
		set("load_length", roundMicro(run.Length), quantity.MM)
		set("load_press", roundMicro(run.Press), quantity.MM)
	}
	area, _ := quantity.MM.Power(2)
	if unit, ok := area.Per(quantity.Second); ok && result.Dot.Rate.Known() {
		set("dot_at_once", result.Dot.First.Value, quantity.MM)
		set("dot_growth", result.Dot.Rate.Value, unit)
		set("dot_held", result.Dot.Held, quantity.Second)
	}
	for axis, e := range []measure.Estimate{result.TipX, result.TipY} {
		if e.Known() {
			set([]string{"dot_right_of_cross", "dot_above_cross"}[axis], roundMicro(result.Dots[axis].Measured), quantity.MM)
			set([]string{"dot_planned_right", "dot_planned_up"}[axis], roundMicro(result.Dots[axis].Expected), quantity.MM)
		}
	}
}

// roundNano rounds to a thousandth of a millionth, for squares.
func roundNano(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// roundMicro rounds to a millionth.
func roundMicro(x float64) float64 { return math.Round(x*1e6) / 1e6 }
