package section

import (
	"strconv"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"golang.org/x/text/unicode/norm"
)

// AnchorPrefix starts every anchor of a notebook's headings, so that none equals
// one of the page itself.
const AnchorPrefix = "text-"

// anchors makes the ids of headings: letters and digits of any script, in lower
// case, with hyphens between the words. It replaces the library's own, which
// keeps only ASCII.
type anchors struct {
	used map[string]bool
	next map[string]int
}

func newAnchors() *anchors { return &anchors{map[string]bool{}, map[string]int{}} }

// Generate makes a new id.
func (a *anchors) Generate(value []byte, _ ast.NodeKind) []byte {
	base := AnchorPrefix + Anchor(string(value))
	id := base
	for a.used[id] {
		a.next[base]++
		id = base + "-" + strconv.Itoa(a.next[base]+1)
	}
	a.used[id] = true
	return []byte(id)
}

// Put marks an id as taken.
func (a *anchors) Put(value []byte) { a.used[string(value)] = true }

// Anchor is the fragment of a link to a heading.
func Anchor(heading string) string {
	var b strings.Builder
	gap := false
	for _, c := range norm.NFC.String(heading) {
		switch {
		case unicode.IsLetter(c), unicode.IsDigit(c), unicode.IsMark(c):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(unicode.ToLower(c))
		case unicode.IsSpace(c), c == '-', c == '_':
			gap = true
		}
	}
	if b.Len() == 0 {
		return "heading"
	}
	return b.String()
}
