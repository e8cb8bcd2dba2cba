// Package decimal reads decimal numbers quickly, rounded to the nearest float.
package decimal

import (
	"bytes"
	"strconv"
)

// Powers of ten that a float64 holds exactly.
var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// Parse reads a decimal number, rounded as strconv.ParseFloat rounds
// it. Anything else, words for infinity among it, is refused.
func Parse(b []byte) (float64, bool) {
	if v, end, ok := Plain(b, 0); ok && end == len(b) {
		return v, true
	}
	return parseSlowly(b)
}

// Plain reads the number that begins at byte i of b, if it is one of at
// most 18 digits without an exponent, and tells where it ends. What follows
// it is for the caller to judge.
//
// Where the digits fit into 53 bits and the power of ten is exact, one
// division gives the nearest number (W. D. Clinger, How to Read Floating
// Point Numbers Accurately, PLDI 1990); drawings hold hardly any other.
func Plain(b []byte, i int) (v float64, end int, ok bool) {
	negative := false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	start := i
	var mantissa uint64
	for ; i < len(b); i++ {
		d := b[i] - '0'
		if d > 9 {
			break
		}
		mantissa = mantissa*10 + uint64(d)
	}
	digits, fraction := i-start, 0
	if i < len(b) && b[i] == '.' {
		start = i + 1
		for i++; i < len(b); i++ {
			d := b[i] - '0'
			if d > 9 {
				break
			}
			mantissa = mantissa*10 + uint64(d)
		}
		fraction = i - start
		digits += fraction
	}
	if digits == 0 || digits > 18 {
		return 0, i, false
	}
	if mantissa > 1<<53 {
		for fraction > 0 && mantissa%10 == 0 {
			mantissa /= 10
			fraction--
		}
		if mantissa > 1<<53 {
			return 0, i, false
		}
	}
	v = float64(mantissa) / tens[fraction]
	if negative {
		v = -v
	}
	return v, i, true
}

// parseSlowly reads what the short way cannot: exponents, and more digits than
// a float64 has.
func parseSlowly(b []byte) (float64, bool) {
	for _, c := range b {
		if c-'0' > 9 && c != '.' && c != '-' && c != '+' && c|0x20 != 'e' {
			return 0, false
		}
	}
	// Some programs fill every number up with zeros.
	if bytes.IndexByte(b, '.') >= 0 && len(b) > 19 && b[len(b)-1] == '0' && !bytes.ContainsAny(b, "eE") {
		if short := bytes.TrimRight(b, "0"); len(short) < len(b) {
			return Parse(short)
		}
	}
	v, err := strconv.ParseFloat(string(b), 64)
	return v, err == nil
}

// ParseInteger reads a whole number, also one written as 1.0.
func ParseInteger(b []byte) (int, bool) {
	v, ok := Parse(b)
	if !ok || v != float64(int(v)) || v > 1<<53 || v < -1<<53 {
		return 0, false
	}
	return int(v), true
}
