// Package quantity holds numbers with a unit, a dimension and the uncertainty
// that they inherit from the readings they came from.
//
// A number stays in the unit in which it was written: 900 mm/min is 900, and
// 8.5 in is 215.9 mm when it is asked for in mm. Uncertainty follows the law
// of propagation to first order (JCGM 100:2008, 5.1 and 5.2). Each quantity
// remembers how much of it comes from which reading, so that correlation needs
// no table: x - x is 0 ± 0, and a reading reached by two ways counts once.
package quantity

import (
	"strconv"
	"strings"
)

// Dim is a dimension: the exponents of length, time, angle and mass. The zero
// Dim is that of a plain number. An angle is a dimension of its own; only Arc
// drops it.
type Dim struct{ Length, Time, Angle, Mass int8 }

// The dimensions that have a name.
var (
	Pure         = Dim{}
	Length       = Dim{Length: 1}
	Time         = Dim{Time: 1}
	Angle        = Dim{Angle: 1}
	Mass         = Dim{Mass: 1}
	Area         = Dim{Length: 2}
	Volume       = Dim{Length: 3}
	Speed        = Dim{Length: 1, Time: -1}
	Acceleration = Dim{Length: 1, Time: -2}
	Bend         = Dim{Length: -1}
)

// maxExponent bounds the exponents: no formula of the trade needs more, and no
// power in a hostile recipe overflows.
const maxExponent = 12

var dimWords = map[Dim]string{
	Pure: "plain number", Length: "length", Time: "time", Angle: "angle", Mass: "mass",
	Area: "area", Volume: "volume", Speed: "speed", Acceleration: "acceleration", Bend: "bend (1/length)",
}

// exponents lists the exponents in the order of printing.
func (d Dim) exponents() [axes]int8 { return [axes]int8{d.Length, d.Mass, d.Time, d.Angle} }

func dimOf(e [axes]int) (Dim, bool) {
	for _, x := range e {
		if x > maxExponent || x < -maxExponent {
			return Dim{}, false
		}
	}
	return Dim{Length: int8(e[0]), Mass: int8(e[1]), Time: int8(e[2]), Angle: int8(e[3])}, true
}

// Times is the dimension of a product. It returns false if an exponent grows
// beyond maxExponent.
func (d Dim) Times(e Dim) (Dim, bool) {
	a, b := d.exponents(), e.exponents()
	var sum [axes]int
	for i := range sum {
		sum[i] = int(a[i]) + int(b[i])
	}
	return dimOf(sum)
}

// Power is the dimension of a power with a whole exponent.
func (d Dim) Power(n int) (Dim, bool) {
	if d == Pure {
		return d, true
	}
	if n > maxExponent || n < -maxExponent {
		return Dim{}, false
	}
	var out [axes]int
	for i, x := range d.exponents() {
		out[i] = int(x) * n
	}
	return dimOf(out)
}

// Root is the dimension of an n-th root. It returns false if an exponent is not
// a multiple of n: the root of 9 mm has no unit.
func (d Dim) Root(n int) (Dim, bool) {
	if n <= 0 {
		return Dim{}, false
	}
	var out [axes]int
	for i, x := range d.exponents() {
		if int(x)%n != 0 {
			return Dim{}, false
		}
		out[i] = int(x) / n
	}
	return dimOf(out)
}

// String names the dimension: "length", "speed", "mass/length²".
func (d Dim) String() string {
	if word, ok := dimWords[d]; ok {
		return word
	}
	return compose([axes]string{"length", "mass", "time", "angle"}, d.exponents())
}

// WithArticle is the dimension's name with its article: "a length", "an angle".
func (d Dim) WithArticle() string {
	word := d.String()
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// compose writes a product of powers: "mm/min", "mm²", "1/mm", "mm·s⁻²·g⁻¹".
func compose(symbols [axes]string, exponents [axes]int8) string {
	var above, below []string
	for i, e := range exponents {
		switch {
		case e > 0:
			above = append(above, symbols[i]+superscript(int(e)))
		case e < 0:
			below = append(below, symbols[i]+superscript(int(-e)))
		}
	}
	switch {
	case len(below) == 0:
		return strings.Join(above, "·")
	case len(below) == 1 && len(above) == 0:
		return "1/" + below[0]
	case len(below) == 1:
		return strings.Join(above, "·") + "/" + below[0]
	}
	for i, e := range exponents {
		if e < 0 {
			above = append(above, symbols[i]+superscript(int(e)))
		}
	}
	return strings.Join(above, "·")
}

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func superscript(n int) string {
	if n == 1 {
		return ""
	}
	return superscripts.Replace(strconv.Itoa(n))
}
