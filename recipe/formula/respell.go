package formula

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"mahlstick/recipe/problem"
)

// respelling maps signs that people write to those of the expression library.
var respelling = map[rune]string{
	'−': "-", '×': "*", '·': "*", '⋅': "*", '∙': "*", '÷': "/", '∕': "/", '⁄': "/",
	'≤': "<=", '≥': ">=", '≠': "!=",
}

const raised = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// respell writes a formula in the characters of the expression library.
// offsets maps its characters, and its end, to the bytes of the formula; it is
// nil where nothing changes. bad is the byte offset of a character that is not
// allowed in a formula, -1 where there is none.
func respell(text string) (out string, offsets []int, bad int) {
	plain := true
	for i := 0; i < len(text) && plain; i++ {
		plain = asciiAllowed(text[i])
	}
	if plain {
		return text, nil, -1
	}
	var b strings.Builder
	b.Grow(len(text))
	offsets = make([]int, 0, len(text)+1)
	put := func(s string, at int) {
		for range s {
			offsets = append(offsets, at)
		}
		b.WriteString(s)
	}
	power := false
	for i, r := range text {
		d := -1
		if r > unicode.MaxASCII {
			d = strings.IndexRune(raised, r)
		}
		if d >= 0 {
			if !power {
				put("^", i)
			}
			put(string(rune('0'+utf8.RuneCountInString(raised[:d]))), i)
			power = true
			continue
		}
		if r == '⁻' && !power && strings.IndexAny(text[i+len("⁻"):], raised) == 0 {
			put("^-", i)
			power = true
			continue
		}
		power = false
		switch {
		case r < utf8.RuneSelf:
			if !asciiAllowed(byte(r)) {
				return "", nil, i
			}
			offsets = append(offsets, i)
			b.WriteByte(byte(r))
		case respelling[r] != "":
			put(respelling[r], i)
		case unicode.IsLetter(r):
			put(string(r), i)
		case unicode.IsMark(r):
			// The library takes letters only; the name is cut from the text.
			put("x", i)
		case unicode.IsSpace(r):
			put(" ", i)
		default:
			return "", nil, i
		}
	}
	return b.String(), append(offsets, len(text)), -1
}

// plainDigits writes raised digits as plain ones.
func plainDigits(text string) string {
	return strings.Map(func(r rune) rune {
		if i := strings.IndexRune(raised, r); i >= 0 {
			return rune('0' + utf8.RuneCountInString(raised[:i]))
		}
		return r
	}, text)
}

// ascii are the characters that a formula may have, or that are refused later
// with a better message.
var ascii = func() (allowed [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 \t_.,+-*/^()<>=!&|?:;%#[]{}") {
		allowed[c] = true
	}
	return allowed
}()

func asciiAllowed(c byte) bool { return ascii[c] }

// characterAdvice is the fix for characters that people write but formulas do
// not take.
var characterAdvice = map[rune]problem.Fix{
	'°': problem.Advise("write *deg, as in 14.3*deg"), '√': problem.Advise("write sqrt( )"), '½': problem.Advise("write 1/2"), '¼': problem.Advise("write 1/4"), '¾': problem.Advise("write 3/4"),
	'"': problem.Advise("write *inch, as in 8.5*inch"), '\'': problem.Advise("remove it"), '`': problem.Advise("remove it"),
	'″': problem.Advise("write *inch, as in 8.5*inch"), '%': problem.Advise("write *percent, as in 15*percent"), '@': problem.Advise("remove it"), '$': problem.Advise("remove it"),
	'\\': problem.Advise("remove it"), '\n': problem.Advise("write the formula on one line"), '\r': problem.Advise("write the formula on one line"),
}
