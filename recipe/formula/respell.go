package formula

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"mahlstick/recipe/problem"
)

// respelling maps characters that people write to those of the expression library.
var respelling = map[rune]string{
	'−': "-", '×': "*", '·': "*", '⋅': "*", '∙': "*", '÷': "/", '∕': "/", '⁄': "/",
	'≤': "<=", '≥': ">=", '≠': "!=",
}

const superscriptDigits = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// respell writes a formula in the characters of the expression library. offsets
// maps the characters of out, and its end, to bytes of the formula; it is nil if
// nothing changes. bad is the offset in bytes of a character that is not allowed,
// or -1.
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
			d = strings.IndexRune(superscriptDigits, r)
		}
		if d >= 0 {
			if !power {
				put("^", i)
			}
			put(string(rune('0'+utf8.RuneCountInString(superscriptDigits[:d]))), i)
			power = true
			continue
		}
		if r == '⁻' && !power && strings.IndexAny(text[i+len("⁻"):], superscriptDigits) == 0 {
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
			// The library accepts only letters; the name itself is taken from the text.
			put("x", i)
		case unicode.IsSpace(r):
			put(" ", i)
		default:
			return "", nil, i
		}
	}
	return b.String(), append(offsets, len(text)), -1
}

// plainDigits replaces superscript digits by plain ones.
func plainDigits(text string) string {
	return strings.Map(func(r rune) rune {
		if i := strings.IndexRune(superscriptDigits, r); i >= 0 {
			return rune('0' + utf8.RuneCountInString(superscriptDigits[:i]))
		}
		return r
	}, text)
}

// allowedASCII holds the characters that a formula may have, or that are refused
// later with a better message.
var allowedASCII = func() (allowed [256]bool) {
	for _, c := range []byte("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 \t_.,+-*/^()<>=!&|?:;%#[]{}") {
		allowed[c] = true
	}
	return allowed
}()

func asciiAllowed(c byte) bool { return allowedASCII[c] }

// characterAdvice holds the fixes for characters that people write and formulas do
// not accept.
var characterAdvice = map[rune]problem.Fix{
	'°': problem.Advise("write *deg, as in 14.3*deg"), '√': problem.Advise("write sqrt( )"), '½': problem.Advise("write 1/2"), '¼': problem.Advise("write 1/4"), '¾': problem.Advise("write 3/4"),
	'"': problem.Advise("write *inch, as in 8.5*inch"), '\'': problem.Advise("remove it"), '`': problem.Advise("remove it"),
	'″': problem.Advise("write *inch, as in 8.5*inch"), '%': problem.Advise("write *percent, as in 15*percent"), '@': problem.Advise("remove it"), '$': problem.Advise("remove it"),
	'\\': problem.Advise("remove it"), '\n': problem.Advise("write the formula on one line"), '\r': problem.Advise("write the formula on one line"),
}
