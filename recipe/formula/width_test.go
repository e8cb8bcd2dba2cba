package formula_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

var _ model.WidthFunc = (*formula.WidthFunc)(nil)

func compile(t testing.TB, text string, scope formula.Scope) *formula.WidthFunc {
	t.Helper()
	f := source.New("a.md", []byte(text))
	a, list := formula.CompileWidth(text, f.Place(0, len(text)), scope)
	if len(list) > 0 {
		t.Fatalf("%s: %v", text, list)
	}
	return a
}

func ExampleCompileWidth() {
	text := "0.4*mm + 2*mm * sin(180*deg * along)"
	f := source.New("reeds.md", []byte(text))
	width, list := formula.CompileWidth(text, f.Place(0, len(text)), nil)
	if len(list) > 0 {
		fmt.Println(list)
		return
	}
	const length = 60 // mm
	for _, along := range []float64{0, 0.25, 0.5, 1} {
		w, err := width.WidthAt(0, along, along*length, length, 0)
		fmt.Printf("%.2f: %.3f mm %v\n", along, w, err)
	}
	// Output:
	// 0.00: 0.400 mm <nil>
	// 0.25: 1.814 mm <nil>
	// 0.50: 2.400 mm <nil>
	// 1.00: 0.400 mm <nil>
}

// The compiled formula and the formula worked out with the variables put in
// agree.
func TestAlongAgainstEvaluate(t *testing.T) {
	scope := fineSable(t)
	texts := []string{
		"2*mm", "fine_sable.widest_mark * along", "0.4*mm + 2*mm*sin(180*deg*along)", "from_start / 10", "length * 0.01 + 1*mm",
		"along < 0.5 ? 1*mm : 2*mm", "(along > 0.2 and along < 0.8) or not (bend < 1/(5*mm)) ? from_start/40 : 3*mm", "1/bend/100",
		"greatest(0.2*mm, 2*mm - 3*mm*along, from_start/50)", "least(along, 0.3) * 1*inch", "round(from_start/7, 0.25*mm) + floor(along*4)*1*mm + ceil(from_start, 2*mm)/100",
		"sqrt(from_start * length) / 30", "hypot(from_start, 3*mm)/20", "(along + 0.1)^0.7 * mm", "along^2*mm + 2^along*mm - -along*mm + +along*mm",
		"abs(along - 0.5)*4*mm", "atan2(from_start, length)/deg * 0.01*mm", "asin(along)/rad*mm + acos(along)/rad*mm + atan(along)/rad*mm + cos(along*rad)*mm + tan(along*rad)*mm",
		"width_at(fine_sable, 5*mm*along)", "press_for(fine_sable, 2.5*mm*along)", "along*100 == 30 ? 1*mm : (along != 0.3 ? 2*mm : 3*mm)",
		"1*mm + 1*mm*sin(360*deg*from_start/length)", "from_start*45*deg/length * 2*mm", "from_start*10*deg/10", "15*percent*from_start", "along >= 0.5 ? u(fine_sable.widest_mark) : sure(fine_sable.widest_mark, 2)", "along <= 0.5 ? 1*mm : 1*inch",
	}
	for _, f := range formula.Functions() {
		name, _, _ := strings.Cut(f.Usage, "(")
		if name != "tremor" && !strings.Contains(strings.Join(texts, " "), name+"(") { // a tremor has no value off a stroke
			t.Errorf("no width formula here uses %s", name)
		}
	}
	for _, text := range texts {
		a := compile(t, text, scope)
		made, list := formula.Parse("", text, source.Place{})
		if len(list) > 0 {
			t.Fatal(list)
		}
		for _, p := range [][4]float64{{0.3, 18, 60, 0.05}, {0.75, 90, 120, -0.02}, {1, 12.5, 12.5, 0.25}, {0.05, 0.6, 12, 0.4}} {
			values := formula.Values{}
			for name, v := range scope {
				values[name] = v
			}
			for i, name := range []string{"along", "from_start", "length", "bend"} {
				values[name] = formula.OfQuantity(quantity.New(p[i], []quantity.Unit{quantity.One, quantity.MM, quantity.MM, quantity.PerMM}[i]))
			}
			results, list := formula.Evaluate([]*formula.Formula{made}, values, 1)
			if len(list) > 0 {
				t.Fatalf("%s: %v", text, list)
			}
			q, _ := results[0].Value.Quantity()
			got, err := a.WidthAt(0, p[0], p[1], p[2], p[3])
			if want := q.In(quantity.MM); err != nil || math.Abs(got-want) > 1e-12*(1+math.Abs(want)) {
				t.Errorf("%s at %v is %v %v, want %v", text, p, got, err, want)
			}
		}
	}
}

// What a width formula may not say, and where it is wrong.
func TestAlongRefused(t *testing.T) {
	for text, want := range map[string]string{
		"2 * along":                        "wrong-dimension 2 * along",
		"2*mm + along":                     "dimension-error +",
		"2*mm * alog":                      "unknown-name alog",
		"tremor(along, 0.1*mm)":            "not-allowed along",
		"tremor(1, 0.1*mm, from_start)":    "not-allowed from_start",
		"tremor(1.5, 0.1*mm)":              "out-of-domain 1.5",
		"tremor(-1, 0.1*mm)":               "out-of-domain -1",
		"tremor(1, 0.1)":                   "dimension-error 0.1",
		"tremor(1, 0.1*mm, 0*mm)":          "out-of-domain 0*mm",
		"tremor(1)":                        "wrong-arguments tremor",
		"u(from_start)":                    "not-allowed u(from_start)",
		"sure(from_start, 2)":              "not-allowed sure(from_start, 2)",
		"width_at(fine_sable, along)":      "dimension-error along",
		"1*mm / (2 - 2)":                   "division-by-zero 2 - 2",
		"along*width_at(fine_sable, 9*mm)": "outside-the-brush 9*mm",
		"":                                 "missing-formula ",
		"fine-sable.safe_press * along":    "unknown-name fine-sable.safe_press",
	} {
		f := source.New("a.md", []byte(text))
		a, list := formula.CompileWidth(text, f.Place(0, len(text)), fineSable(t))
		if len(list) != 1 || a != nil {
			t.Errorf("%q: %v", text, list)
			continue
		}
		if got := string(list[0].Code) + " " + list[0].Place.Text(); got != want {
			t.Errorf("%q: %q, want %q: %s", text, got, want, list[0].Message)
		}
	}
}

