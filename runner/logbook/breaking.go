package logbook

import (
	"encoding/xml"
	"strings"
	"unicode/utf8"
)

// Widest part of a formula, in characters, that is shown as MathML across the page on
// a screen, on paper, and on a phone 320 px wide. No browser breaks MathML, so a wider part is
// shown as text, which breaks anywhere.
const (
	widestOnPage   = 88
	widestOnPaper  = 64
	widestOnPhone  = 30
	widestInColumn = 34 // one of two on the page
)

// mathNode is an element of MathML.
type mathNode struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Text    string     `xml:",chardata"`
	Parts   []mathNode `xml:",any"`
}

// breakMath parts a formula into pieces between which a line may break: before
// the operators of its outermost sum or product, and of any row below it that
// has nothing tall which its brackets would have to span. It also gives the
// width of the widest piece in characters, about. A text that is not MathML has
// no pieces.
//
// MathML Core (W3C) lays a formula out on one line.
func breakMath(mathml string) (pieces []string, widest int) {
	var root mathNode
	if mathml == "" || xml.Unmarshal([]byte(mathml), &root) != nil || root.XMLName.Local != "math" {
		return nil, 0
	}
	var piece []mathNode
	end := func() {
		if len(piece) == 0 {
			return
		}
		var b strings.Builder
		width := 0
		b.WriteString("<math>")
		for i := range piece {
			piece[i].write(&b)
			width += piece[i].width()
		}
		b.WriteString("</math>")
		pieces, widest, piece = append(pieces, b.String()), max(widest, width), nil
	}
	for _, n := range flatRow(root.Parts) {
		if n.breaksBefore() && len(piece) > 0 && !piece[len(piece)-1].opens() {
			end()
			n.Attrs = append(n.Attrs, xml.Attr{Name: xml.Name{Local: "form"}, Value: "infix"})
		}
		piece = append(piece, n)
		if n.XMLName.Local == "mo" && n.Text == "," {
			end()
		}
	}
	end()
	return pieces, widest
}

// flatRow returns the elements of a row. Rows inside it that can be divided are
// replaced by their elements.
func flatRow(parts []mathNode) (out []mathNode) {
	for _, n := range parts {
		if n.XMLName.Local == "mrow" && (!n.fenced() || !n.tall()) {
			out = append(out, flatRow(n.Parts)...)
		} else {
			out = append(out, n)
		}
	}
	return out
}

// breaksBefore reports whether a line may break before an element.
func (n *mathNode) breaksBefore() bool {
	return n.XMLName.Local == "mo" && strings.Contains("+−·×=<>≤≥≠", n.Text) && n.Text != ""
}

// opens reports whether an element must stay with what follows it: an operator,
// or an opening bracket.
func (n *mathNode) opens() bool { return n.XMLName.Local == "mo" && n.Text != ")" }

func (n *mathNode) fenced() bool {
	for _, p := range n.Parts {
		if p.XMLName.Local == "mo" && strings.Contains("()|⌊⌋⌈⌉", p.Text) && p.Text != "" {
			return true
		}
	}
	return false
}

// tall reports whether an element is taller than a line of text.
func (n *mathNode) tall() bool {
	switch n.XMLName.Local {
	case "mfrac", "msqrt", "mroot", "mtable":
		return true
	}
	for i := range n.Parts {
		if n.Parts[i].tall() {
			return true
		}
	}
	return false
}

// width is about how many characters of text are as wide as an element.
func (n *mathNode) width() int {
	width := utf8.RuneCountInString(n.Text)
	for i := range n.Parts {
		w := n.Parts[i].width()
		if n.XMLName.Local == "mfrac" {
			width = max(width, w)
		} else {
			width += w
		}
	}
	switch n.XMLName.Local {
	case "mo", "msqrt", "mspace":
		width++
	}
	return width
}

func (n *mathNode) write(b *strings.Builder) {
	b.WriteString("<" + n.XMLName.Local)
	for _, a := range n.Attrs {
		b.WriteString(" " + a.Name.Local + `="`)
		xml.EscapeText(b, []byte(a.Value))
		b.WriteString(`"`)
	}
	b.WriteString(">")
	xml.EscapeText(b, []byte(n.Text))
	for i := range n.Parts {
		n.Parts[i].write(b)
	}
	b.WriteString("</" + n.XMLName.Local + ">")
}
