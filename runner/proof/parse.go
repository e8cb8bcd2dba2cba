package proof

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// block is the words of one line. No letter and no modal group may occur twice
// on a line, so there is one place for each.
type block struct {
	has            [26]bool
	value          [26]float64
	at             [26]int16      // byte of the line where the word begins
	g              [gGroups]int16 // tenths of the G word of each modal group plus 1, 0 for none
	gAt            [gGroups]int16
	m              [mGroups]int16 // number of the M word of each modal group plus 1
	mAt            [mGroups]int16
	ms             int  // number of M words on the line
	hasOtherLetter bool // the line has a letter other than G, M, X, Y, Z and F
}

// parser splits lines into words.
type parser struct {
	*text
	block block
}

// word is the value of a letter, and whether it is on the line.
func (b *block) word(letter byte) (float64, bool) {
	return b.value[letter-'A'], b.has[letter-'A']
}

// parse reads the line into the block. It returns false if the line has a fault.
func (p *parser) parse() bool {
	p.block = block{}
	ok, first, numbered := true, true, false
	n := utf8.RuneCount(p.line)
	if n > p.path.Longest {
		p.path.Longest, p.path.LongestAt = n, p.path.Lines
	}
	if n > MaxLine {
		p.fault(0, 0, "long-line", fmt.Sprintf("break the line, at most %d characters", MaxLine),
			"the line has %d characters, a machine reads at most %d", n, MaxLine)
		return false
	}
	for i := blanks(p.line, 0); i < len(p.line); i = blanks(p.line, i) {
		c := p.line[i]
		if 'a' <= c && c <= 'z' {
			c -= 'a' - 'A'
		}
		var good bool
		switch {
		case c == '(':
			i, good = p.comment(i)
		case c == '/' && first:
			p.fault(i, 1, "block-delete", "take the / away, or the line",
				"whether a line with / is executed depends on a switch of the machine")
			i, ok = i+1, false
			continue // a line number may follow
		case c == 'N' && first:
			i, good = p.lineNumber(i)
			numbered = true
		case 'A' <= c && c <= 'Z':
			if p.path.FirstWord == 0 {
				p.path.FirstWord = p.path.Lines
			}
			if !numbered && p.path.Unnumbered == 0 {
				p.path.Unnumbered = p.path.Lines
			}
			i, good = p.word(i, c)
		default:
			good = p.stray(i, c)
		}
		if !good {
			return false
		}
		first = false
	}
	return ok
}

// blanks returns the next index from i on that is neither space nor tab.
func blanks(line []byte, i int) int {
	for i < len(line) && (line[i] == ' ' || line[i] == '\t') {
		i++
	}
	return i
}

// comment reads ( ... ) and returns the index after it. Section 3.3.4.
func (p *parser) comment(start int) (int, bool) {
	for i := start + 1; i < len(p.line); i++ {
		switch c := p.line[i]; {
		case c == ')':
			comment := string(p.line[start+1 : i])
			head := strings.TrimLeft(comment, " \t")
			message := len(head) >= 4 && strings.EqualFold(head[:4], "MSG,")
			if len(p.path.Comments) == MaxNotes {
				p.fault(start, 1, "too-much", "leave out some comments", "the program has more than %d comments", MaxNotes)
				p.stop = true
				return i, false
			}
			p.path.Comments = append(p.path.Comments, Comment{Text: comment, Message: message, Line: p.path.Lines, Column: p.column(start)})
			return i + 1, true
		case c == '(':
			p.fault(i, 1, "nested-comment", "write [ ] in place of the inner brackets, or leave them out", "there is a comment inside a comment")
			return i, false
		case c != '\t' && (c < ' ' || c > '~'):
			_, n := utf8.DecodeRune(p.line[i:])
			p.fault(i, n, "not-ascii", "write it in plain letters; controllers stop at others",
				"the comment contains %q, which is not a printable ASCII character", p.line[i:i+n])
			return i, false
		}
	}
	p.fault(start, len(p.line)-start, "open-comment", "close it with ) on the same line", "the comment is not closed on its line")
	return start, false
}

// lineNumber reads N and up to five digits. Section 3.3.1.
func (p *parser) lineNumber(start int) (int, bool) {
	digits, i := 0, blanks(p.line, start+1)
	for i < len(p.line) && '0' <= p.line[i] && p.line[i] <= '9' {
		digits++
		i = blanks(p.line, i+1)
	}
	if digits == 0 || digits > 5 || (i < len(p.line) && (p.line[i] == '.' || p.line[i] == '-' || p.line[i] == '+')) {
		p.fault(start, i-start, "line-number", "write N and at most five digits, or no number", "a line number is N with one to five digits and nothing else")
		return i, false
	}
	return i, true
}

