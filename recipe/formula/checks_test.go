package formula_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %.15g, want %.15g", what, got, want)
	}
}

// half allows half a unit of the last printed digit.
func half(t *testing.T, what string, got, want float64, digits int) {
	t.Helper()
	if !(math.Abs(got-want) <= 0.5*math.Pow10(-digits)) {
		t.Errorf("%s is %.15g, want %.*f", what, got, digits, want)
	}
}

// Quantities in the language's own spelling. Inches: NIST Metric Style Guide,
// LC 1137; feeds follow; the degree: BIPM SI Brochure, 9th ed. (2019), table
// 8; pixel and point: CSS Values and Units 4; the dimensions: BIPM SI Brochure
// ch. 5 and ISO 80000-1:2009 (from memory).
func TestQuantitiesInFormulas(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       float64
	}{
		{"36*inch", "mm", 914.4},
		{"8.5*inch", "mm", 215.9},
		{"11*inch", "mm", 279.4},
		{"900*mm/min", "mm/s", 15},
		{"900*mm/min", "m/s", 0.015},
		{"60*inch/min", "mm/min", 1524},
		{"60*inch/min", "mm/s", 25.4},
		{"14.28109573597082*deg", "rad", 0.2492521413852136},
		{"96*px", "mm", 25.4},
		{"72*pt", "mm", 25.4},
		{"1*px", "mm", 0.26458333333333333},
		{"1*pt", "mm", 0.35277777777777778},
		{"sqrt(9*mm^2)", "mm", 3},
		{"1.4*mm / (5.5*mm)", "", 1.4 / 5.5},
		{"0.2*m + 10*mm", "cm", 21},
		{"15*percent * 20*mm", "mm", 3},
		{"pi*rad", "deg", 180},
		{"10*mm * 90*deg", "mm", 15.707963267948966},
		{"10*mm * pi*rad / 2", "mm", 15.707963267948966},
		// The radian is m/m (BIPM SI Brochure, 9th ed., 2019, table 4): an arc
		// over a length is an angle, a length over a length a plain number.
		{"360*deg * 25*mm / (100*mm)", "deg", 90},
		{"25*mm * 360*deg / (100*mm)", "deg", 90},
		{"25*mm / (100*mm) * 360*deg", "deg", 90},
		{"360*deg * (25*mm / (100*mm))", "deg", 90},
		{"-(25*mm * 360*deg) / (10*cm)", "deg", -90},
		{"10*mm * 90*deg / (5*mm)", "rad", 3.141592653589793},
		{"90*deg / (10*mm) * 20*mm", "deg", 180},
		{"sin(360*deg * 25*mm / (100*mm))", "", 1},
		{"360*deg * 25*percent", "deg", 90},
		{"25*mm / (100*mm)", "", 0.25},
		{"10*mm * 10*mm * 90*deg / 2 / (10*mm)", "mm", 7.853981633974483},
		{"10*mm * (0.5*rad)^2 / 2", "mm", 1.25},
		{"abs(10*mm * 90*deg) / (10*mm)", "", 1.5707963267948966},
		{"hypot(10*mm * 90*deg, 0*mm)", "mm", 15.707963267948966},
		{"sin(30*deg)", "", 0.5},
		{"2^-3 * 4^(1/2)", "", 0.25},
		{"(2*mm)^3 / (1*mm)^2", "mm", 8},
		{"-2^2", "", -4},
		{"2^3^2", "", 512},
		{"7 − 2·3 ÷ 4", "", 5.5},
		{"3*mm²/mm", "mm", 3},
		{"2⁻³ + 10·4⁻¹", "", 2.625},
		{"3*mm·(2*mm)⁻¹²·(2*mm)^12", "mm", 3},
		{"2\u00a0*\u202f3 * π / pi", "", 6},
		{"250*µm + 250*μm + 500*um", "mm", 1},
	} {
		r := sheet(t, "x = "+c.text, nil)["x"]
		got, u := number(t, r, c.unit)
		near(t, c.text, got, c.want, 2e-16)
		if u != 0 {
			t.Errorf("%s has u = %v", c.text, u)
		}
	}
	for _, text := range []string{"5*mm + 2*s", "sin(2*mm)", "sqrt(9*mm)", "5*mm + 2", "(2*mm)^(1/3)", "2^(3*mm)"} {
		made, list := lines(source.New("a.md", []byte("x = "+text)))
		_, more := formula.Evaluate(made, nil, 1)
		if list = append(list, more...); len(list) != 1 || list[0].Code != "dimension-error" {
			t.Errorf("%s: %v", text, list)
		}
	}
}

