package proof

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// block is what stands on one line, sorted by what it is. Nothing may stand
// twice, so one place for each letter and each modal group is enough.
type block struct {
	has   [26]bool
	value [26]float64
	at    [26]int16      // byte of the line where the word begins
	g     [gGroups]int16 // tenths of the G word of each modal group plus 1, 0 for none
	gAt   [gGroups]int16
	m     [mGroups]int16 // number of the M word of each modal group plus 1
	mAt   [mGroups]int16
	ms    int  // M words
	rare  bool // a letter other than G, M, X, Y, Z and F stands on it
}

func (b *block) word(letter byte) (float64, bool) {
	return b.value[letter-'A'], b.has[letter-'A']
}

// scan takes the line apart; false where something on it is at fault.
func (r *reader) scan() bool {
	r.b = block{}
	ok, first := true, true
	if n := utf8.RuneCount(r.line); n > MaxLine {
		r.fault(0, 0, "long-line", fmt.Sprintf("break the line, at most %d characters", MaxLine),
			"the line has %d characters, a machine reads at most %d", n, MaxLine)
		return false
	}
	for i := blanks(r.line, 0); i < len(r.line); i = blanks(r.line, i) {
		c := r.line[i]
		if 'a' <= c && c <= 'z' {
			c -= 'a' - 'A'
		}
		var good bool
		switch {
		case c == '(':
			i, good = r.comment(i)
		case c == '/' && first:
			r.fault(i, 1, "block-delete", "take the / away, or the line",
				"whether a line with / is obeyed depends on a switch of the machine")
			i, ok = i+1, false
			continue // a line number may follow
		case c == 'N' && first:
			i, good = r.lineNumber(i)
		case 'A' <= c && c <= 'Z':
			i, good = r.word(i, c)
		default:
			good = r.stray(i, c)
		}
		if !good {
			return false
		}
		first = false
	}
	return ok
}

// blanks is the next place at or after i that is neither space nor tab.
func blanks(line []byte, i int) int {
	for i < len(line) && (line[i] == ' ' || line[i] == '\t') {
		i++
	}
	return i
}

// comment reads ( ... ) and returns what follows it. Section 3.3.4.
func (r *reader) comment(start int) (int, bool) {
	for i := start + 1; i < len(r.line); i++ {
		switch c := r.line[i]; {
		case c == ')':
			text := string(r.line[start+1 : i])
			start4 := strings.TrimLeft(text, " \t")
			message := len(start4) >= 4 && strings.EqualFold(start4[:4], "MSG,")
			if len(r.path.Comments) == MaxNotes {
				r.fault(start, 1, "too-much", "leave comments out", "the program has more than %d comments", MaxNotes)
				r.stop = true
				return i, false
			}
			r.path.Comments = append(r.path.Comments, Comment{Text: text, Message: message, Line: r.path.Lines, Column: r.column(start)})
			return i + 1, true
		case c == '(':
			r.fault(i, 1, "nested-comment", "write [ ] or nothing in the place of the inner brackets", "a comment within a comment")
			return i, false
		case c != '\t' && (c < ' ' || c > '~'):
			_, n := utf8.DecodeRune(r.line[i:])
			r.fault(i, n, "not-ascii", "write it in plain letters; controllers stop at others",
				"the comment holds %q, which is not a printable ASCII character", r.line[i:i+n])
			return i, false
		}
	}
	r.fault(start, len(r.line)-start, "open-comment", "close it with ) on the same line", "the comment is not closed on its line")
	return start, false
}

// lineNumber reads N and up to five digits. Section 3.3.1.
func (r *reader) lineNumber(start int) (int, bool) {
	digits, i := 0, blanks(r.line, start+1)
	for i < len(r.line) && '0' <= r.line[i] && r.line[i] <= '9' {
		digits++
		i = blanks(r.line, i+1)
	}
	if digits == 0 || digits > 5 || (i < len(r.line) && (r.line[i] == '.' || r.line[i] == '-' || r.line[i] == '+')) {
		r.fault(start, i-start, "line-number", "write N and at most five digits, or no number", "a line number is N with one to five digits and nothing else")
		return i, false
	}
	return i, true
}

// word reads a letter and its number and puts it in its place.
func (r *reader) word(start int, letter byte) (int, bool) {
	switch letter {
	case 'E':
		r.fault(start, 1, "exponent", "write the number out, such as 0.00001",
			"E is no word and numbers have no exponent")
		return start, false
	case 'N':
		r.fault(start, 1, "line-number", "put the line number at the start of the line", "a line number stands within the line")
		return start, false
	case 'O', 'U', 'V', 'W':
		r.fault(start, 1, "unknown-word", "take the word away", "%c is not a letter that begins a word", letter)
		return start, false
	}
	value, end, ok := r.number(start, letter)
	if !ok {
		return end, false
	}
	b := &r.b
	switch letter {
	case 'G':
		return end, r.gWord(start, end, value)
	case 'M':
		return end, r.mWord(start, end, value)
	case 'X', 'Y', 'Z', 'F':
	default:
		b.rare = true
	}
	k := letter - 'A'
	if b.has[k] {
		r.fault(start, end-start, "twice", "keep one of the two", "%c stands twice on the line", letter)
		return end, false
	}
	b.has[k], b.value[k], b.at[k] = true, value, int16(start)
	return end, true
}

