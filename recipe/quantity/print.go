package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Significant digits of a derived number without uncertainty, and of an
// uncertainty (JCGM 100:2008, 7.2.6: at most two).
const (
	numberDigits      = 6
	uncertaintyDigits = 2
)

// String prints the quantity as it was written or, where it was derived,
// rounded to the second digit of its uncertainty, or else to six digits. What
// it prints, Parse reads again. The minus is the true one (U+2212).
func (q Quantity) String() string {
	if q.typed != "" {
		return q.typed
	}
	value, u := rounded(q)
	return assemble(value, u, q.unit)
}

// rounded is the number and the uncertainty of a derived quantity as they are
// printed, without the unit; u is "" for an exact quantity.
func rounded(q Quantity) (value, u string) {
	if !q.Uncertain() {
		return round(q.number), ""
	}
	return roundTogether(q.number, q.U(q.unit))
}

// Short prints the quantity without its uncertainty: as written, or with six
// digits, enough to check a formula with a pocket calculator.
func (q Quantity) Short() string {
	return assemble(q.ShortDigits(), "", q.unit)
}

// ShortDigits is the number that Short prints, without the unit.
func (q Quantity) ShortDigits() string {
	if q.typed != "" {
		if n, size, wrong := scanNumber(q.typed); wrong == nil && size > 0 && n.value == q.number {
			return n.text
		}
	}
	return round(q.number)
}

// assemble puts number, uncertainty and unit together.
func assemble(value, u string, unit Unit) string {
	symbol := unit.String()
	if u != "" {
		value += " ± " + u
	}
	switch {
	case symbol == "":
		return value
	case symbol == "°":
		return value + symbol
	case strings.HasPrefix(symbol, "1/") && u != "":
		return "(" + value + ")" + symbol[1:]
	case strings.HasPrefix(symbol, "1/"):
		return value + symbol[1:]
	}
	return value + " " + symbol
}

// round prints a number to six significant digits, ties to even, without
// needless zeros.
func round(x float64) string { return significant(x, numberDigits) }

func significant(x float64, digits int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "not a number"
	}
	short := strconv.FormatFloat(x, 'e', digits-1, 64)
	mantissa, power, _ := strings.Cut(short, "e")
	exponent, _ := strconv.Atoi(power)
	switch {
	case x == 0:
		return "0"
	case exponent >= -5 && exponent < 15: // plain digits: a float64 holds 15
		short = strconv.FormatFloat(x, 'f', max(0, digits-1-exponent), 64)
		if strings.Contains(short, ".") {
			short = strings.TrimRight(strings.TrimRight(short, "0"), ".")
		}
	default:
		if strings.Contains(mantissa, ".") {
			mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
		}
		short = mantissa + "e" + strconv.Itoa(exponent)
	}
	return trueMinus(short)
}

// trueMinus puts the true minus before a number; exponents keep the hyphen.
func trueMinus(s string) string {
	if strings.HasPrefix(s, "-") {
		return "−" + s[1:]
	}
	return s
}

// roundTogether prints a number and its uncertainty, both rounded at the second
// digit of the uncertainty.
func roundTogether(x, u float64) (value, uncertainty string) {
	short := strconv.FormatFloat(u, 'e', uncertaintyDigits-1, 64)
	_, power, _ := strings.Cut(short, "e")
	exponent, err := strconv.Atoi(power)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		return round(x), "not a number"
	}
	shownU, _ := strconv.ParseFloat(short, 64)
	last := exponent - (uncertaintyDigits - 1) // power of ten of the last printed place
	size := exponent
	if x != 0 {
		size = max(size, powerOfTen(x))
	}
	switch {
	case size-last > 16, size > 14, last < -15:
		// No float64 has so many digits; each is printed by itself.
		return significant(x, numberDigits), significant(shownU, uncertaintyDigits)
	case last <= 0:
		return trueMinus(unsignedZero(strconv.FormatFloat(x, 'f', -last, 64))), strconv.FormatFloat(shownU, 'f', -last, 64)
	}
	// Round to tens, hundreds and so on.
	place, _ := strconv.ParseFloat("1e"+strconv.Itoa(last), 64)
	whole := math.RoundToEven(x/place) * place
	return trueMinus(unsignedZero(strconv.FormatFloat(whole, 'f', 0, 64))), strconv.FormatFloat(shownU, 'f', 0, 64)
}

// powerOfTen is the exponent of x in scientific notation, from its decimal
// digits: a logarithm is not the same on every processor.
func powerOfTen(x float64) int {
	_, power, _ := strings.Cut(strconv.FormatFloat(x, 'e', -1, 64), "e")
	n, _ := strconv.Atoi(power)
	return n
}

// unsignedZero drops the sign of a number that was rounded to 0.
func unsignedZero(s string) string {
	if strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// Attach adds the unit to a printed number: "8 mm", "14.3°", "0.2/mm".
func (u Unit) Attach(number string) string { return assemble(number, "", u) }

// ShownDigits returns number and uncertainty as String prints them, both in the
// unit of the quantity; u is "" if no ± is printed. A quantity that was written
// with two units is returned as if it were derived.
func (q Quantity) ShownDigits() (value, u string) {
	value, rest, stated := strings.Cut(q.typed, " ± ")
	switch {
	case q.typed == "":
		return rounded(q)
	case !stated:
		return q.ShortDigits(), ""
	}
	n, _, wrong := scanNumber(strings.TrimPrefix(value, "("))
	m, _, bad := scanNumber(rest)
	if wrong != nil || bad != nil || assemble(n.text, m.text, q.unit) != q.typed {
		return rounded(q)
	}
	return n.text, m.text
}