// Letter paper is 215.9 mm wide (ASME Y14.1), and printed so, although 8.5
// times 25.4 in binary is 215.89999999999998.
func TestNoNoise(t *testing.T) {
	if got := sheet(t, "x = 8.5 * 25.4*mm", nil)["x"].Working.Result; got != "215.9 mm" {
		t.Errorf("got %q", got)
	}
}

// Rounding by ISO 80000-1:2009, annex B, rule A, with values that are exact in
// binary.
func TestRoundHalfToEven(t *testing.T) {
	for text, want := range map[string]float64{
		"round(0.125, 0.01)": 0.12, "round(0.375, 0.01)": 0.38, "round(2.5)": 2, "round(3.5)": 4, "round(-2.5)": -2,
		"round(0.3, 0.1)": 0.3, "floor(0.3, 0.1)": 0.3, "ceil(0.3, 0.1)": 0.3, "floor(-0.5)": -1, "ceil(-0.5)": 0, "round(7, 5)": 5, "round(0.7, 0.25)": 0.75,
	} {
		if got, _ := number(t, sheet(t, "x = "+text, nil)["x"], ""); got != want {
			t.Errorf("%s is %v, want %v", text, got, want)
		}
	}
}

// Tapers: GOST R 53440-2009, table 1, the series of ISO 1119. Taper C is twice
// the half width over the press; the full angle is twice the half-angle.
func TestTaperSeries(t *testing.T) {
	data, err := os.ReadFile("testdata/tapers.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for line := range strings.Lines(string(data)) {
		var n, want float64
		if c, _ := fmt.Sscanf(line, "1:%f,%f", &n, &want); c != 2 {
			continue
		}
		rows++
		text := fmt.Sprintf("press = %v*mm\nhalf_width = 1*mm/2\nangle = 2*atan(half_width / press)\nother = 2*asin(half_width / hypot(half_width, press))", n)
		r := sheet(t, text, nil)
		for _, name := range []string{"angle", "other"} {
			if got, _ := number(t, r[name], "deg"); math.Abs(got-want) > 1e-8 {
				t.Errorf("taper 1:%v: %s is %.9f, want %.8f degrees", n, name, got, want)
			}
		}
	}
	if rows != 14 {
		t.Errorf("%d tapers were read, want 14", rows)
	}
}

// A right triangle of whole sides (Euclid I.47): 5, 12, 13.
func TestTaperTriple(t *testing.T) {
	r := sheet(t, `half_width = 5*mm
press = 12*mm
slant = sqrt(half_width^2 + press^2)
base = acos(half_width / slant)
taper = asin(half_width / slant)`, nil)
	for name, want := range map[string]float64{"slant": 13} {
		got, _ := number(t, r[name], "mm")
		near(t, name, got, want, 0)
	}
	for name, want := range map[string]float64{"base": 67.380135051959574, "taper": 22.619864948040426} {
		got, _ := number(t, r[name], "deg")
		near(t, name, got, want, 1e-15)
	}
}

// The trade's own example: a mark of 2.8 mm at a press of 5.5 mm. Common
// practice, no source; the numbers follow from the triangle. Rounding the
// angles to whole fives shows why nobody should.
func TestTaperOfTheTrade(t *testing.T) {
	r := sheet(t, `widest = 2.8*mm
press = 5.5*mm
half_width = widest / 2
slant = sqrt(half_width^2 + press^2)
base = acos(half_width / slant)
taper = asin(half_width / slant)
rounded_base = round(base, 5*deg)
rounded = 90*deg - rounded_base
too_wide = 2*press*tan(rounded)
press_at_limit = widest / (2*tan(rounded))
over = too_wide > widest`, nil)
	for _, c := range []struct {
		name, unit string
		want       float64
	}{
		{"slant", "mm", 5.675385}, {"base", "deg", 75.718904}, {"taper", "deg", 14.281096}, {"rounded_base", "deg", 75},
		{"rounded", "deg", 15}, {"too_wide", "mm", 2.947441}, {"press_at_limit", "mm", 5.224871},
	} {
		got, _ := number(t, r[c.name], c.unit)
		near(t, c.name, got, c.want, 1e-6)
	}
	if over, _ := r["over"].Value.Truth(); !over {
		t.Error("the rounded angle must paint over the limit")
	}
	if got := r["taper"].Working; got.Filled != "asin(1.4 mm / 5.67539 mm)" || got.Result != "14.2811°" {
		t.Errorf("the working is %q, %q", got.Filled, got.Result)
	}
}