var tens = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// number reads the number after the letter at start: sign, digits, one point,
// digits, at least one digit, with blanks anywhere. Section 3.3.2.1.
func (r *reader) number(start int, letter byte) (value float64, end int, ok bool) {
	line := r.line
	i := blanks(line, start+1)
	if i < len(line) && (line[i] == '#' || line[i] == '[') {
		r.fault(i, 1, "parameter", "write the number itself", "parameters and formulas are not followed here: what they give depends on the machine")
		return 0, i, false
	}
	negative := false
	if i < len(line) && (line[i] == '-' || line[i] == '+') {
		negative = line[i] == '-'
		i = blanks(line, i+1)
	}
	var whole uint64
	digits, significant, decimals := 0, 0, 0
	point := false
	for ; i < len(line); i = blanks(line, i+1) {
		c := line[i]
		if '0' <= c && c <= '9' {
			digits++
			if whole > 0 || c != '0' {
				significant++
			}
			if significant <= 15 {
				whole = 10*whole + uint64(c-'0')
			}
			if point {
				decimals++
			}
			continue
		}
		if c != '.' || point {
			break
		}
		point = true
	}
	switch {
	case i < len(line) && line[i] == '.':
		r.fault(start, i+1-start, "number", "keep one decimal point", "the number after %c has two decimal points", letter)
		return 0, i, false
	case i < len(line) && line[i] == ',':
		r.fault(start, i+1-start, "number", "write a decimal point: "+strings.ReplaceAll(string(line[start:min(i+3, len(line))]), ",", "."),
			"the number after %c has a comma", letter)
		return 0, i, false
	case digits == 0:
		r.fault(start, max(i-start, 1), "number", "write a number after the letter, such as "+string(letter)+"0", "no number follows %c", letter)
		return 0, i, false
	case significant <= 15 && decimals < len(tens):
		// Both are exact in binary, so the quotient is the nearest number.
		value = float64(whole) / tens[decimals]
		if negative {
			value = -value
		}
	default:
		text := bytes.Map(func(c rune) rune {
			if c == ' ' || c == '\t' {
				return -1
			}
			return c
		}, line[start+1:i])
		v, err := strconv.ParseFloat(string(text), 64)
		if err != nil {
			r.fault(start, i-start, "number", "write a shorter number", "the number after %c is out of all bounds", letter)
			return 0, i, false
		}
		value = v
	}
	if value == 0 {
		value = 0 // no minus before nothing
	}
	return value, i, true
}

// stray tells of a character that begins nothing.
func (r *reader) stray(i int, c byte) bool {
	switch c {
	case ';':
		r.fault(i, len(r.line)-i, "stray", "write the remark between ( and )", "; begins no comment in this language")
	case '#':
		r.fault(i, 1, "parameter", "write the numbers themselves", "parameters are not followed here: what they give depends on the machine")
	case ')':
		r.fault(i, 1, "stray", "open the comment with (", "a comment ends here that did not begin")
	case '%':
		r.fault(i, 1, "stray", "put % on a line of its own at the start and the end, or leave it out", "%% stands among other things or in the middle")
	default:
		_, n := utf8.DecodeRune(r.line[i:])
		r.fault(i, n, "stray", "take it away, or put it in a comment", "%q begins no word", r.line[i:i+n])
	}
	return false
}

// column is the place of byte i of the line in characters from 1.
func (r *reader) column(i int) int { return utf8.RuneCount(r.line[:i]) + 1 }

// fault tells of n bytes of the line from byte i on.
func (r *reader) fault(i, n int, code, mend, format string, args ...any) {
	text := r.line[min(i, len(r.line)):min(i+n, len(r.line))]
	if len(text) > 40 {
		text = text[:40]
	}
	r.path.Faults = append(r.path.Faults, Fault{
		File: r.path.Name, Line: r.path.Lines, Column: r.column(min(i, len(r.line))), Code: code,
		Text: strings.ToValidUTF8(string(text), "?"), Message: fmt.Sprintf(format, args...), Mend: mend,
	})
	if len(r.path.Faults) == MaxFaults {
		r.stop = true
	}
}

// plain writes a number as short as it goes, without an exponent.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
