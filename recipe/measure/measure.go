// Package measure works out what readings of painted marks say of a brush: the
// width at each press, where the paper was touched, how far it may be pressed,
// and how it trails, spreads, empties and sits in its holder.
//
// Each answer carries its standard uncertainty and the number of readings behind
// it, and none goes beyond what was measured. Readings are named by their index
// in the list that a function was given. Sums run in the order of that list, so
// that the same readings give the same bits on every processor; lengths are
// rounded to a millionth of a millimetre before anything is decided by them.
package measure

import "math"

// Estimate is a measured value.
type Estimate struct {
	Value    float64
	U        float64 // its standard uncertainty
	Freedom  float64 // degrees of freedom of U; 0 for many
	Readings int     // how many readings it rests on; 0 where nothing was measured
}

// Known reports whether anything was measured.
func (e Estimate) Known() bool { return e.Readings > 0 }

// Expanded is half the interval that holds the value in 95 of 100 cases (JCGM
// 100:2008, G.3.2).
func (e Estimate) Expanded() float64 { return float64(Student(e.Freedom) * e.U) }

// leastWorth is how many standard uncertainties an effect must be large to be
// corrected for. The mean square of what was measured is that of the effect and of
// its doubt; to correct errs by the doubt, not to correct by the effect: √2.
const leastWorth = 1.414214

// WorthUsing reports whether an effect is so large beside its doubt that to
// correct for it errs less than not to.
func (e Estimate) WorthUsing() bool { return e.Known() && e.Value > float64(leastWorth*e.U) }

func (e Estimate) rounded() Estimate {
	e.Value, e.U = round(e.Value), round(e.U)
	return e
}

// round rounds to a millionth.
func round(x float64) float64 { return math.Round(x*1e6) / 1e6 }

func square(x float64) float64 { return float64(x * x) }

// student holds the 97.5 % points of Student's t for 1 to 20 degrees of freedom,
// then for 24, 30, 40, 60 and 120 (JCGM 100:2008, table G.2, to one more digit).
var student = [...]float64{12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
	2.201, 2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086}

var studentFurther = [...]struct{ freedom, t float64 }{{20, 2.086}, {24, 2.064}, {30, 2.042}, {40, 2.021}, {60, 2.000}, {120, 1.980}}

const studentLimit = 1.95996 // for degrees of freedom without end

// Student is the factor by which a standard uncertainty with some degrees of
// freedom is multiplied for an interval of 95 %; 0 stands for many. Between the
// values of the table it is linear in the inverse of the degrees of freedom;
// fewer than one count as one.
func Student(freedom float64) float64 {
	if !(freedom > 0) {
		return studentLimit
	}
	whole := math.Floor(freedom)
	if freedom < 1 {
		return student[0]
	}
	if whole < float64(len(student)) {
		k := int(whole)
		return between(freedom, whole, student[k-1], whole+1, student[k])
	}
	last := studentFurther[0]
	for _, next := range studentFurther[1:] {
		if freedom <= next.freedom {
			return between(freedom, last.freedom, last.t, next.freedom, next.t)
		}
		last = next
	}
	return studentLimit + float64((last.t-studentLimit)*last.freedom)/freedom
}

// between is linear in 1/x from (x0, y0) to (x1, y1).
func between(x, x0, y0, x1, y1 float64) float64 {
	share := (1/x0 - 1/x) / (1/x0 - 1/x1)
	return y0 + float64(share*(y1-y0))
}

// Freedom is the effective degrees of freedom of a sum of uncertainties (JCGM
// 100:2008, G.4.1, by Welch and Satterthwaite); 0 for many.
func Freedom(parts ...Estimate) float64 {
	sum, below := 0.0, 0.0
	for _, p := range parts {
		v := square(p.U)
		sum += v
		if p.Freedom > 0 {
			below += square(v) / p.Freedom
		}
	}
	if below == 0 {
		return 0
	}
	return square(sum) / below
}

// Mean is the mean of values and its standard uncertainty from their scatter
// (JCGM 100:2008, 4.2); with one value the uncertainty is unknown, and 0.
func Mean(values []float64) Estimate {
	n := float64(len(values))
	if n == 0 {
		return Estimate{}
	}
	e := Estimate{Readings: len(values), Freedom: n - 1}
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	e.Value = sum / n
	if n > 1 {
		e.U = Deviation(values) / math.Sqrt(n)
	}
	return e
}

// Deviation is the experimental standard deviation of values (JCGM 100:2008,
// 4.2.2), 0 for fewer than two.
func Deviation(values []float64) float64 {
	n := float64(len(values))
	if n < 2 {
		return 0
	}
	mean, squares := 0.0, 0.0
	for _, v := range values {
		mean += v / n
	}
	for _, v := range values {
		squares += square(v - mean)
	}
	return math.Sqrt(squares / (n - 1))
}