// WidthFunc a stroke a value may fail at some points only; the error says which.
func TestAlongFails(t *testing.T) {
	for text, want := range map[string]string{
		"1*mm / (along - 0.5)":               "division by zero: along - 0.5 is 0, at along = 0.5 [division-by-zero]",
		"1*mm / abs((along) - (0.5))":        "division by zero: abs((along) - (0.5)) is 0, at along = 0.5 [division-by-zero]",
		"1*mm / ((along - 0.5)*(2 - along))": "division by zero: (along - 0.5)*(2 - along) is 0, at along = 0.5 [division-by-zero]",
		"sqrt(0.4 - along) * mm":             "sqrt has no value, at along = 0.5 [out-of-domain]",
		"(0.4 - along)^0.7 * mm":             "the power has no value, at along = 0.5 [out-of-domain]",
		"asin(along*3)/deg * mm":             "asin has no value, at along = 0.5 [out-of-domain]",
		"round(1*mm, (along - 0.5)*mm)":      "round has no value, at along = 0.5 [out-of-domain]",
		"width_at(fine_sable, along*20*mm)":  "fine sable: 10 mm is deeper than the safe press; the brush was measured from 0 mm to 5.5 mm, at along = 0.5 [outside-the-brush]",
	} {
		a := compile(t, text, fineSable(t))
		_, err := a.WidthAt(0, 0.5, 10, 20, 0)
		var p problem.Problem
		if !errors.As(err, &p) || !strings.HasSuffix(p.String(), want) || !p.Place.Known() || p.Fix.None() {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
		if w, err := a.WidthAt(0, 0.125, 2.5, 20, 0); err != nil || math.IsNaN(w) {
			t.Errorf("%s elsewhere: %v %v", text, w, err)
		}
	}
}

// A tremor is smooth, bounded, the same for the same seed and stroke on every
// processor, and another for another. The four widths were made by this
// package; they hold it to its bytes.
func TestTremor(t *testing.T) {
	at := func(text string, fromStart, length float64) float64 {
		t.Helper()
		w, err := compile(t, text, nil).WidthAt(0, fromStart/length, fromStart, length, 0)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	for _, c := range []struct {
		fromStart, length float64
		want              uint64
	}{
		{0, 60, 0x3feb3eb0483551ae}, {3.7, 60, 0x3fed85f53588507a}, {41.25, 60, 0x3fec992e72adfa8a}, {41.25, 80, 0x3feaf12e1ed8aee0},
	} {
		if got := math.Float64bits(at("1*mm + tremor(7, 0.2*mm)", c.fromStart, c.length)); got != c.want {
			t.Errorf("at %v of %v: %#x, want %#x", c.fromStart, c.length, got, c.want)
		}
	}
	const n, length = 20000, 400.0
	var sum, square, steepest float64
	before := at("tremor(1, 1*mm, 4*mm)", 0, length)
	for i := 1; i <= n; i++ {
		s := length * float64(i) / n
		w := at("tremor(1, 1*mm, 4*mm)", s, length)
		if math.Abs(w) > 1 {
			t.Fatalf("at %v mm: %v, beyond its size", s, w)
		}
		sum, square = sum+w, square+w*w
		steepest = math.Max(steepest, math.Abs(w-before)/(length/n))
		before = w
	}
	// The steepest slope of the polynomial is 15/8 of a step of 2 at most.
	if steepest > 2*15.0/8/4 {
		t.Errorf("it changes by %v mm a mm", steepest)
	}
	if mean, rms := sum/n, math.Sqrt(square/n); math.Abs(mean) > 0.15 || rms < 0.3 || rms > 0.7 {
		t.Errorf("mean %v, root mean square %v", mean, rms)
	}
	a := at("tremor(1, 1*mm)", 13, 60)
	for what, b := range map[string]float64{
		"another seed": at("tremor(2, 1*mm)", 13, 60), "another length": at("tremor(1, 1*mm)", 13, 61), "another place": at("tremor(1, 1*mm)", 17, 60),
	} {
		if a == b {
			t.Errorf("%s makes no difference", what)
		}
	}
	if b := at("tremor(1, 1*mm)", 13, 60.001); a != b {
		t.Error("a hair of length must make no difference")
	}
	if b := at("tremor(1, along*2*mm)", 30, 60); math.Abs(b-at("tremor(1, 1*mm)", 30, 60)) > 1e-15 {
		t.Error("the size may change along the stroke")
	}
}

// Asking for a width allocates nothing.
func TestAlongAllocatesNothing(t *testing.T) {
	a := compile(t, "0.4*mm + fine_sable.widest_mark * sin(180*deg*along)^2 / (1 + abs(bend)*mm) + tremor(3, 0.05*mm)", fineSable(t))
	if n := testing.AllocsPerRun(100, func() { _, _ = a.WidthAt(0, 0.3, 18, 60, 0.01) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
