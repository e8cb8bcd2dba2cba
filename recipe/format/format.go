// Package format writes numbers for people: lengths, areas, times, feeds,
// places, shares and counts look the same on the terminal, in messages and on
// pages. Machine programs have a writer of their own, and what the recipe's
// author typed is shown as typed (recipe/quantity).
package format

import (
	"math"
	"strconv"
	"strings"
)

// Medium is where a text is read.
type Medium int8

const (
	// Plain has the ASCII minus and plain spaces: the terminal, messages,
	// comments of programs, coordinates in SVG.
	Plain Medium = iota
	// Page is HTML: the true minus (U+2212), and no line break between a number
	// and its unit.
	Page
)

// Fixed writes a number with so many decimals, and no minus before a zero.
func (m Medium) Fixed(v float64, decimals int) string {
	return m.sign(strconv.FormatFloat(v, 'f', decimals, 64))
}

// Number writes a number with at most so many decimals, without zeros at the
// end: 1200, 0.5.
func (m Medium) Number(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return m.sign(text)
}

// Signed writes a difference with so many decimals and its sign: +0.12.
func (m Medium) Signed(v float64, decimals int) string {
	text := m.Fixed(v, decimals)
	if v > 0 && !isZero(text) {
		return "+" + text
	}
	return text
}

// Length writes a length given in mm with three digits, in mm or from 1 m on
// in m: 0.25 mm, 30.0 mm, 450 mm, 1.25 m.
func (m Medium) Length(mm float64) string {
	if math.Abs(mm) >= 999.5 {
		return m.Unit(m.digits(mm/1000), "m")
	}
	return m.Unit(m.digits(mm), "mm")
}

// Area writes an area given in mm² with three digits, large ones to the mm².
func (m Medium) Area(mm2 float64) string { return m.Unit(m.digits(mm2), "mm²") }

// Printed reports whether a length or an area is not written as 0.
func Printed(v float64) bool { return math.Abs(v) >= leastPrinted }

// leastPrinted is the least number that three decimals do not round to 0.
const leastPrinted = 0.0005

// Share writes a share of 1 in percent.
func (m Medium) Share(share float64) string { return m.Unit(m.Fixed(100*share, 2), "%") }

// Feed writes a feed given in mm/min.
func (m Medium) Feed(v float64) string { return m.Unit(m.Number(v, 1), "mm/min") }

// FeedRange writes the range between two feeds given in mm/min.
func (m Medium) FeedRange(low, high float64) string {
	a, b := m.Number(low, 1), m.Number(high, 1)
	if a == b {
		return m.Feed(high)
	}
	return a + " to " + m.Unit(b, "mm/min")
}

// Place writes coordinates given in mm.
func (m Medium) Place(x, y float64) string {
	return "X " + m.Fixed(x, 2) + ", Y " + m.Unit(m.Fixed(y, 2), "mm")
}

// Duration writes a time given in s: 8.5 s, 5 min 9 s, 2 h 5 min.
func (m Medium) Duration(seconds float64) string {
	parts := func(large int, unit string, small int, rest string) string {
		return m.Unit(strconv.Itoa(large), unit) + m.space() + m.Unit(strconv.Itoa(small), rest)
	}
	whole := int(math.Round(seconds))
	switch {
	case seconds < 59.95:
		return m.Unit(m.Fixed(seconds, 1), "s")
	case whole < 3600:
		return parts(whole/60, "min", whole%60, "s")
	}
	minutes := int(math.Round(seconds / 60))
	return parts(minutes/60, "h", minutes%60, "min")
}

// Unit puts a unit behind a number.
func (m Medium) Unit(number, unit string) string { return number + m.space() + unit }

// Count writes a number and its noun: 1 stroke, 2 strokes, 3 corner touches.
func Count(n int, noun string) string { return strconv.Itoa(n) + " " + Plural(n, noun) }

// Plural is the noun for so many things.
func Plural(n int, noun string) string {
	switch {
	case n == 1:
		return noun
	case strings.HasSuffix(noun, "s"), strings.HasSuffix(noun, "ch"), strings.HasSuffix(noun, "sh"), strings.HasSuffix(noun, "x"):
		return noun + "es"
	}
	if stem, ok := strings.CutSuffix(noun, "y"); ok && stem != "" && !strings.Contains("aeiou", stem[len(stem)-1:]) {
		return stem + "ies"
	}
	return noun + "s"
}

// Strokes counts the strokes of a program, the marks of its check strip and its
// painted register marks apart.
func Strokes(picture, checkMarks, registerMarks int) string {
	parts := []string{Count(picture, "stroke")}
	if checkMarks > 0 {
		parts = append(parts, Count(checkMarks, "check mark"))
	}
	if registerMarks > 0 {
		parts = append(parts, Count(registerMarks, "register mark"))
	}
	return List(parts)
}

// List joins words as a sentence does: a, b and c.
func List(words []string) string { return join(words, " and ") }

// Either joins alternatives: a, b or c.
func Either(words []string) string { return join(words, " or ") }

func join(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + last + words[n-1]
}

// digits writes three digits, or all before the point where there are more; a
// number too small for two decimals gets a third.
func (m Medium) digits(v float64) string {
	size := math.Abs(v)
	switch {
	case size >= 99.95:
		return m.Fixed(v, 0)
	case size >= 9.995:
		return m.Fixed(v, 1)
	case size < leastPrinted:
		return "0"
	case size < 0.005:
		return m.Fixed(v, 3)
	}
	return m.Fixed(v, 2)
}

// sign gives a printed number the medium's minus, and a zero none.
func (m Medium) sign(text string) string {
	number, negative := strings.CutPrefix(text, "-")
	switch {
	case !negative || isZero(number):
		return number
	case m == Page:
		return "−" + number
	}
	return text
}

func isZero(number string) bool { return strings.Trim(number, "0.") == "" }

func (m Medium) space() string {
	if m == Page {
		return "\u00a0"
	}
	return " "
}

// Ranges lists numbers, those that follow each other as a range: 3, 7 to 9.
func Ranges(numbers []int) string {
	var out []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		if j > i {
			out = append(out, strconv.Itoa(numbers[i])+" to "+strconv.Itoa(numbers[j]))
		} else {
			out = append(out, strconv.Itoa(numbers[i]))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}
