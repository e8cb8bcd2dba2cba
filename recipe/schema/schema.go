// Package schema is the table of all words that a recipe may use: sections, rows
// and columns, each with what it holds, its default, its limits and the usual
// range in the trade.
//
// Recipes depend on these words: words are added, never renamed.
package schema

import (
	"slices"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// Kind is what a cell holds.
type Kind int8

// The kinds of cell. A cell of any kind but Text, Name, Drawing, Notebook and
// Size may hold a formula in backticks.
const (
	Quantity     Kind = iota // a number with its unit
	Count                    // a whole number
	Choice                   // one of a few words
	Text                     // any words
	Name                     // a name
	Drawing                  // a link to a drawing
	Notebook                 // a link to another notebook, or a name from one
	Ink                      // a colour, an ink's name, or both
	Size                     // a sheet size
	Unit                     // the unit of a drawing
	WidthFormula             // a length, or a formula of the width along a stroke
	Turn                     // quarter turns
)

func (k Kind) String() string {
	return [...]string{"a quantity", "a whole number", "a word", "any words", "a name", "a link to a drawing",
		"a link to a notebook", "an ink", "a sheet size", "a unit", "a length or a formula along the stroke", "quarter turns"}[k]
}

// Bound limits the numbers of a quantity.
type Bound int8

// The bounds.
const (
	Free     Bound = iota // any
	AtLeast0              // 0 or more
	Above0                // more than 0
)

// Field is a row of a section with rows, or a column of a section with columns.
type Field struct {
	Word string
	Kind Kind
	// Unit is the unit of Most, of the usual range and of the values that fixes
	// propose. The cell must have its dimension.
	Unit quantity.Unit
	// Or is a unit of another dimension that the cell may have instead. Limits and
	// formulas are in Unit.
	Or      quantity.Unit
	Bound   Bound
	Least   float64 // the smallest number allowed; 0 for none but Bound
	Most    float64 // the largest number allowed; 0 for no limit
	Choices []string
	// Default is the value of a cell that is not there, as a recipe would write
	// it; "" for none.
	Default string
	// Derived describes the value of a cell that is not there, if it depends on
	// other rows. The recipe computes it; formulas cannot use it.
	Derived string
	// Example is a correct value, for fixes and for the guide; "" for the
	// default.
	Example  string
	Required bool
	// Along reports that a formula of the quantity may use names along a stroke, as
	// that of a feed does.
	Along bool
	// Caliper reports that a reading without ± takes its uncertainty from the
	// step of the caliper.
	Caliper bool
	// PlusMinus reports that the number may be written with ± before it: it is
	// half of a range, or an uncertainty.
	PlusMinus bool
	// Measure says how to measure a value that nobody but the user can know: a
	// fix never writes one. It is "" where a fix may write the sample.
	Measure string
	// UsualLow and UsualHigh bound the usual range in the trade, outside which
	// there is a warning; both 0 for none.
	UsualLow, UsualHigh float64
	Help                string
}

// UnitOf is the field's unit for values of a dimension: Unit, or Or.
func (f *Field) UnitOf(dim quantity.Dim) quantity.Unit {
	if f.Or.Dim() == dim && f.Or != (quantity.Unit{}) {
		return f.Or
	}
	return f.Unit
}

// IsUsual reports whether a number in the field's unit is within the usual range.
// A default of 0 is always usual.
func (f *Field) IsUsual(x float64) bool {
	if f.UsualLow == 0 && f.UsualHigh == 0 {
		return true
	}
	return x >= f.UsualLow && x <= f.UsualHigh || x == 0 && strings.HasPrefix(f.Default, "0 ")
}

// Usual is the usual range as text: "300 to 3000 mm/min"; "" for none.
func (f *Field) Usual() string {
	if f.UsualLow == 0 && f.UsualHigh == 0 {
		return ""
	}
	low, high := quantity.New(f.UsualLow, f.Unit), quantity.New(f.UsualHigh, f.Unit)
	return low.ShortDigits() + " to " + high.String()
}

// Sample is a correct value.
func (f *Field) Sample() string {
	if f.Example != "" {
		return f.Example
	}
	return f.Default
}

// Section is a section with its words. Either Rows or Columns is filled.
type Section struct {
	Word string
	// Named sections may carry a name: "Brush: fine sable".
	Named bool
	// Inert sections are checked and shown; they change no program.
	Inert   bool
	Rows    []Field
	Columns []Field
	Help    string
}

// Fields are the rows or columns.
func (s *Section) Fields() []Field {
	if s.Rows != nil {
		return s.Rows
	}
	return s.Columns
}

// Words lists the words of the section's rows or columns.
func (s *Section) Words() []string {
	var out []string
	for _, f := range s.Fields() {
		out = append(out, f.Word)
	}
	return out
}

// Find returns the field of a word, ignoring case, hyphens and repeated spaces;
// nil where there is none.
func (s *Section) Find(word string) *Field {
	word = tidy(word)
	fields := s.Fields()
	for i := range fields {
		if strings.ReplaceAll(fields[i].Word, "-", " ") == word {
			return &fields[i]
		}
	}
	return nil
}

// Nearest returns the word of the section that was most likely meant: a synonym,
// the only word whose parts all occur ("reach Z axis" means "reach z"), or one
// of similar spelling.
func (s *Section) Nearest(word string) (string, bool) {
	if other, ok := synonyms[tidy(word)]; ok && s.Find(other) != nil {
		return other, true
	}
	if within, ok := s.within(word); ok {
		return within, true
	}
	near, ok := problem.Nearest(word, s.Words())
	asNear := func(other string) bool {
		return other != near && problem.Distance(word, other) == problem.Distance(word, near)
	}
	if ok && slices.ContainsFunc(s.Words(), asNear) {
		return "", false // "reach" may be any of three
	}
	return near, ok
}

// within finds the longest word of two or more parts that all occur in a text.
func (s *Section) within(text string) (string, bool) {
	given := strings.Fields(tidy(text))
	best, parts, several := "", 1, false
	for _, word := range s.Words() {
		fields := strings.Fields(word)
		all := !slices.ContainsFunc(fields, func(part string) bool { return !slices.Contains(given, part) })
		switch {
		case !all || len(fields) < parts || len(fields) == 1:
		case len(fields) == parts:
			several = true
		default:
			best, parts, several = word, len(fields), false
		}
	}
	return best, best != "" && !several
}

// Correction is the fix for a word that the section does not have; none where no
// word is similar.
func (s *Section) Correction(word string) problem.Fix {
	if other, ok := synonyms[tidy(word)]; ok && s.Find(other) != nil {
		return problem.DidYouMean(other)
	}
	fields := strings.Fields(word)
	for n := len(fields) - 1; n > 0; n-- {
		if f := s.Find(strings.Join(fields[:n], " ")); f != nil {
			return problem.DidYouMean(f.Word) // with more words after it
		}
	}
	return problem.Correction(word, s.Words())
}

// synonyms are other words that people use for the words of the table.
var synonyms = map[string]string{
	"format": "size", "paper size": "size", "sheet size": "size", "border": "margin", "margins": "margin", "corner": "lay", "zero": "lay",
	"origin": "lay", "rotation": "turned", "turn": "turned", "max press": "safe press", "maximum press": "safe press", "deepest press": "safe press",
	"depth": "press", "max width": "widest mark", "maximum width": "widest mark", "widest": "widest mark", "colour": "ink", "color": "ink",
	"speed": "feed", "name": "layer", "file": "drawing", "picture": "drawing", "units": "unit", "holes": "inside", "inner": "inside",
	"x offset": "offset x", "y offset": "offset y", "travel x": "reach x", "travel y": "reach y", "travel z": "reach z", "x": "reach x",
	"y": "reach y", "z": "reach z", "clearance": "safe height", "travel height": "safe height", "travel speed": "travel feed",
	"lowering speed": "lowering feed", "plunge": "lowering feed", "flatness": "bed", "calipers": "caliper", "resolution": "caliper", "hairline": "hairlines",
	"strip": "check strip", "precision": "decimals",
}

// sectionSynonyms are words that people use for the words of sections.
var sectionSynonyms = map[string]string{
	"paper": Sheet, "page": Sheet, "marks": Registration, "register": Registration, "registers": Registration, "register marks": Registration,
	"colours": Layers, "colors": Layers, "inks": Layers, "router": Machine, "bench": Machine, "test marks": Swatch,
	"clamp": Clamps, "tape": Clamps, "tapes": Clamps, "clamps and tape": Clamps,
}

// SectionFor gives the word of the section that a heading means in other
// words, "" where there is none.
func SectionFor(heading string) string { return sectionSynonyms[tidy(heading)] }

func tidy(word string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.NewReplacer("-", " ", "_", " ").Replace(word))), " ")
}

// The words of the sections that the program refers to.
const (
	Sheet        = "Sheet"
	Machine      = "Machine"
	Registration = "Registration"
	Clamps       = "Clamps"
	Seating      = "Seating"
	Flatness     = "Flatness"
	Layers       = "Layers"
	Wells        = "Wells"
	Trials       = "Trials"
	Brush        = "Brush"
	Swatch       = "Swatch"
	InkSection   = "Ink"
	Results      = "Results"
)

// Find returns the section of a word, or nil.
func Find(word string) *Section {
	for i := range Sections {
		if Sections[i].Word == word {
			return &Sections[i]
		}
	}
	return nil
}

// Words lists the section words.
func Words() []string {
	var out []string
	for _, s := range Sections {
		out = append(out, s.Word)
	}
	return out
}
