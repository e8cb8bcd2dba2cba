package program

import "strings"

const (
	// maxLine is the greatest number of characters in a line where nothing is
	// stated; 256 are allowed.
	maxLine = 80
	// leastLine is how short comments can be broken.
	leastLine = 16
)

// comment writes text as comments, one a line. A comment ends on its line and
// has no parentheses inside (NISTIR 6556, 3.3.4). Letters are written in ASCII,
// and signs that some controllers act on even inside a comment are dropped.
func (w *writer) comment(text string) {
	if w.text.HeadOnly && !w.head {
		return
	}
	room := max(longest(w), leastLine) - 2
	line := ""
	for _, word := range strings.Fields(plain(text)) {
		for {
			gap := ""
			if line != "" && line != "- " {
				gap = " "
			}
			if len(line)+len(gap)+len(word) <= room {
				line += gap + word
				break
			}
			if gap != "" {
				w.line("(" + line + ")")
				line = "- " // so that no line of the text begins like a message to the controller
				continue
			}
			// Split a word that is longer than a line.
			cut := room - len(line)
			w.line("(" + line + word[:cut] + ")")
			line, word = "- ", word[cut:]
		}
	}
	if line != "" && line != "- " {
		w.line("(" + line + ")")
	}
}

// plain spells text with letters, digits and harmless signs of ASCII.
func plain(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', strings.ContainsRune(" .,:+-/'=#_*&", r):
			b.WriteRune(r)
		case r == '%':
			b.WriteString(" percent")
		case r == ';':
			b.WriteByte(',')
		case r == '\\' || r == '|':
			b.WriteByte('/')
		case r < 128: // brackets, control characters, signs that controllers act on
			b.WriteByte(' ')
		default:
			b.WriteString(spell(r))
		}
	}
	return b.String()
}

// spellings are the usual ASCII spellings of other characters. Read only.
var spellings = func() map[rune]string {
	m := make(map[rune]string)
	for _, s := range []string{
		"a àáâãāăą", "ae äæ", "aa å", "c çćĉċč", "d ďđð", "e èéêëēĕėęě", "g ĝğġģ", "h ĥħ", "i ìíîïĩīĭįı", "j ĵ", "k ķ",
		"l ĺļľŀł", "n ñńņňŋ", "o òóôõōŏő", "oe öøœ", "r ŕŗř", "s śŝşšș", "ss ß", "t ţťŧț", "th þ", "u ùúûũūŭůűų", "ue ü",
		"w ŵ", "y ýÿŷ", "z źżž",
		"A ÀÁÂÃĀĂĄ", "Ae ÄÆ", "Aa Å", "C ÇĆĈĊČ", "D ĎĐÐ", "E ÈÉÊËĒĔĖĘĚ", "G ĜĞĠĢ", "H ĤĦ", "I ÌÍÎÏĨĪĬĮİ", "J Ĵ", "K Ķ",
		"L ĹĻĽĿŁ", "N ÑŃŅŇŊ", "O ÒÓÔÕŌŎŐ", "Oe ÖØŒ", "R ŔŖŘ", "S ŚŜŞŠȘ", "SS ẞ", "T ŢŤŦȚ", "Th Þ", "U ÙÚÛŨŪŬŮŰŲ", "Ue Ü",
		"W Ŵ", "Y ÝŸŶ", "Z ŹŻŽ",
		"- ‐‑‒–—−", "' ‘’‚‹›", "+- ±", "x ×", "... …", "u µμ", "2 ²", "3 ³", ". ·•",
	} {
		ascii, letters, _ := strings.Cut(s, " ")
		for _, r := range letters {
			m[r] = ascii
		}
	}
	return m
}()

// spell spells a character that is not ASCII in ASCII: an underscore if there
// is no usual spelling.
func spell(r rune) string {
	if s, ok := spellings[r]; ok {
		return s
	}
	switch r {
	case 0x300, 0x301, 0x302, 0x303, 0x304, 0x306, 0x307, 0x308, 0x30a, 0x30b, 0x30c, 0x327, 0x328, 0xad, 0x200b, 0xfeff:
		return "" // combining accents and invisible characters
	case 0xa0, 0x2009, 0x202f, 0x3000, '«', '»', '“', '”', '„':
		return " "
	}
	return "_"
}
