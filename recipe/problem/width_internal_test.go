package problem

import (
	"testing"
	"unicode"

	"golang.org/x/text/width"
)

func TestColumns(t *testing.T) {
	for text, want := range map[string]int{
		"": 0, "reeds": 5, "größe": 5, "gro\u0308ße": 5, "筆": 2, "筆と紙": 6, "ｱ": 1, "Ａ": 2, "한": 2, "\u1112\u1161\u11ab": 2,
		"a\u200bb": 2, "\uFFFD": 1, "2.0 mm²": 7, "👩‍🎨": 2, "🖌️": 2, "🇨🇭": 2, "e\u0301\u0323": 1, "…": 1, "°": 1, "⌀": 1,
	} {
		if got := columns(text); got != want {
			t.Errorf("%q is %d columns wide, want %d", text, got, want)
		}
	}
	// The library gives tabs no width and keeps no trace of them.
	if got := blanks("a\t筆\tgro\u0308"); got != " \t  \t   " {
		t.Errorf("blanks: %q", got)
	}
}

// Every letter by itself is as wide as the table of the Unicode Standard's
// Annex 11 says, in the reading of another library.
func TestColumnsOfLetters(t *testing.T) {
	n := 0
	for r := rune(0x20); r <= 0x3FFFF; r++ {
		if !unicode.In(r, unicode.Lo, unicode.Lu, unicode.Ll, unicode.Nd) || r >= 0x1160 && r <= 0x11FF || r >= 0xD7B0 && r <= 0xD7FF {
			continue // the second and third letters of a Korean syllable sit on the first
		}
		want := 1
		switch width.LookupRune(r).Kind() {
		case width.EastAsianWide, width.EastAsianFullwidth:
			want = 2
		}
		n++
		if got := columns(string(r)); got != want {
			t.Errorf("%U %c is %d columns wide, want %d", r, r, got, want)
		}
	}
	if n < 100_000 {
		t.Errorf("only %d letters", n)
	}
}
