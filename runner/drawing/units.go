package drawing

import (
	"math"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
)

// unitFound is the unit of a drawing and where it was taken from.
type unitFound struct {
	name string
	mm   float64
	from string
	file bool // the file states one
}

// stated is a unit as the file says it.
type stated struct {
	name  string // "" where the file says none
	mm    float64
	how   string // "$INSUNITS 5", "width=\"210mm\""
	place source.Place
	wrong bool // the file says something that is no unit
}

type lengthUnit struct {
	name string
	mm   float64
}

// insUnits are the values of $INSUNITS from 0 (none) on. Lengths by
// definition: the inch of 1959 (25.4 mm exactly), the astronomical unit (IAU
// 2012 resolution B2), the light year (Julian year times the speed of light),
// the parsec (IAU 2015 resolution B2).
//
// Source: DXF Reference, HEADER section, $INSUNITS.
var insUnits = [...]lengthUnit{
	{"", 0}, {"in", 25.4}, {"ft", 304.8}, {"mi", 1609344}, {"mm", 1}, {"cm", 10}, {"m", 1000}, {"km", 1e6},
	{"microinch", 2.54e-5}, {"mil", 0.0254}, {"yd", 914.4}, {"angstrom", 1e-7}, {"nm", 1e-6}, {"micron", 1e-3},
	{"dm", 100}, {"dam", 1e4}, {"hm", 1e5}, {"Gm", 1e12},
	{"au", 1.495978707e14}, {"light year", 9.4607304725808e18}, {"parsec", 3.0856775814913673e19},
}

// paintersUnits are those that a drawing may well be in, the likeliest first.
var paintersUnits = []lengthUnit{
	{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"pt", 25.4 / 72}, {"px", 25.4 / 96}, {"m", 1000},
}

// LikelyUnits are the units that a drawing may well be in, the likeliest first,
// each as a recipe that overrules the file would say it.
func LikelyUnits() []model.Unit {
	var out []model.Unit
	for _, u := range paintersUnits {
		out = append(out, model.Unit{Name: u.name, MM: u.mm, Override: true})
	}
	return out
}

func sameUnit(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(a, b) }

// settleUnit decides on the unit of the drawing from what the file and the
// recipe say.
func (r *reading) settleUnit(file stated) {
	recipe := r.opt.Unit
	at := recipe.Place
	if !at.Known() {
		at = r.place(0, 0)
	}
	switch {
	case recipe.Name != "" && recipe.Override:
		r.unit = unitFound{name: recipe.Name, mm: recipe.MM, from: "the recipe"}
		if file.name != "" && !sameUnit(file.mm, recipe.MM) {
			r.unit.from = "the recipe, against the file, which says " + file.name + " (" + file.how + ")"
		}
	case file.wrong:
		r.reportAt(problem.UnknownUnit, file.place,
			problem.Advise("set the unit in the drawing, or write it in the recipe: mm, not as the file says"),
			"%s states no known unit", file.how)
		r.unit = unitFound{name: "mm", mm: 1}
		r.sizing = true
	case recipe.Name != "" && file.name == "":
		r.unit = unitFound{name: recipe.Name, mm: recipe.MM, from: "the recipe"}
	case recipe.Name == "" && file.name != "":
		r.unit = unitFound{name: file.name, mm: file.mm, from: "the file (" + file.how + ")"}
	case recipe.Name != "" && sameUnit(recipe.MM, file.mm):
		r.unit = unitFound{name: file.name, mm: file.mm, from: "the file (" + file.how + ") and the recipe"}
	case recipe.Name != "":
		r.reportAt(problem.UnitClash, at,
			problem.Advise("leave the unit out to follow the file, or write: "+recipe.Name+", not as the file says"),
			"the drawing %s says %s (%s), the recipe says %s", r.file.Name, file.name, file.how, recipe.Name)
		if n := len(r.problems); n > 0 && file.place.Known() {
			r.problems[n-1].Related = append(r.problems[n-1].Related, related(file.place, "the file's unit"))
		}
		r.unit = unitFound{name: "mm", mm: 1}
		r.sizing = true
	default:
		r.unit = unitFound{name: "mm", mm: 1}
		r.sizing = true
		r.told[string(problem.NoUnit)] = true
	}
	r.scale = r.unit.mm
	r.unit.file = file.name != "" || file.wrong
}

// reportNoUnit says how large the drawing would be in each unit. It is called
// after a drawing without a unit was measured.
func (r *reading) reportNoUnit(hint string) {
	if !r.told[string(problem.NoUnit)] || r.stopped {
		return
	}
	at := r.opt.Unit.Place
	if !at.Known() {
		at = r.place(0, 0)
	}
	sizes := "it is empty"
	if b := r.bounds; b.Min.X <= b.Max.X {
		w, h := b.Max.X-b.Min.X, b.Max.Y-b.Min.Y
		sizes = "it would measure "
		for i, u := range paintersUnits {
			if i > 0 {
				sizes += ", "
			}
			sizes += Short(w*u.mm) + " x " + Short(h*u.mm) + " mm in " + u.name
		}
	}
	r.reportAt(problem.NoUnit, at, problem.Advise("write the drawing's unit in the recipe: mm, cm, in ..."),
		"neither the drawing %s nor the recipe says its unit: %s%s", r.file.Name, sizes, hint)
}

// Suggestion is what a wrong size says about the unit of a drawing.
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

// SuggestUnit says which mistake a size tells of: ratio is the size as
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
	for _, u := range paintersUnits {
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
	if d.unitInFile {
		return name + ", not as the file says"
	}
	return name
}

// SuggestFit lists the units in which a drawing of width x height mm, as
// read, would fit on a sheet and fill at least a fifth of it along one side.
// It is meant for drawings that do not fit as they are.
func (d *Drawing) SuggestFit(width, height, sheetWidth, sheetHeight float64) []Suggestion {
	var list []Suggestion
	for _, u := range paintersUnits {
		if sameUnit(u.mm, d.UnitMM) || !(d.UnitMM > 0) {
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
