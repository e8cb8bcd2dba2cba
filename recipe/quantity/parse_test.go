package quantity_test

import (
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// cell puts text into a file of its own, after other text, so that a wrong
// offset shows.
func cell(text string) (*source.File, source.Place) {
	before := "| press | "
	f := source.New("brush.md", []byte(before+text+" |\n"))
	return f, f.Place(len(before), len(before)+len(text))
}

func read(text string, want quantity.Want) (quantity.Quantity, problem.List) {
	_, at := cell(text)
	return quantity.Parse(text, at, want)
}

func must(t testing.TB, text string) quantity.Quantity {
	t.Helper()
	q, list := read(text, quantity.Want{Any: true})
	if len(list) > 0 {
		t.Fatalf("%q: %v", text, list)
	}
	return q
}

// accepted is every spelling that a cell takes, what it is in a unit, with its
// uncertainty, and how it is printed.
var accepted = []struct {
	text  string
	unit  quantity.Unit
	value float64
	u     float64
	print string
}{
	{"8 mm", quantity.MM, 8, 0, "8 mm"},
	{"8mm", quantity.MM, 8, 0, "8 mm"},
	{"  8\u00a0mm ", quantity.MM, 8, 0, "8 mm"},
	{"8\u202fmm", quantity.MM, 8, 0, "8 mm"},
	{"5.0 mm", quantity.MM, 5, 0, "5.0 mm"},
	{"+5 mm", quantity.MM, 5, 0, "5 mm"},
	{"-0.2 mm", quantity.MM, -0.2, 0, "−0.2 mm"},
	{"−0.2 mm", quantity.MM, -0.2, 0, "−0.2 mm"},
	{"– 0.2 mm", quantity.MM, -0.2, 0, "−0.2 mm"},
	{"-0 mm", quantity.MM, 0, 0, "−0 mm"},
	{".5 mm", quantity.MM, 0.5, 0, "0.5 mm"},
	{"5. mm", quantity.MM, 5, 0, "5 mm"},
	{"2,4 mm", quantity.MM, 2.4, 0, "2.4 mm"},
	{",5 mm", quantity.MM, 0.5, 0, "0.5 mm"},
	{"0,234 mm", quantity.MM, 0.234, 0, "0.234 mm"},
	{"1234,567 mm", quantity.MM, 1234.567, 0, "1234.567 mm"},
	{"1.234,5 mm", quantity.MM, 1234.5, 0, "1234.5 mm"},
	{"1,234.5 mm", quantity.MM, 1234.5, 0, "1234.5 mm"},
	{"1,234,567 mm", quantity.MM, 1234567, 0, "1234567 mm"},
	{"1.234.567 mm", quantity.MM, 1234567, 0, "1234567 mm"},
	{"1'234 mm", quantity.MM, 1234, 0, "1234 mm"},
	{"1’234.5 mm", quantity.MM, 1234.5, 0, "1234.5 mm"},
	{"1\u00a0234 mm", quantity.MM, 1234, 0, "1234 mm"},
	{"1\u202f234,5 mm", quantity.MM, 1234.5, 0, "1234.5 mm"},
	{"0.123\u2009456 mm", quantity.MM, 0.123456, 0, "0.123456 mm"},
	{"1e3 mm", quantity.MM, 1000, 0, "1e3 mm"},
	{"1.5E-3 m", quantity.MM, 1.5, 0, "1.5e-3 m"},
	{"½ in", quantity.MM, 12.7, 0, "½ in"},
	{"1½ in", quantity.MM, 38.1, 0, "1½ in"},
	{"1 ½ in", quantity.MM, 38.1, 0, "1½ in"},
	{"1/2 in", quantity.MM, 12.7, 0, "1/2 in"},
	{"1 1/2 in", quantity.MM, 38.1, 0, "1 1/2 in"},
	{"-3⁄8 in", quantity.MM, -9.525, 0, "−3/8 in"},
	{"8.5\"", quantity.MM, 215.9, 0, "8.5 in"},
	{"8.5″", quantity.MM, 215.9, 0, "8.5 in"},
	{"3 inch", quantity.MM, 76.2, 0, "3 in"},
	{"1 ft", quantity.MM, 304.8, 0, "1 ft"},
	{"2 cm", quantity.MM, 20, 0, "2 cm"},
	{"0.3 m", quantity.MM, 300, 0, "0.3 m"},
	{"250 µm", quantity.MM, 0.25, 0, "250 µm"},
	{"250 μm", quantity.MM, 0.25, 0, "250 µm"},
	{"250 um", quantity.MM, 0.25, 0, "250 µm"},
	{"14.3°", quantity.Degree, 14.3, 0, "14.3°"},
	{"14.3 deg", quantity.Degree, 14.3, 0, "14.3°"},
	{"14.3 º", quantity.Degree, 14.3, 0, "14.3°"},
	{"900 mm/min", quantity.MMPerMin, 900, 0, "900 mm/min"},
	{"15 mm/s", quantity.MMPerMin, 900, 0, "15 mm/s"},
	{"15 mm·s⁻¹", quantity.MMPerMin, 900, 0, "15 mm/s"},
	{"15 mm*s^-1", quantity.MMPerMin, 900, 0, "15 mm/s"},
	{"100 mm/s²", quantity.MMPerS2, 100, 0, "100 mm/s²"},
	{"100 mm/s^2", quantity.MMPerS2, 100, 0, "100 mm/s²"},
	{"100 mm/s2", quantity.MMPerS2, 100, 0, "100 mm/s²"},
	{"100 mm/s/s", quantity.MMPerS2, 100, 0, "100 mm/s²"},
	{"0.2 1/mm", quantity.PerMM, 0.2, 0, "0.2/mm"},
	{"0.2/mm", quantity.PerMM, 0.2, 0, "0.2/mm"},
	{"15 %", quantity.One, 0.15, 0, "15 %"},
	{"2.40 ± 0.05 mm", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"2.40±0.05mm", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"2.40 mm ± 0.05", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"2.40 mm ± 0.05 mm", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"2,40 +/- 0,05 mm", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"2.40 +- 0.05 mm", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"(2.40 ± 0.05) mm", quantity.MM, 2.4, 0.05, "2.40 ± 0.05 mm"},
	{"2.40 mm ± 2 %", quantity.MM, 2.4, 0.048, "2.40 mm ± 2 %"},
	{"1 in ± 0.5 mm", quantity.MM, 25.4, 0.5, "1 in ± 0.5 mm"},
	{"2.40(5) mm", quantity.MM, 2.4, 0.05, "2.40(5) mm"},
	{"2.400(12) mm", quantity.MM, 2.4, 0.012, "2.400(12) mm"},
	{"(0.20 ± 0.01)/mm", quantity.PerMM, 0.2, 0.01, "(0.20 ± 0.01)/mm"},
	{"15 % ± 2 %", quantity.One, 0.15, 0.02, "15 ± 2 %"},
	{"14.3 ± 0.5°", quantity.Degree, 14.3, 0.5, "14.3 ± 0.5°"},
}

func TestAccepted(t *testing.T) {
	for _, c := range accepted {
		q, list := read(c.text, quantity.Want{Dim: c.unit.Dim()})
		if len(list) > 0 {
			t.Errorf("%q: %v", c.text, list)
			continue
		}
		if got := q.In(c.unit); math.Abs(got-c.value) > 1e-15*math.Abs(c.value) {
			t.Errorf("%q is %v, want %v", c.text, got, c.value)
		}
		if got := q.U(c.unit); math.Abs(got-c.u) > 1e-14*c.u {
			t.Errorf("%q has u = %v, want %v", c.text, got, c.u)
		}
		if got := q.String(); got != c.print {
			t.Errorf("%q is printed %q, want %q", c.text, got, c.print)
		}
		again, list := read(q.String(), quantity.Want{Any: true})
		if len(list) > 0 || !again.Equal(q) || again.String() != q.String() {
			t.Errorf("%q is printed %q, which reads as %q %v", c.text, q, again, list)
		}
	}
}

// Every way of going wrong: the code, the text at fault, the message, and the
// fix. A fix that changes the text is applied and must be right.
func TestRefused(t *testing.T) {
	length := quantity.Of(quantity.Length)
	for _, c := range []struct {
		text, code, at, message, advice string
		want                            quantity.Want
	}{
		{"1,234 mm", "ambiguous-number", "1,234 mm", `"1,234 mm" can be read in two ways`, "did you mean 1.234 mm or 1234 mm?", length},
		{"1 234 mm", "wrong-number", "1 234 mm", `"1 234" has a space inside the number`, "write: 1234 mm", length},
		{"12 34 mm", "wrong-number", "12 34 mm", `"12 34" has a space inside the number`, "write a length with plain digits, such as 8 mm", length},
		{"1'23 mm", "wrong-number", "1'23 mm", `"1'23" is not grouped in threes`, "did you mean 123 mm?", length},
		{"1.2.3 mm", "wrong-number", "1.2.3 mm", `"1.2.3" has more than one decimal point`, "write a length with plain digits, such as 8 mm", length},
		{"1.234,567.8 mm", "wrong-number", "1.234,567.8 mm", `"1.234,567.8" has points and commas in the wrong order`, "write a length with plain digits, such as 8 mm", length},
		{"1'234\u00a0567 mm", "wrong-number", "1'234\u00a0567 mm", `"1'234\u00a0567" mixes two kinds of separators`, "write a length with plain digits, such as 8 mm", length},
		{"1/0 in", "wrong-number", "1/0 in", `"1/0" is not a simple fraction`, "write a length with plain digits, such as 8 mm", length},
		{"8", "missing-unit", "8", `"8" has no unit; a length is expected`, "did you mean 8 mm?", length},
		{"2.40 ± 0.05", "missing-unit", "2.40 ± 0.05", `"2.40 ± 0.05" has no unit; a length is expected`, "did you mean 2.40 ± 0.05 mm?", length},
		{"2.40 ± 2 %", "missing-unit", "2.40 ± 2 %", `"2.40 ± 2 %" has no unit; a length is expected`, "did you mean 2.40 mm ± 2 %?", length},
		{"14.3", "missing-unit", "14.3", `"14.3" has no unit; an angle is expected`, "did you mean 14.3 deg?", quantity.Of(quantity.Angle)},
		{"750", "missing-unit", "750", `"750" has no unit; a speed is expected`, "did you mean 750 mm/min?", quantity.Of(quantity.Speed)},
		{"100", "missing-unit", "100", `"100" has no unit; an acceleration is expected`, "did you mean 100 mm/s^2?", quantity.Of(quantity.Acceleration)},
		{"8 MM", "unknown-unit", "MM", `"MM" is not a unit`, "write: mm", length},
		{"8 mn", "unknown-unit", "mn", `"mn" is not a unit`, "did you mean m or mm?", length},
		{"8 millimetres", "unknown-unit", "millimetres", `"millimetres" is not a unit`, "write: mm", length},
		{"14.3 degrees", "unknown-unit", "degrees", `"degrees" is not a unit`, "write: deg", quantity.Of(quantity.Angle)},
		{"900 mm/mn", "unknown-unit", "mm/mn", `"mm/mn" is not a unit`, "write: mm/min", quantity.Of(quantity.Speed)},
		{"900 mm/furlong", "unknown-unit", "mm/furlong", `"mm/furlong" is not a unit`, "write a known unit, such as mm/min", quantity.Of(quantity.Speed)},
		{"8 mm wide", "unknown-unit", "8 mm wide", `"wide" after the unit is unexpected`, "write the number and its unit alone: 8 mm", length},
		{"8 mm 9 mm", "unknown-unit", "8 mm 9 mm", `"9 mm" after the unit is unexpected`, "write one quantity in a cell", length},
		{"5'", "unknown-unit", "'", `"'" is not a unit`, "write a known unit, such as mm", length},
		{"8 s", "wrong-dimension", "8 s", `"8 s" is a time, but a length is expected`, "write a length, such as 8 mm", length},
		{"15 %", "wrong-dimension", "15 %", `"15 %" is a plain number, but a length is expected`, "write a length, such as 8 mm", length},
		{"eight mm", "not-a-quantity", "eight mm", `"eight mm" is not a quantity`, "write a length, such as 8 mm", length},
		{"mm", "not-a-quantity", "mm", `"mm" is not a quantity`, "write a length, such as 8 mm", length},
		{"٨ mm", "not-a-quantity", "٨ mm", `"٨ mm" is not a quantity`, "write a length, such as 8 mm", length},
		{"nan mm", "not-a-quantity", "nan mm", `"nan mm" is not a quantity`, "write a length, such as 8 mm", length},
		{"", "missing-value", "", `a length is expected here`, "write a length, such as 8 mm", length},
		{"1e400 mm", "number-out-of-range", "1e400 mm", `"1e400" is too large or too small`, "write a length with plain digits, such as 8 mm", length},
		{"2.40 ± mm", "not-a-quantity", "2.40 ± mm", `"2.40 ± mm" is not a quantity`, "write a length, such as 8 mm", length},
		{"2.40 ± -0.05 mm", "wrong-uncertainty", "2.40 ± -0.05 mm", `the part after ± in "2.40 ± -0.05 mm" is not a standard uncertainty`, "write one standard uncertainty after ±, as in 2.40 ± 0.05 mm", length},
		{"2.40 ± 0.05 ± 0.01 mm", "unknown-unit", "± 0.01 mm", `"± 0.01 mm" is not a unit`, "write a known unit, such as mm", length},
		{"2.40 mm ± 3 s", "wrong-uncertainty", "2.40 mm ± 3 s", `in "2.40 mm ± 3 s" the uncertainty is a time, but the value is a length`, "use the same unit for both, as in 2.40 ± 0.05 mm", length},
		{"2.40() mm", "wrong-uncertainty", "2.40() mm", `"2.40() mm" is not a number with its uncertainty`, "write one standard uncertainty after ±, as in 2.40 ± 0.05 mm", length},
	} {
		_, at := cell(c.text)
		_, list := quantity.Parse(c.text, at, c.want)
		if len(list) != 1 {
			t.Errorf("%q: %d problems, want one: %v", c.text, len(list), list)
			continue
		}
		p := list[0]
		if string(p.Code) != c.code || p.Place.Text() != c.at || p.Message != c.message || p.Fix.Advice != c.advice {
			t.Errorf("%q:\n got %s at %q: %s; %s\nwant %s at %q: %s; %s", c.text, p.Code, p.Place.Text(), p.Message, p.Fix.Advice, c.code, c.at, c.message, c.advice)
		}
		if !p.Fix.CanApply() {
			continue
		}
		fixed, ok := p.Fixed()
		if !ok {
			t.Errorf("%q: the fix cannot be applied", c.text)
			continue
		}
		text := strings.TrimSuffix(strings.TrimPrefix(string(fixed), "| press | "), " |\n")
		if _, list := read(text, c.want); len(list) > 0 {
			t.Errorf("%q changed to %q: %v", c.text, text, list)
		}
	}
}

// The place inside a cell whose text is not that of the file, such as one with
// an escaped bar, is the whole cell.
func TestPlaceOfChangedText(t *testing.T) {
	f := source.New("a.md", []byte(`8 \|mm`))
	_, list := quantity.Parse("8 |mm", f.Place(0, 6), quantity.Of(quantity.Length))
	if len(list) != 1 || list[0].Place != f.Place(0, 6) {
		t.Errorf("got %v", list)
	}
}

func TestHeaderUnit(t *testing.T) {
	for _, c := range []struct {
		text, words string
		unit        quantity.Unit
		has         bool
		fault       string
	}{
		{"width", "width", quantity.One, false, ""},
		{"width (mm)", "width", quantity.MM, true, ""},
		{"width [in]", "width", quantity.Inch, true, ""},
		{" lowering feed ( mm/min ) ", "lowering feed", quantity.MMPerMin, true, ""},
		{"share (%)", "share", quantity.Percent, true, ""},
		{"width (MM)", "width", quantity.One, false, "MM"},
		{"width (about)", "width", quantity.One, false, "about"},
		{"width ()", "width", quantity.One, false, ""},
		{"width)", "width)", quantity.One, false, ""},
		{"", "", quantity.One, false, ""},
	} {
		_, at := cell(c.text)
		words, unit, has, list := quantity.Header(c.text, at)
		fault := ""
		if len(list) > 0 {
			fault = list[0].Place.Text()
		}
		if words != c.words || unit != c.unit || has != c.has || fault != c.fault || c.text == "width ()" && len(list) == 0 {
			t.Errorf("%q gives %q, %v, %v, fault at %q", c.text, words, unit, has, fault)
		}
	}
	q, list := read("2,4", quantity.Want{Dim: quantity.Length, Unit: quantity.Inch, Header: true})
	if len(list) > 0 || q.In(quantity.MM) != 60.96 || q.String() != "2.4 in" {
		t.Errorf("a bare number under an inch header is %v %v", q, list)
	}
	if q, _ := read("2.4 mm", quantity.Want{Dim: quantity.Length, Unit: quantity.Inch, Header: true}); q.In(quantity.MM) != 2.4 {
		t.Errorf("a cell's own unit must win, got %v", q)
	}
}

// JCGM 100:2008, F.2.2.1: a reading of resolution d has u = d/√12; checked
// against 0.01 mm / √12 = 0.0028867513459 mm.
func TestResolution(t *testing.T) {
	want := quantity.Want{Dim: quantity.Length, Resolution: must(t, "0.01 mm")}
	for text, u := range map[string]float64{"0.48 mm": 0.002886751345948129, "0.048 cm": 0.002886751345948129, "0.48 ± 0.05 mm": 0.05} {
		q, list := read(text, want)
		if got := q.U(quantity.MM); len(list) > 0 || math.Abs(got/u-1) > 1e-9 {
			t.Errorf("%q has u = %v, want %v %v", text, got, u, list)
		}
	}
	if q, _ := read("0.48 mm", want); q.String() != "0.48 mm" {
		t.Errorf("a caliper reading is printed as written, got %q", q)
	}
}
