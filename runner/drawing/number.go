package drawing

import "strconv"

// Powers of ten that a float64 holds exactly.
var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseNumber reads a decimal number, rounded as strconv.ParseFloat rounds
// it. Anything else, words for infinity among it, is refused.
//
// Where the digits fit into 53 bits and the power of ten is exact, one
// division gives the nearest number (W. D. Clinger, How to Read Floating
// Point Numbers Accurately, PLDI 1990); drawings hold hardly any other.
func parseNumber(b []byte) (float64, bool) {
	i := 0
	negative := false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	var mantissa uint64
	digits, exponent, zeros := 0, 0, 0
	point, any := false, false
	for ; i < len(b); i++ {
		c := b[i]
		if d := c - '0'; d <= 9 {
			any = true
			if point && d == 0 {
				zeros++ // counts only if another digit follows
				continue
			}
			if zeros > 0 {
				if mantissa != 0 {
					digits += zeros
				}
				if digits > 18 {
					return slowNumber(b)
				}
				for ; zeros > 0; zeros-- {
					mantissa *= 10
					exponent--
				}
			}
			mantissa = mantissa*10 + uint64(d)
			if mantissa != 0 {
				if digits++; digits > 18 {
					return slowNumber(b)
				}
			}
			if point {
				exponent--
			}
			continue
		}
		if c == '.' && !point {
			point = true
			continue
		}
		break
	}
	if !any {
		return 0, false
	}
	if i < len(b) {
		if b[i] != 'e' && b[i] != 'E' {
			return 0, false
		}
		return slowNumber(b)
	}
	if mantissa > 1<<53 || exponent < -22 {
		return slowNumber(b)
	}
	v := float64(mantissa) / tens[-exponent]
	if negative {
		v = -v
	}
	return v, true
}

// slowNumber reads what the short way cannot.
func slowNumber(b []byte) (float64, bool) {
	for _, c := range b {
		if !(c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+' || c == 'e' || c == 'E') {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(b), 64)
	return v, err == nil
}

// parseInteger reads a whole number, also one written as 1.0.
func parseInteger(b []byte) (int, bool) {
	v, ok := parseNumber(b)
	if !ok || v != float64(int64(v)) || v > 1<<53 || v < -1<<53 {
		return 0, false
	}
	return int(v), true
}
