package dxf

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// codePages holds the encodings by the number in $DWGCODEPAGE.
var codePages = map[string]encoding.Encoding{
	"874": charmap.Windows874, "1250": charmap.Windows1250, "1251": charmap.Windows1251,
	"1252": charmap.Windows1252, "1253": charmap.Windows1253, "1254": charmap.Windows1254,
	"1255": charmap.Windows1255, "1256": charmap.Windows1256, "1257": charmap.Windows1257,
	"1258": charmap.Windows1258,
	"437":  charmap.CodePage437, "850": charmap.CodePage850, "852": charmap.CodePage852,
	"855": charmap.CodePage855, "860": charmap.CodePage860, "863": charmap.CodePage863,
	"865": charmap.CodePage865, "866": charmap.CodePage866,
	"932": japanese.ShiftJIS, "936": simplifiedchinese.GBK,
	"949": korean.EUCKR, "950": traditionalchinese.Big5,
}

// names turns the bytes of names in a DXF file into text.
type names struct {
	utf8 bool
	page encoding.Encoding
	wide bool // the code page has characters of two bytes
}

// setPage takes the code page that the header names.
func (n *names) setPage(word string) {
	word = strings.ToUpper(strings.TrimSpace(word))
	i := strings.IndexAny(word, "0123456789")
	if i < 0 {
		return
	}
	if page, ok := codePages[word[i:]]; ok {
		n.page = page
		n.wide = page == japanese.ShiftJIS || page == simplifiedchinese.GBK ||
			page == korean.EUCKR || page == traditionalchinese.Big5
	}
}

// text decodes a name and the escapes in it.
func (n *names) text(raw []byte) string {
	ascii := true
	for _, b := range raw {
		ascii = ascii && b < 0x80
	}
	s := string(raw)
	if !ascii && !n.utf8 {
		// Text in a code page of single bytes is hardly ever valid UTF-8 by
		// chance, while some programs write UTF-8 whatever their header says.
		if n.wide || !utf8.Valid(raw) {
			page := n.page
			if page == nil {
				page = charmap.Windows1252
			}
			if t, err := page.NewDecoder().Bytes(raw); err == nil {
				s = string(t)
			}
		}
	}
	s = strings.ToValidUTF8(s, "\uFFFD")
	if strings.Contains(s, `\U+`) || strings.Contains(s, `\u+`) {
		s = unescape(s)
	}
	return s
}

// unescape replaces each \U+xxxx by its character.
func unescape(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		if s[i] == '\\' && i+7 <= len(s) && (s[i+1] == 'U' || s[i+1] == 'u') && s[i+2] == '+' {
			if r, ok := hex4(s[i+3 : i+7]); ok {
				b.WriteRune(r)
				i += 7
				continue
			}
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

func hex4(s string) (rune, bool) {
	var r rune
	for i := 0; i < 4; i++ {
		d := bytes.IndexByte([]byte("0123456789abcdef"), s[i]|0x20)
		if d < 0 {
			return 0, false
		}
		r = r<<4 | rune(d)
	}
	return r, r < 0xD800 || r > 0xDFFF
}
