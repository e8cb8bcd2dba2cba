package quantity

import (
	"math"

	"mahlstick/recipe/arith"
)

// The axes of a unit, in the order of printing.
const (
	lengthAxis = iota
	massAxis
	timeAxis
	angleAxis
	axes // how many
)

// base is a unit of one axis, as an exact fraction of the coherent unit (mm,
// g, s, rad) times a power of π.
type base struct {
	symbol   string   // as printed
	spelling []string // further spellings in a cell
	word     string   // the name in a formula
	num, den int64
	pi       int8
	help     string
}

// The units. The first of each axis is the coherent one. Exact by definition:
// the inch (yard and pound agreement of 1959, 25.4 mm), the minute, the hour
// and the degree (BIPM SI Brochure, 9th ed., 2019, table 8), the pixel and the
// point (CSS Values and Units 4: 1/96 and 1/72 inch).
var bases = [axes][]base{
	lengthAxis: {
		{"mm", nil, "mm", 1, 1, 0, "millimetre"},
		{"cm", nil, "cm", 10, 1, 0, "centimetre, 10 mm"},
		{"m", nil, "m", 1000, 1, 0, "metre, 1000 mm"},
		{"µm", []string{"um", "μm"}, "um", 1, 1000, 0, "micrometre, 0.001 mm"},
		{"in", []string{"inch", "inches", "″", "\"", "”"}, "inch", 127, 5, 0, "inch, 25.4 mm"},
		{"ft", []string{"foot", "feet"}, "ft", 1524, 5, 0, "foot, 304.8 mm"},
		{"px", nil, "px", 127, 480, 0, "pixel of a drawing, 1/96 in"},
		{"pt", nil, "pt", 127, 360, 0, "point, 1/72 in"},
	},
	massAxis: {
		{"g", nil, "g", 1, 1, 0, "gram"},
		{"kg", nil, "kg", 1000, 1, 0, "kilogram, 1000 g"},
		{"mg", nil, "mg", 1, 1000, 0, "milligram, 0.001 g"},
	},
	timeAxis: {
		{"s", nil, "s", 1, 1, 0, "second"},
		{"min", nil, "min", 60, 1, 0, "minute, 60 s"},
		{"h", nil, "h", 3600, 1, 0, "hour, 3600 s"},
	},
	angleAxis: {
		{"rad", nil, "rad", 1, 1, 0, "radian"},
		{"°", []string{"deg", "º"}, "deg", 1, 180, 1, "degree, π/180 rad"},
	},
}

// Unit is a product of powers of base units, or the plain 1, or the per cent.
// Units are comparable: equal units are ==. The zero Unit is the plain 1.
type Unit struct {
	dim     Dim
	choice  [axes]uint8 // which base on each axis; 0 where the exponent is 0
	percent bool
}

// Units in common use.
var (
	One        = Unit{}
	Percent    = Unit{percent: true}
	MM         = Unit{dim: Length}
	CM         = Unit{dim: Length, choice: [axes]uint8{1}}
	Metre      = Unit{dim: Length, choice: [axes]uint8{2}}
	Micrometre = Unit{dim: Length, choice: [axes]uint8{3}}
	Inch       = Unit{dim: Length, choice: [axes]uint8{4}}
	Second     = Unit{dim: Time}
	Minute     = Unit{dim: Time, choice: [axes]uint8{timeAxis: 1}}
	Hour       = Unit{dim: Time, choice: [axes]uint8{timeAxis: 2}}
	Radian     = Unit{dim: Angle}
	Degree     = Unit{dim: Angle, choice: [axes]uint8{angleAxis: 1}}
	Gram       = Unit{dim: Mass}
	MMPerMin   = Unit{dim: Speed, choice: [axes]uint8{timeAxis: 1}}
	MMPerS     = Unit{dim: Speed}
	MMPerS2    = Unit{dim: Acceleration}
	PerMM      = Unit{dim: Bend}
	MM2        = Unit{dim: Area}
)

// Dim is the unit's dimension.
func (u Unit) Dim() Dim { return u.dim }

