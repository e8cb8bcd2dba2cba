package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/problem"
)

// number is a number as written.
type number struct {
	value float64
	text  string // tidied: point for comma, no separators, true minus
	// last is the value of 1 in the last written digit's place: 0.01 for 2.40(5).
	last float64
}

// fault is what is wrong with a number, and how it could be written instead.
type fault struct {
	code        problem.Code
	message     string
	corrections []string
	certain     bool // nothing but the correction can be meant
	end         int  // bytes of the text that the fault covers
}

// Numbers beyond these limits are mistakes, and could overflow later.
const largest, smallest = 1e15, 1e-30

// isGroupSpace reports whether r is a space between groups of three digits
// rather than between words (ISO 80000-1:2009, 7.3.1).
func isGroupSpace(r rune) bool {
	switch r {
	case '\u00a0', '\u202f', '\u2009', '\u2007', '\u2008', '\u2005', '\u2006':
		return true
	}
	return false
}

func isApostrophe(r rune) bool { return r == '\'' || r == '’' || r == 'ʼ' }

func isMinus(r rune) bool {
	switch r {
	case '-', '−', '–', '‐', '‑', '﹣', '－':
		return true
	}
	return false
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

var fractionSigns = map[rune][2]int64{
	'½': {1, 2}, '⅓': {1, 3}, '⅔': {2, 3}, '¼': {1, 4}, '¾': {3, 4}, '⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5},
	'⅙': {1, 6}, '⅚': {5, 6}, '⅐': {1, 7}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8}, '⅑': {1, 9}, '⅒': {1, 10},
}

// scanNumber reads the number at the start of s and returns its length in bytes;
// 0 if s does not start with a number.
func scanNumber(s string) (number, int, *fault) {
	at, sign := 0, ""
	if r, size := utf8.DecodeRuneInString(s); isMinus(r) || r == '+' {
		if isMinus(r) {
			sign = "−"
		}
		at = size
		for at < len(s) && s[at] == ' ' {
			at++
		}
	}
	run, end := digitRun(s, at)
	if len(run) == 0 {
		return scanFraction(s, at, end, sign, "")
	}
	digits, wrong := withDecimalPoint(run)
	if wrong != nil {
		wrong.end = end
		for i := range wrong.corrections {
			wrong.corrections[i] = sign + wrong.corrections[i]
		}
		return number{}, end, wrong
	}
	if !strings.Contains(digits, ".") {
		if n, to, wrong := scanFraction(s, at, end, sign, digits); to > 0 || wrong != nil {
			return n, to, wrong
		}
	}
	exponent := scanExponent(s[end:])
	end += len(exponent)
	n := number{text: sign + digits + strings.ToLower(strings.ReplaceAll(exponent, "−", "-"))}
	return n.finish(end, placesOf(digits), exponent)
}

// finish fills in the value of n.text.
func (n number) finish(end, places int, exponent string) (number, int, *fault) {
	value, err := strconv.ParseFloat(strings.ReplaceAll(n.text, "−", "-"), 64)
	if err != nil || math.Abs(value) > largest || value != 0 && math.Abs(value) < smallest {
		return number{}, end, &fault{code: problem.NumberOutOfRange, end: end,
			message: "is too large or too small"}
	}
	if n.value = value; value == 0 {
		n.value = 0 // no negative zero
	}
	if exponent == "" {
		n.last, _ = strconv.ParseFloat("1e-"+strconv.Itoa(places), 64)
	}
	return n, end, nil
}

func placesOf(digits string) int {
	if i := strings.IndexByte(digits, '.'); i >= 0 {
		return len(digits) - i - 1
	}
	return 0
}

// scanExponent returns the exponent at the start of s, or "".
func scanExponent(s string) string {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return ""
	}
	i := 1
	if r, size := utf8.DecodeRuneInString(s[i:]); r == '+' || r == '-' || r == '−' {
		i += size
	}
	start := i
	for i < len(s) && isDigit(rune(s[i])) {
		i++
	}
	if i == start || i-start > 3 {
		return ""
	}
	return s[:i]
}

