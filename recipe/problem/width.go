package problem

import (
	"strings"

	"github.com/rivo/uniseg"
)

// columns is the width of a text without tabs on a terminal: two columns for a
// wide character (Unicode Standard Annex 11), one for a character with the
// marks on it (Annex 29).
//
// This is the only use of the library, which gives a tab no width.
func columns(s string) int { return uniseg.StringWidth(s) }

// blanks is as wide as s on a terminal, with its tabs.
func blanks(s string) string {
	parts := strings.Split(s, "\t")
	for i, p := range parts {
		parts[i] = strings.Repeat(" ", columns(p))
	}
	return strings.Join(parts, "\t")
}
