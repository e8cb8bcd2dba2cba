package drawing

import (
	"math"

	"mahlstick/recipe/model"
)

type lengthUnit struct {
	name string
	mm   float64
}

// likelyUnits are those that a drawing may well be in, the likeliest first.
var likelyUnits = []lengthUnit{
	{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"pt", 25.4 / 72}, {"px", 25.4 / 96}, {"m", 1000},
}

// LikelyUnits are the units that a drawing may well be in, the likeliest first,
// each as a recipe that overrules the file would say it.
func LikelyUnits() []model.Unit {
	var out []model.Unit
	for _, u := range likelyUnits {
		out = append(out, model.Unit{Name: u.name, MM: u.mm, Override: true})
	}
	return out
}

// SameUnit compares the lengths of two units.
func SameUnit(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(a, b) }

// Suggestion is what a wrong size suggests about the unit of a drawing.
type Suggestion struct {
	// Factor is the mistake in words: "2.54 times too large".
	Factor string
	// Unit is the unit in which the size would be right, "" where no unit of
	// drawings explains it.
	Unit string
	// Write is the line to write in the recipe's column unit, or "".
	Write string
}

// Ratios of mistaken units, and the words for them.
var mistakes = []struct {
	ratio float64
	words string
}{
	{2.54, "2.54"}, {72 / 25.4, "72/25.4 (2.83)"}, {96 / 25.4, "96/25.4 (3.78)"}, {10, "10"}, {25.4, "25.4"},
}

// SuggestUnit says which mistake explains a size: ratio is the size as
// measured in the drawing over the size that it should have. It answers false
// where the ratio is near no known mistake (within 2%).
//
// The mistakes: 10, 2.54 and 25.4 between mm, cm and inch; 72/25.4 and
// 96/25.4 between mm and the point of 1/72 and of 1/96 inch (CSS Values and
// Units 4, absolute lengths); and their inverses.
func (d *Drawing) SuggestUnit(ratio float64) (Suggestion, bool) {
	if !(ratio > 0) || math.IsInf(ratio, 0) || near(ratio, 1) {
		return Suggestion{}, false
	}
	s := Suggestion{}
	for _, u := range likelyUnits {
		if near(ratio, d.UnitMM/u.mm) {
			s.Unit, s.Write = u.name, d.WriteUnit(u.name)
			break
		}
	}
	for _, m := range mistakes {
		switch {
		case near(ratio, m.ratio):
			s.Factor = m.words + " times too large"
		case near(1/ratio, m.ratio):
			s.Factor = m.words + " times too small"
		}
	}
	if s.Factor == "" && s.Unit != "" {
		if s.Factor = Short(ratio) + " times too large"; ratio < 1 {
			s.Factor = Short(1/ratio) + " times too small"
		}
	}
	return s, s.Factor != ""
}

func near(a, b float64) bool { return math.Abs(a-b) <= 0.02*b }

// WriteUnit is what the recipe has to say to make the drawing's unit name.
func (d *Drawing) WriteUnit(name string) string {
	if d.UnitInFile {
		return name + ", not as the file says"
	}
	return name
}

// SuggestFit lists the units in which a drawing of width x height mm, as
// read, would fit on a sheet and fill at least a fifth of it along one side.
// It is meant for drawings that do not fit as they are.
func (d *Drawing) SuggestFit(width, height, sheetWidth, sheetHeight float64) []Suggestion {
	var list []Suggestion
	for _, u := range likelyUnits {
		if SameUnit(u.mm, d.UnitMM) || !(d.UnitMM > 0) {
			continue
		}
		w, h := float64(width*(u.mm/d.UnitMM)), float64(height*(u.mm/d.UnitMM))
		if w <= sheetWidth && h <= sheetHeight && (w >= sheetWidth/5 || h >= sheetHeight/5) {
			s := Suggestion{Unit: u.name, Write: d.WriteUnit(u.name)}
			if s.Factor = Short(d.UnitMM/u.mm) + " times too large"; u.mm > d.UnitMM {
				s.Factor = Short(u.mm/d.UnitMM) + " times too small"
			}
			list = append(list, s)
		}
	}
	return list
}