// word reads a letter and its number into the block.
func (p *parser) word(start int, letter byte) (int, bool) {
	switch letter {
	case 'E':
		p.fault(start, 1, "exponent", "write the number out, such as 0.00001",
			"E is not a word, and numbers have no exponent")
		return start, false
	case 'N':
		p.fault(start, 1, "line-number", "put the line number at the start of the line", "there is a line number inside the line")
		return start, false
	case 'O', 'U', 'V', 'W':
		p.fault(start, 1, "unknown-word", "take the word away", "%c is not a letter that begins a word", letter)
		return start, false
	}
	value, end, ok := p.number(start, letter)
	if !ok {
		return end, false
	}
	b := &p.block
	switch letter {
	case 'G':
		return end, p.gWord(start, end, value)
	case 'M':
		return end, p.mWord(start, end, value)
	case 'X', 'Y', 'Z', 'F':
	default:
		b.hasOtherLetter = true
	}
	k := letter - 'A'
	if b.has[k] {
		p.fault(start, end-start, "twice", "keep one of the two", "%c is twice on the line", letter)
		return end, false
	}
	b.has[k], b.value[k], b.at[k] = true, value, int16(start)
	return end, true
}

// tens are the powers of ten that are exact in binary.
var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// numeral is a number as it is written in the text.
type numeral struct {
	negative    bool
	whole       uint64 // the first 15 significant digits, without the point
	digits      int
	significant int // digits from the first that is not 0
	decimals    int // digits after the point
}

// scanDecimal reads sign, digits, one point and digits from index i on, with
// blanks anywhere. Section 3.3.2.1. It returns the index after them.
func scanDecimal(line []byte, i int) (numeral, int) {
	var d numeral
	if i < len(line) && (line[i] == '-' || line[i] == '+') {
		d.negative = line[i] == '-'
		i = blanks(line, i+1)
	}
	point := false
	for ; i < len(line); i = blanks(line, i+1) {
		c := line[i]
		if c == '.' && !point {
			point = true
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		d.digits++
		if d.whole > 0 || c != '0' {
			d.significant++
		}
		if d.significant <= 15 {
			d.whole = 10*d.whole + uint64(c-'0')
		}
		if point {
			d.decimals++
		}
	}
	return d, i
}

// value is the number, which is also given as text.
func (d numeral) value(text []byte) (v float64, err error) {
	if d.significant <= 15 && d.decimals < len(tens) {
		// Both are exact in binary, so the quotient is the nearest number.
		v = float64(d.whole) / tens[d.decimals]
		if d.negative {
			v = -v
		}
	} else {
		text = bytes.Map(func(c rune) rune {
			if c == ' ' || c == '\t' {
				return -1
			}
			return c
		}, text)
		if v, err = strconv.ParseFloat(string(text), 64); err != nil {
			return 0, err
		}
	}
	if v == 0 {
		v = 0 // never -0
	}
	return v, nil
}

// number reads the number after the letter at start and returns the index
// after it. Section 3.3.2.
func (p *parser) number(start int, letter byte) (value float64, end int, ok bool) {
	line := p.line
	i := blanks(line, start+1)
	if i < len(line) && (line[i] == '#' || line[i] == '[') {
		p.fault(i, 1, "parameter", "write the number itself", "parameters and formulas cannot be followed: their values depend on the machine")
		return 0, i, false
	}
	d, i := scanDecimal(line, i)
	switch {
	case i < len(line) && line[i] == '.':
		p.fault(start, i+1-start, "number", "keep one decimal point", "the number after %c has two decimal points", letter)
		return 0, i, false
	case i < len(line) && line[i] == ',':
		p.fault(start, i+1-start, "number", "write a decimal point: "+strings.ReplaceAll(string(line[start:min(i+3, len(line))]), ",", "."),
			"the number after %c has a comma", letter)
		return 0, i, false
	case d.digits == 0:
		p.fault(start, max(i-start, 1), "number", "write a number after the letter, such as "+string(letter)+"0", "no number follows %c", letter)
		return 0, i, false
	}
	value, err := d.value(line[start+1 : i])
	if err != nil {
		p.fault(start, i-start, "number", "write a shorter number", "the number after %c is too large", letter)
		return 0, i, false
	}
	return value, i, true
}

// stray reports a character that begins no word.
func (p *parser) stray(i int, c byte) bool {
	switch c {
	case ';':
		p.fault(i, len(p.line)-i, "stray", "write the comment between ( and )", "; does not begin a comment in this language")
	case '#':
		p.fault(i, 1, "parameter", "write the numbers themselves", "parameters cannot be followed: their values depend on the machine")
	case ')':
		p.fault(i, 1, "stray", "begin the comment with (", "a comment ends here that did not begin")
	case '%':
		p.fault(i, 1, "stray", "put % on a line of its own at the start and the end, or leave it out", "%% is on a line with other text, or in the middle of the program")
	default:
		_, n := utf8.DecodeRune(p.line[i:])
		p.fault(i, n, "stray", "take it away, or put it in a comment", "%q begins no word", p.line[i:i+n])
	}
	return false
}