// digitGroup is a group of digits and the separator before it, 0 for the first.
type digitGroup struct {
	separator rune
	digits    string
}

// digitRun cuts the digits from at onwards into groups and returns where they
// end. An ordinary space is a separator unless the digits after it start a
// fraction or a unit such as 1/mm.
func digitRun(s string, at int) ([]digitGroup, int) {
	var run []digitGroup
	end := at
	for end < len(s) {
		if isDigit(rune(s[end])) {
			if len(run) == 0 {
				run = append(run, digitGroup{})
			}
			run[len(run)-1].digits, end = leadingDigits(s, end)
			continue
		}
		r, size := utf8.DecodeRuneInString(s[end:])
		next := end + size
		followed := next < len(s) && isDigit(rune(s[next]))
		switch {
		case r == '.' && !followed && len(run) > 0 && run[len(run)-1].separator != '.':
			// "2." is 2.
			return append(run, digitGroup{'.', ""}), next
		case !followed:
			return run, end
		case r == '.' || r == ',':
			if len(run) == 0 {
				run = append(run, digitGroup{})
			}
		case len(run) == 0:
			return run, end
		case isApostrophe(r) || isGroupSpace(r):
		case r == ' ':
			i := next
			for i < len(s) && isDigit(rune(s[i])) {
				i++
			}
			if i < len(s) && (s[i] == '/' || strings.HasPrefix(s[i:], "⁄")) {
				return run, end
			}
		default:
			return run, end
		}
		run = append(run, digitGroup{separator: r})
		end = next
	}
	return run, end
}

// separators counts the separators between groups of digits.
type separators struct {
	commas, points, spaces int
	groups                 int  // separators of thousands only: apostrophes, narrow spaces
	mixed                  bool // of more than one kind
}

func countSeparators(run []digitGroup) separators {
	var n separators
	var group rune
	for _, p := range run {
		switch p.separator {
		case 0:
		case ',':
			n.commas++
		case '.':
			n.points++
		case ' ':
			n.spaces++
		default:
			n.mixed = n.mixed || group != 0 && group != p.separator
			n.groups, group = n.groups+1, p.separator
		}
	}
	return n
}

// maxDigits bounds the digits of a number: a float64 holds fewer than half as many.
const maxDigits = 40

// withDecimalPoint decides what the separators mean and returns the digits with a
// point.
func withDecimalPoint(run []digitGroup) (string, *fault) {
	all := joined(run)
	count := len(all)
	if run[0].digits == "" {
		count++ // the zero that is printed before the point
	}
	n := countSeparators(run)
	switch {
	case count > maxDigits:
		return "", &fault{code: problem.WrongNumber, message: "has too many digits"}
	case n.spaces > 0:
		f := &fault{code: problem.WrongNumber, message: "has a space inside the number"}
		if inThrees(run) && n.commas+n.points == 0 {
			f.corrections, f.certain = []string{all}, true
		}
		return "", f
	case n.mixed:
		return "", &fault{code: problem.WrongNumber, message: "mixes two kinds of separators"}
	case n.commas > 0 && n.points > 0:
		return lastIsDecimal(run, n)
	case n.commas > 1 || n.points > 1:
		if n.groups == 0 && inThrees(run) {
			return all, nil
		}
		return "", &fault{code: problem.WrongNumber, message: "has more than one decimal point"}
	case n.commas == 1 && n.groups == 0 && mayBeThousands(run):
		return "", &fault{code: problem.AmbiguousNumber, corrections: []string{run[0].digits + "." + run[1].digits, all}}
	}
	mark := slices.IndexFunc(run, func(g digitGroup) bool { return g.separator == ',' || g.separator == '.' })
	if mark < 0 {
		mark = len(run)
	}
	decimal := withPoint(run[:mark], joined(run[mark:]))
	if !inThrees(run[:mark]) || mark < len(run) && !fractionInThrees(run[mark:]) {
		return "", &fault{code: problem.WrongNumber, message: "is not grouped in threes", corrections: []string{decimal}}
	}
	return decimal, nil
}

