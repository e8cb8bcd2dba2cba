package formula_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// columns reads the columns of a file of numbers, as they are written.
func columns(t *testing.T, name string, rows int) map[string][]string {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	records, err := reader.ReadAll()
	if err != nil || len(records) != rows+1 {
		t.Fatal(len(records), err)
	}
	out := map[string][]string{}
	for _, row := range records[1:] {
		for i, cell := range row {
			out[records[0][i]] = append(out[records[0][i]], cell)
		}
	}
	return out
}

// total writes a sum over the rows, with # for the number of the row.
func total(term string, rows int) string {
	terms := make([]string, rows)
	for i := range terms {
		terms[i] = strings.ReplaceAll(term, "#", fmt.Sprint(i))
	}
	return strings.Join(terms, " + ")
}

// NIST StRD, linear regression, data set Norris: a straight line through 36
// points, in working lines alone. The certified values are NIST's; the
// predictions follow from them (recomputed, no source). What each parameter is
// uncertain by comes out of the formulas once each reading is ± the residual
// standard deviation.
func TestNorris(t *testing.T) {
	const rows = 36
	data := columns(t, "testdata/norris.csv", rows)
	text := func(doubt string) string {
		var b strings.Builder
		for i := range rows {
			fmt.Fprintf(&b, "x%d = %s\ny%d = %s%s\n", i, data["x"][i], i, data["y"][i], doubt)
		}
		fmt.Fprintf(&b, "n = %d\nmx = (%s) / n\nmy = (%s) / n\n", rows, total("x#", rows), total("y#", rows))
		fmt.Fprintf(&b, "sxx = %s\nsxy = %s\nsyy = %s\n", total("(x#-mx)^2", rows), total("(x#-mx)*(y#-my)", rows), total("(y#-my)^2", rows))
		fmt.Fprintf(&b, "slope = sxy / sxx\nintercept = my - slope*mx\nrest = %s\n", total("(y#-intercept-slope*x#)^2", rows))
		b.WriteString("deviation = sqrt(rest / (n - 2))\ndetermination = 1 - rest/syy\nat_500 = intercept + slope*500\nfor_500 = (500 - intercept) / slope\n")
		return b.String()
	}
	r := sheet(t, text(""), nil)
	s, _ := number(t, r["deviation"], "")
	for name, want := range map[string]float64{
		"intercept": -0.262323073774029, "slope": 1.00211681802045, "deviation": 0.884796396144373,
		"determination": 0.999993745883712, "rest": 26.6173985294224, "at_500": 500.7960859364532, "for_500": 499.20559567294185,
	} {
		got, _ := number(t, r[name], "")
		near(t, name, got, want, 1e-10)
	}
	r = sheet(t, text(fmt.Sprintf(" ± %.15f", s)), nil)
	for name, want := range map[string]float64{"intercept": 0.232818234301152, "slope": 0.000429796848199937, "at_500": 0.15150217580019065} {
		_, u := number(t, r[name], "")
		near(t, "u of "+name, u, want, 1e-10)
	}
	if got := r["slope"].Working.Result; got != "1.00212 ± 0.00043" {
		t.Errorf("the slope is printed %q", got)
	}
}

// NIST StRD, linear regression, data sets Wampler1 to Wampler4 (R. H. Wampler,
// JASA 65, 1970, 549): quintics through 21 points. The language has no matrices
// and fits no quintic; it can check one. The certified coefficients are those
// of the least squares where the residuals stand at right angles to every power
// of x, and they leave the certified residual standard deviation.
func TestWampler(t *testing.T) {
	const rows = 21
	data := columns(t, "testdata/wampler.csv", rows)
	for _, c := range []struct {
		column    string
		base      string // the coefficients are its powers
		deviation float64
	}{{"y1", "1", 0}, {"y2", "0.1", 0}, {"y3", "1", 2360.14502379268}, {"y4", "1", 236014.502379268}} {
		var b strings.Builder
		fmt.Fprintf(&b, "base = %s\n", c.base)
		for k := range 6 {
			fmt.Fprintf(&b, "b%d = base^%d\n", k, k)
		}
		for i := range rows {
			fmt.Fprintf(&b, "x%d = %s\ny%d = %s\ncurve%d = b0 + b1*x%[1]d + b2*x%[1]d^2 + b3*x%[1]d^3 + b4*x%[1]d^4 + b5*x%[1]d^5\nrest%[1]d = y%[1]d - curve%[1]d\n",
				i, data["x"][i], i, data[c.column][i], i)
		}
		for k := range 6 {
			fmt.Fprintf(&b, "angle%d = (%s) / (%s)\n", k, total(fmt.Sprintf("rest#*x#^%d", k), rows), total(fmt.Sprintf("abs(y#)*x#^%d", k), rows))
		}
		fmt.Fprintf(&b, "deviation = sqrt((%s) / (%d - 6))\n", total("rest#^2", rows), rows)
		r := sheet(t, b.String(), nil)
		for k := range 6 {
			if got, _ := number(t, r[fmt.Sprintf("angle%d", k)], ""); math.Abs(got) > 1e-14 {
				t.Errorf("%s: the residuals lean by %v to the power %d", c.column, got, k)
			}
		}
		got, _ := number(t, r["deviation"], "")
		if c.deviation == 0 && got > 1e-9 {
			t.Errorf("%s: the residual standard deviation is %v, want 0", c.column, got)
		}
		if c.deviation > 0 {
			near(t, c.column, got, c.deviation, 1e-12)
		}
	}
}