// JCGM 100:2008, eq. (10): the half-angle of a measured brush, and the width
// back from it.
func TestTaperUncertainty(t *testing.T) {
	r := sheet(t, `half_width = 1.4 ± 0.05 mm
press = 5.5 ± 0.1 mm
taper = atan(half_width / press)
by_asin = asin(half_width / sqrt(half_width^2 + press^2))
by_acos = acos(press / hypot(half_width, press))
by_atan2 = atan2(half_width, press)
depth = 5.5 ± 0.05 mm
angle = 14.28109573597082 ± 0.5 deg
width = 2 * depth * tan(angle)`, nil)
	for _, name := range []string{"taper", "by_asin", "by_acos", "by_atan2"} {
		got, u := number(t, r[name], "deg")
		near(t, name, got, 14.281096, 1e-7)
		near(t, "u of "+name, u, 0.548918, 1e-6)
	}
	width, u := number(t, r["width"], "mm")
	near(t, "width", width, 2.8, 1e-12)
	near(t, "u of width", u, 0.105335, 1e-5)
	if got := r["width"].Working.Result; got != "2.80 ± 0.11 mm" {
		t.Errorf("printed %q", got)
	}
}

// annexH is testdata/jcgm100_h.json.
type annexH struct {
	H1 struct {
		Inputs  map[string]struct{ X, U, Dof float64 }
		Printed struct {
			L      float64                                                `json:"l_mm"`
			U      float64                                                `json:"u_c_nm"`
			Dof    float64                                                `json:"dof_eff"`
			Contrb struct{ Ls, D, Alphas, Theta, Dalpha, Dtheta float64 } `json:"contrib_nm"`
		}
		Recomputed struct {
			U      float64 `json:"u_c_nm"`
			Dof    float64 `json:"dof_eff"`
			Dtheta float64 `json:"contrib_dtheta_nm"`
		}
	} `json:"H1_end_gauge"`
	H2 struct {
		Data struct {
			V   []float64
			I   []float64 `json:"I_mA"`
			Phi []float64 `json:"phi_rad"`
		}
		Expected map[string]float64
	} `json:"H2_resistance_reactance"`
	H3 struct {
		T0      float64
		Tk, Bk  []float64
		Printed struct {
			Y1, Y2, R, S, B30 float64
			SY1               float64 `json:"s_y1"`
			SY2               float64 `json:"s_y2"`
			UB30              float64 `json:"u_b30"`
		}
		Recomputed struct {
			S, Y1, Y2, R, B30 float64
			SY1               float64 `json:"s_y1"`
			SY2               float64 `json:"s_y2"`
			UB30              float64 `json:"u_b30"`
		}
	} `json:"H3_thermometer"`
}

func readAnnexH(t *testing.T) annexH {
	t.Helper()
	data, err := os.ReadFile("testdata/jcgm100_h.json")
	if err != nil {
		t.Fatal(err)
	}
	var h annexH
	if err := json.Unmarshal(data, &h); err != nil {
		t.Fatal(err)
	}
	return h
}

// amount is what the reading at the start of a line contributes.
func amount(parts []quantity.Part, offset int) float64 {
	for _, p := range parts {
		if p.Reading.Offset == offset {
			return p.Amount
		}
	}
	return 0
}