// lastIsDecimal reads a number with both commas and points: the last one is
// the decimal point, whichever it is, and occurs once.
func lastIsDecimal(run []digitGroup, n separators) (string, *fault) {
	last := run[len(run)-1]
	once := last.separator == ',' && n.commas == 1 || last.separator == '.' && n.points == 1
	if once && n.groups == 0 && inThrees(run[:len(run)-1]) {
		return withPoint(run[:len(run)-1], last.digits), nil
	}
	return "", &fault{code: problem.WrongNumber, message: "has points and commas in the wrong order"}
}

// mayBeThousands reports whether a single comma may separate thousands: 1,234.
func mayBeThousands(run []digitGroup) bool {
	return len(run) == 2 && len(run[1].digits) == 3 && len(run[0].digits) <= 3 && run[0].digits != "" && run[0].digits[0] != '0'
}

func joined(run []digitGroup) string {
	s := ""
	for _, p := range run {
		s += p.digits
	}
	return s
}

func withPoint(whole []digitGroup, fraction string) string {
	s := joined(whole)
	if s == "" {
		s = "0"
	}
	if fraction == "" {
		return s
	}
	return s + "." + fraction
}

// inThrees reports whether all groups but the first have three digits, and the
// first has one to three if others follow.
func inThrees(run []digitGroup) bool {
	for i, p := range run {
		if i > 0 && len(p.digits) != 3 || i == 0 && len(run) > 1 && (len(p.digits) > 3 || p.digits == "" || p.digits[0] == '0') {
			return false
		}
	}
	return true
}

// fractionInThrees is inThrees for the digits after the decimal point, where the
// last group may be short.
func fractionInThrees(run []digitGroup) bool {
	for i, p := range run {
		if len(run) > 1 && (i < len(run)-1 && len(p.digits) != 3 || len(p.digits) > 3) {
			return false
		}
	}
	return true
}

// scanFraction reads ½, 1½, 1/2 or 1 1/2. start is where the digits begin and
// end where the whole digits, which may be missing, end.
func scanFraction(s string, start, end int, sign, whole string) (number, int, *fault) {
	at := end
	for at < len(s) && s[at] == ' ' {
		at++
	}
	var above, below int64
	text := ""
	if r, size := utf8.DecodeRuneInString(s[at:]); fractionSigns[r][1] != 0 {
		above, below = fractionSigns[r][0], fractionSigns[r][1]
		text, at = whole+string(r), at+size
	} else {
		top, next := "", at
		if at == end && whole != "" {
			top, whole = whole, "" // 1/2
		} else if at > end {
			top, next = leadingDigits(s, at)
		}
		slash, size := utf8.DecodeRuneInString(s[next:])
		if top == "" || slash != '/' && slash != '⁄' {
			return number{}, 0, nil
		}
		bottom, last := leadingDigits(s, next+size)
		if bottom == "" {
			return number{}, 0, nil // 1/mm
		}
		above, _ = strconv.ParseInt(top, 10, 64)
		below, _ = strconv.ParseInt(bottom, 10, 64)
		if len(top) > 4 || len(bottom) > 4 || below == 0 { // nobody writes such fractions
			return number{}, last, &fault{code: problem.WrongNumber, message: "is not a simple fraction", end: last}
		}
		text, at = top+"/"+bottom, last
		if whole != "" {
			text = whole + " " + text
		}
	}
	if len(whole) > 9 { // it would overflow below
		return number{}, at, &fault{code: problem.WrongNumber, message: "is not a simple fraction", end: at}
	}
	var units int64
	if whole != "" {
		units, _ = strconv.ParseInt(whole, 10, 64)
	}
	value := float64(units*below+above) / float64(below)
	if sign != "" && value != 0 {
		value = -value
	}
	return number{value: value, text: sign + text}, at, nil
}

func leadingDigits(s string, at int) (string, int) {
	end := at
	for end < len(s) && isDigit(rune(s[end])) {
		end++
	}
	return s[at:end], end
}
