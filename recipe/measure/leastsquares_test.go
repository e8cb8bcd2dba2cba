package measure_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"mahlstick/recipe/measure"
)

// columns reads numbers from a file of the formula checks, which names its
// source.
func columns(t *testing.T, file string) [][]float64 {
	t.Helper()
	f, err := os.Open("../formula/testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := make([][]float64, len(lines[0]))
	for _, line := range lines[1:] {
		for i, text := range line {
			x, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			out[i] = append(out[i], x)
		}
	}
	return out
}

func powers(x []float64, degree int) [][]float64 {
	out := make([][]float64, len(x))
	for i := range x {
		p := 1.0
		for range degree + 1 {
			out[i] = append(out[i], p)
			p *= x[i]
		}
	}
	return out
}

// digits is how many digits of a number agree with the certified one.
func digits(got, want float64) float64 {
	if got == want {
		return 15
	}
	if want == 0 {
		return -math.Log10(math.Abs(got))
	}
	return -math.Log10(math.Abs(got-want) / math.Abs(want))
}

// NIST StRD, linear regression, data set Norris: certified values.
func TestNorris(t *testing.T) {
	data := columns(t, "norris.csv")
	fit, err := measure.LeastSquares(powers(data[0], 1), data[1], nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"intercept", fit.Coefficients[0], -0.262323073774029}, {"slope", fit.Coefficients[1], 1.00211681802045},
		{"sd of the intercept", fit.U(0), 0.232818234301152}, {"sd of the slope", fit.U(1), 0.000429796848199937},
		{"residual sd", fit.Residual, 0.884796396144373},
	} {
		if d := digits(c.got, c.want); d < 9 {
			t.Errorf("%s = %.15g, want %.15g: %.1f digits", c.what, c.got, c.want, d)
		}
	}
	value, u := fit.At([]float64{1, 500})
	if digits(value, 500.7960859364532) < 9 || digits(u, 0.15150217580019065) < 9 {
		t.Errorf("at 500: %.12g ± %.12g", value, u)
	}
}

// NIST StRD, linear regression, data sets Wampler1 to Wampler5 but the last (R. H.
// Wampler, JASA 65 (1970) 549): quintics, certified values.
func TestWampler(t *testing.T) {
	data := columns(t, "wampler.csv")
	for set, residual := range []float64{0, 0, 2360.14502379268, 236014.502379268} {
		fit, err := measure.LeastSquares(powers(data[0], 5), data[set+1], nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for k, got := range fit.Coefficients {
			want := 1.0
			if set == 1 {
				want, _ = strconv.ParseFloat("1e-"+strconv.Itoa(k), 64)
			}
			if d := digits(got, want); d < 7 {
				t.Errorf("Wampler%d, coefficient %d = %.12g, want %g: %.1f digits", set+1, k, got, want, d)
			}
		}
		if residual > 0 && digits(fit.Residual, residual) < 9 || residual == 0 && fit.Residual > 1e-7 {
			t.Errorf("Wampler%d, residual sd = %.15g, want %.15g", set+1, fit.Residual, residual)
		}
	}
}

// JCGM 100:2008, H.3, calibration of a thermometer by a straight line: its
// printed results, to half a printed digit.
func TestThermometer(t *testing.T) {
	at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	b := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	design := make([][]float64, len(at))
	for i, x := range at {
		design[i] = []float64{1, x - 20}
	}
	fit, err := measure.LeastSquares(design, b, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	value, u := fit.At([]float64{1, 10})
	correlation := fit.Covariance[0][1] / (fit.U(0) * fit.U(1))
	for _, c := range []struct {
		what             string
		got, want, digit float64
	}{
		{"y1", fit.Coefficients[0], -0.1712, 1e-4}, {"u(y1)", fit.U(0), 0.0029, 1e-4}, {"y2", fit.Coefficients[1], 0.00218, 1e-5},
		{"u(y2)", fit.U(1), 0.00067, 1e-5}, {"r", correlation, -0.930, 1e-3}, {"s", fit.Residual, 0.0035, 1e-4},
		{"b(30)", value, -0.1494, 1e-4}, {"u(b(30))", u, 0.0041, 1e-4},
	} {
		if math.Abs(c.got-c.want) > c.digit/2 {
			t.Errorf("%s = %.6g, want %g", c.what, c.got, c.want)
		}
	}
}

// JCGM 100:2008, H.2: means of five readings of voltage, current and phase, and
// their standard uncertainties; H.1: effective degrees of freedom 16.7, of which
// the scale of the comparator has 5, its systematic part 8 and the standard 18.
func TestMeans(t *testing.T) {
	for _, c := range []struct {
		values        []float64
		mean, u       float64
		mdigit, digit float64
	}{
		{[]float64{5.007, 4.994, 5.005, 4.990, 4.999}, 4.9990, 0.0032, 1e-4, 1e-4},
		{[]float64{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}, 19.6610e-3, 0.0095e-3, 1e-7, 1e-7},
		{[]float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}, 1.04446, 0.00075, 1e-5, 1e-5},
	} {
		e := measure.Mean(c.values)
		if math.Abs(e.Value-c.mean) > c.mdigit/2 || math.Abs(e.U-c.u) > c.digit/2 || e.Freedom != 4 || e.Readings != 5 {
			t.Errorf("mean %v, want %g ± %g", e, c.mean, c.u)
		}
	}
	freedom := measure.Freedom(measure.Estimate{U: 25, Freedom: 18}, measure.Estimate{U: 5.8, Freedom: 24}, measure.Estimate{U: 3.9, Freedom: 5},
		measure.Estimate{U: 6.7, Freedom: 8}, measure.Estimate{U: 2.9, Freedom: 50}, measure.Estimate{U: 16.6, Freedom: 2})
	if math.Abs(freedom-16.7) > 0.3 {
		t.Errorf("effective degrees of freedom %g, want 16.7", freedom)
	}
	if one := measure.Mean([]float64{3}); one.Value != 3 || one.U != 0 || measure.Mean(nil).Known() {
		t.Errorf("%v", one)
	}
}

// JCGM 100:2008, table G.2, for 95 %.
func TestStudent(t *testing.T) {
	for _, c := range []struct{ freedom, t float64 }{{1, 12.71}, {2, 4.30}, {3, 3.18}, {5, 2.57}, {10, 2.23}, {16, 2.12}, {20, 2.09}, {25, 2.06},
		{35, 2.03}, {40, 2.02}, {45, 2.01}, {50, 2.01}, {100, 1.984}, {0, 1.960}, {1e9, 1.960}, {0.5, 12.71}} {
		if got := measure.Student(c.freedom); math.Abs(got-c.t) > 0.0051 {
			t.Errorf("for %g degrees of freedom %g, want %g", c.freedom, got, c.t)
		}
	}
	last := math.Inf(1)
	for f := 1.0; f < 400; f += 0.37 {
		got := measure.Student(f)
		if got > last {
			t.Fatalf("at %g it rises to %g", f, got)
		}
		last = got
	}
}

func TestLeastSquaresRefuses(t *testing.T) {
	for what, design := range map[string][][]float64{
		"nothing": {}, "fewer readings than unknowns": {{1, 2}}, "one place twice": {{1, 2}, {1, 2}, {1, 2}}, "a column of nothing": {{1, 0}, {1, 0}, {1, 0}},
	} {
		if fit, err := measure.LeastSquares(design, make([]float64, len(design)), nil, 0); err == nil {
			t.Errorf("%s: %v", what, fit)
		}
	}
}