// String is the unit's symbol: "mm/min", "°", "mm/s²", "%"; "" for the plain 1.
func (u Unit) String() string {
	if u.percent {
		return "%"
	}
	switch u.dim { // the most frequent units, for speed
	case Pure:
		return ""
	case Length:
		return bases[lengthAxis][u.choice[lengthAxis]].symbol
	case Angle:
		return bases[angleAxis][u.choice[angleAxis]].symbol
	}
	var symbols [axes]string
	for i := range symbols {
		symbols[i] = bases[i][u.choice[i]].symbol
	}
	return compose(symbols, u.dim.exponents())
}

// Coherent is the unit of a dimension in mm, g, s and rad.
func Coherent(d Dim) Unit { return Unit{dim: d} }

// Usual is the unit in which the trade states a dimension: mm, degrees,
// mm/min, mm/s², minutes.
func Usual(d Dim) Unit {
	switch d {
	case Angle:
		return Degree
	case Speed:
		return MMPerMin
	case Time:
		return Minute
	}
	return Coherent(d)
}

// tidy clears the base on axes without an exponent, so that equal units are ==.
func (u Unit) tidy() Unit {
	for i, e := range u.dim.exponents() {
		if e == 0 {
			u.choice[i] = 0
		}
	}
	return u
}

// Times is the unit of a product. If both have a base on an axis, that of u is
// kept: mm·in is mm².
func (u Unit) Times(v Unit) (Unit, bool) { return u.join(v, 1) }

// Per is the unit of a quotient. If both have a base on an axis, that of u is
// kept.
func (u Unit) Per(v Unit) (Unit, bool) { return u.join(v, -1) }

func (u Unit) join(v Unit, sign int) (Unit, bool) {
	power, ok := v.dim.Power(sign)
	if !ok {
		return Unit{}, false
	}
	dim, ok := u.dim.Times(power)
	if !ok {
		return Unit{}, false
	}
	return u.withBases(dim, v), true
}

// withBases is the unit of dimension d with the bases of u and, where u has none, those
// of v.
func (u Unit) withBases(d Dim, v Unit) Unit {
	out := Unit{dim: d, choice: u.choice}
	for i, e := range u.dim.exponents() {
		if e == 0 {
			out.choice[i] = v.choice[i]
		}
	}
	return out.tidy()
}

// Power is the unit of a power with a whole exponent.
func (u Unit) Power(n int) (Unit, bool) {
	dim, ok := u.dim.Power(n)
	return Unit{dim: dim, choice: u.choice}.tidy(), ok
}

// Root is the unit of an n-th root; false if there is none.
func (u Unit) Root(n int) (Unit, bool) {
	dim, ok := u.dim.Root(n)
	return Unit{dim: dim, choice: u.choice}.tidy(), ok
}

// ratio converts numbers from one unit to another by one product and one
// quotient, so that whole factors are exact.
type ratio struct{ num, den float64 }

func (r ratio) apply(x float64) float64 {
	if r.num == r.den {
		return x
	}
	return float64(x*r.num) / r.den
}

// ratioTo is the ratio from u to v, which must have the same exponents on the
// axes where they differ in their bases.
func (u Unit) ratioTo(v Unit) ratio {
	num, den := 1.0, 1.0
	if u.percent {
		den *= 100
	}
	if v.percent {
		num *= 100
	}
	pi := 0
	for i, e := range u.dim.exponents() {
		if u.choice[i] == v.choice[i] {
			continue
		}
		a, b := bases[i][u.choice[i]], bases[i][v.choice[i]]
		n, d := lowest(a.num*b.den, a.den*b.num)
		p := int(a.pi - b.pi)
		if e < 0 {
			n, d, p, e = d, n, -p, -e
		}
		for range e {
			num = float64(num * float64(n))
			den = float64(den * float64(d))
			pi += p
		}
	}
	for ; pi > 0; pi-- {
		num = float64(num * arith.Pi)
	}
	for ; pi < 0; pi++ {
		den = float64(den * arith.Pi)
	}
	return ratio{num, den}
}

func lowest(n, d int64) (int64, int64) {
	a, b := n, d
	for b != 0 {
		a, b = b, a%b
	}
	return n / a, d / a
}

// Convert converts a number from unit u to unit v. It returns NaN if their
// dimensions differ.
func (u Unit) Convert(x float64, v Unit) float64 {
	if u == v {
		return x
	}
	if u.dim != v.dim {
		return math.NaN()
	}
	return u.ratioTo(v).apply(x)
}