// JCGM 100:2008, H.1, end-gauge calibration. The language has no
// temperatures, so these are plain numbers here.
func TestEndGauge(t *testing.T) {
	h := readAnnexH(t).H1
	text := `ls = 50.000623 ± 0.000025 mm
d = 0.000215 ± 0.0000097 mm
alphas = 1.15e-5 ± 1.2e-6
theta = -0.1 ± 0.41
dalpha = 0 ± 5.8e-7
dtheta = 0 ± 0.029
length_l = ls + d - ls*(dalpha*theta + alphas*dtheta)`
	r := sheet(t, text, nil)
	for name, in := range h.Inputs {
		name, _, _ = strings.Cut(name, "_")
		unit, scale := "", 1.0
		if name == "ls" || name == "d" {
			unit, scale = "mm", 1e6
		}
		x, u := number(t, r[name], unit)
		near(t, name, x*scale, in.X, 1e-12)
		near(t, "u of "+name, u*scale, in.U, 1e-12)
	}
	l, u := number(t, r["length_l"], "mm")
	half(t, "l", l, h.Printed.L, 6)
	near(t, "u of l in nm", u*1e6, h.Recomputed.U, 1e-9)
	half(t, "u of l in nm", u*1e6, h.Printed.U, 0)
	if got := r["length_l"].Working.Result; got != "50.000838 ± 0.000032 mm" {
		t.Errorf("printed %q", got)
	}
	// The contributions, in nm, and the effective degrees of freedom (eq. G.2b).
	q, _ := r["length_l"].Value.Quantity()
	bottom := 0.0
	for name, want := range map[string]float64{"ls": h.Printed.Contrb.Ls, "d": h.Printed.Contrb.D, "alphas": 0, "theta": 0, "dalpha": h.Printed.Contrb.Dalpha, "dtheta": h.Recomputed.Dtheta} {
		c := math.Abs(amount(q.Parts(), strings.Index(text, name+" = ")+len(name)+3)) * 1e6
		if math.Abs(c-want) > 0.05 {
			t.Errorf("%s contributes %.4f nm, want %v", name, c, want)
		}
		for key, in := range h.Inputs {
			if strings.HasPrefix(key, name) && (len(key) == len(name) || key[len(name)] == '_') && in.Dof > 0 {
				bottom += math.Pow(c, 4) / in.Dof
			}
		}
	}
	near(t, "effective degrees of freedom", math.Pow(u*1e6, 4)/bottom, h.Recomputed.Dof, 1e-4)
}

// JCGM 100:2008, H.2, resistance and reactance from simultaneous readings: the
// inputs are correlated because the same five readings enter all of them.
func TestSimultaneousReadings(t *testing.T) {
	h := readAnnexH(t).H2
	mean := func(values []float64, scale float64) formula.Value {
		n := float64(len(values))
		sum := 0.0
		for _, v := range values {
			sum += v * scale / n
		}
		var parts []quantity.Part
		for k, v := range values {
			// The k-th reading of all three was taken at once.
			parts = append(parts, quantity.Part{Reading: quantity.Reading{File: "h2", Offset: k}, Amount: (v*scale - sum) / math.Sqrt(n*(n-1))})
		}
		return formula.OfQuantity(quantity.Correlated(sum, quantity.One, parts))
	}
	phi, _ := mean(h.Data.Phi, 1).Quantity()
	angle, err := quantity.Multiply(phi, quantity.New(1, quantity.Radian))
	if err != nil {
		t.Fatal(err)
	}
	r := sheet(t, "resistance = volts/amps*cos(phi)\nreactance = volts/amps*sin(phi)\nimpedance = volts/amps\npythagoras = hypot(resistance, reactance) - impedance", formula.Values{
		"volts": mean(h.Data.V, 1), "amps": mean(h.Data.I, 1e-3), "phi": formula.OfQuantity(angle),
	})
	for name, key := range map[string]string{"resistance": "R", "reactance": "X", "impedance": "Z"} {
		x, u := number(t, r[name], "")
		near(t, name, x, h.Expected[key], 1e-9)
		near(t, "u of "+name, u, h.Expected["u"+key], 1e-6)
	}
	// As printed there.
	for name, want := range map[string]string{"resistance": "127.732 ± 0.071", "reactance": "219.85 ± 0.30", "impedance": "254.26 ± 0.24"} {
		if got := r[name].Working.Result; got != want {
			t.Errorf("%s is printed %q, want %q", name, got, want)
		}
	}
	for pair, key := range map[[2]string]string{{"resistance", "reactance"}: "r_RX", {"resistance", "impedance"}: "r_RZ", {"reactance", "impedance"}: "r_XZ"} {
		a, _ := r[pair[0]].Value.Quantity()
		b, _ := r[pair[1]].Value.Quantity()
		near(t, key, correlation(a, b), h.Expected[key], 1e-6)
	}
	// The same number by another way has no doubt left.
	if x, u := number(t, r["pythagoras"], ""); math.Abs(x) > 1e-10 || u > 1e-10 {
		t.Errorf("hypot(R, X) - Z is %v ± %v", x, u)
	}
}

// correlation is that of two quantities through their readings (JCGM
// 100:2008, eq. 14).
func correlation(a, b quantity.Quantity) float64 {
	sum := 0.0
	for _, p := range a.Parts() {
		for _, q := range b.Parts() {
			if p.Reading == q.Reading {
				sum += p.Amount * q.Amount
			}
		}
	}
	return sum / (a.U(a.Unit()) * b.U(b.Unit()))
}

