package calibrate

import (
	"regexp"
	"slices"
	"strings"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/source"
)

// Named is a paper or an ink as a cell names it: by words, by a link, or both.
type Named struct {
	Text string
	File string // of the notebook that is linked, "" for none
}

var colourOf = regexp.MustCompile(`#[0-9A-Fa-f]{6}\b`)

// Differs reports whether two names are of different things, as far as they tell: two
// links by where they lead, words by themselves, without the colour after a name.
func (n Named) Differs(other Named) bool {
	if n.Text == "" || other.Text == "" {
		return false
	}
	if n.File != "" && other.File != "" {
		return n.File != other.File
	}
	a, b := colourOf.ReplaceAllString(n.Text, ""), colourOf.ReplaceAllString(other.Text, "")
	if strings.TrimSpace(a) == "" || strings.TrimSpace(b) == "" { // a colour alone has no name
		a, b = colourOf.FindString(n.Text), colourOf.FindString(other.Text)
		return a != "" && b != "" && !strings.EqualFold(a, b)
	}
	return formula.Fold(a) != formula.Fold(b)
}

// Painted is with what a sheet was painted whose readings count.
type Painted struct {
	Sheet string // its recipe
	Paper Named  // empty where it is not stated
	Inks  []Named
	Place source.Place // of its readings
}

// OtherPaper is the first sheet that is of another paper, or nil.
func (r *Result) OtherPaper(paper Named) *Painted {
	for i := range r.Painted {
		if r.Painted[i].Paper.Differs(paper) {
			return &r.Painted[i]
		}
	}
	return nil
}

// OtherInk is the first sheet that was painted in other inks alone, or nil.
func (r *Result) OtherInk(ink Named) *Painted {
	for i := range r.Painted {
		p := &r.Painted[i]
		if len(p.Inks) > 0 && !slices.ContainsFunc(p.Inks, func(n Named) bool { return !n.Differs(ink) }) {
			return p
		}
	}
	return nil
}

func differ(a, b []Named) bool {
	return len(a) != len(b) || slices.ContainsFunc(a, func(n Named) bool {
		return !slices.ContainsFunc(b, func(m Named) bool { return !n.Differs(m) })
	})
}

// Words are the names of its inks.
func (p *Painted) Words() []string { return texts(p.Inks) }

// texts are the words of names.
func texts(names []Named) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = n.Text
	}
	return out
}