// JCGM 100:2008, H.3, calibration of a thermometer by a straight line, in the
// language: sums over the readings, the line's two parameters, the correction
// at 30 degrees. The parameters are correlated, and forgetting that gets the
// last one wrong.
func TestThermometer(t *testing.T) {
	h := readAnnexH(t).H3
	text := func(u string) string {
		var b strings.Builder
		var one, two, cross, sum, rest []string
		for k := range h.Tk {
			fmt.Fprintf(&b, "b%d = %v%s\nt%d = %v - %v\n", k, h.Bk[k], u, k, h.Tk[k], h.T0)
			one = append(one, fmt.Sprintf("t%d", k))
			two = append(two, fmt.Sprintf("t%d^2", k))
			cross = append(cross, fmt.Sprintf("b%d*t%d", k, k))
			sum = append(sum, fmt.Sprintf("b%d", k))
			rest = append(rest, fmt.Sprintf("(b%d - y1 - y2*t%d)^2", k, k))
		}
		fmt.Fprintf(&b, "n = %d\nst = %s\nstt = %s\nsbt = %s\nsb = %s\n", len(h.Tk), strings.Join(one, " + "), strings.Join(two, " + "), strings.Join(cross, " + "), strings.Join(sum, " + "))
		b.WriteString("det = n*stt - st^2\ny1 = (sb*stt - sbt*st) / det\ny2 = (n*sbt - sb*st) / det\n")
		fmt.Fprintf(&b, "b30 = y1 + y2*(30 - %v)\ndeviation = sqrt((%s) / (n - 2))\n", h.T0, strings.Join(rest, " + "))
		return b.String()
	}
	s, _ := number(t, sheet(t, text(""), nil)["deviation"], "")
	near(t, "s", s, h.Recomputed.S, 1e-9)
	half(t, "s", s, h.Printed.S, 4)
	r := sheet(t, text(fmt.Sprintf(" ± %.15f", s)), nil)
	for _, c := range []struct {
		name                    string
		x, u, printed, printedU float64
		digits, digitsU         int
	}{
		{"y1", h.Recomputed.Y1, h.Recomputed.SY1, h.Printed.Y1, h.Printed.SY1, 4, 4},
		{"y2", h.Recomputed.Y2, h.Recomputed.SY2, h.Printed.Y2, h.Printed.SY2, 5, 5},
		{"b30", h.Recomputed.B30, h.Recomputed.UB30, h.Printed.B30, h.Printed.UB30, 4, 4},
	} {
		x, u := number(t, r[c.name], "")
		near(t, c.name, x, c.x, 1e-10)
		near(t, "u of "+c.name, u, c.u, 1e-9)
		half(t, c.name, x, c.printed, c.digits)
		half(t, "u of "+c.name, u, c.printedU, c.digitsU)
	}
	y1, _ := r["y1"].Value.Quantity()
	y2, _ := r["y2"].Value.Quantity()
	half(t, "r(y1, y2)", correlation(y1, y2), h.Printed.R, 3)
	near(t, "r(y1, y2)", correlation(y1, y2), h.Recomputed.R, 1e-9)
}

// JCGM 100:2008, F.2.2.1: a reading to 0.01 mm has u = 0.01 mm / √12.
func TestCaliperInFormula(t *testing.T) {
	text := "0.48 mm"
	f := source.New("cells.md", []byte(text))
	q, list := quantity.Parse(text, f.Place(0, len(text)), quantity.Want{Dim: quantity.Length, Resolution: quantity.New(0.01, quantity.MM)})
	if len(list) > 0 {
		t.Fatal(list)
	}
	r := sheet(t, "doubt = u(reading)\nlow = sure(reading, 2)\nalso_low = reading - 2*u(reading)\nnothing = reading - reading\nonce = u(reading + reading) / u(reading)", formula.Values{"reading": formula.OfQuantity(q)})
	doubt, u := number(t, r["doubt"], "mm")
	near(t, "u", doubt, 0.00288675134594813, 1e-12)
	if u != 0 {
		t.Errorf("an uncertainty has none of its own, got %v", u)
	}
	for _, name := range []string{"low", "also_low"} {
		x, u := number(t, r[name], "mm")
		near(t, name, x, 0.48-2*doubt, 1e-15)
		near(t, "u of "+name, u, doubt, 1e-15)
	}
	if x, u := number(t, r["nothing"], "mm"); x != 0 || u != 0 {
		t.Errorf("x - x is %v ± %v", x, u)
	}
	if x, _ := number(t, r["once"], ""); math.Abs(x-2) > 1e-15 {
		t.Errorf("x + x has %v times the uncertainty of x, want 2", x)
	}
}
