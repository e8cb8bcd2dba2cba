// Package schema is the one table of all words that a recipe may use:
// sections, rows and columns, each with what it holds, its default, its limits
// and what is usual for it in the trade.
//
// The words are the program's surface: words are added, never renamed.
package schema

import (
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// Kind says what a cell holds.
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
	WidthFormula             // a length, or a formula over a stroke
	Turn                     // quarter turns
)

func (k Kind) String() string {
	return [...]string{"a quantity", "a whole number", "a word", "any words", "a name", "a link to a drawing",
		"a link to a notebook", "an ink", "a sheet size", "a unit", "a length or a formula along the stroke", "quarter turns"}[k]
}

// Bound says which numbers a quantity may have.
type Bound int8

// The bounds.
const (
	Free     Bound = iota // any
	AtLeast0              // not negative
	Above0                // more than nothing
)

// Field is a row of a section with two columns, or a column of a section with
// a line for each thing.
type Field struct {
	Word string
	Kind Kind
	// Unit is the unit in which Most and the usual range are given and in
	// which mends are proposed. Its dimension is the one wanted.
	Unit    quantity.Unit
	Bound   Bound
	Most    float64 // the largest number allowed, 0 for no limit
	Choices []string
	// Default is what holds where nothing is stated, as a recipe would state
	// it; "" where there is nothing.
	Default string
	// Example is a right value, for mends and for the guide; the default where
	// it is "".
	Example  string
	Required bool
	// Caliper says that a reading without ± takes its uncertainty from the
	// step of the instrument.
	Caliper bool
	// PlusMinus says that the number may be written with ± before it: it is
	// half of a band, or an uncertainty.
	PlusMinus bool
	// UsualLow and UsualHigh bound what is usual in the trade; both 0 where
	// nothing is. Outside them a recipe is warned.
	UsualLow, UsualHigh float64
	Help                string
}

// IsUsual says whether a number in the entry's unit is what the trade has.
// Nothing is what most rows have that may be 0 mm by default.
func (e *Field) IsUsual(x float64) bool {
	if e.UsualLow == 0 && e.UsualHigh == 0 {
		return true
	}
	return x >= e.UsualLow && x <= e.UsualHigh || x == 0 && strings.HasPrefix(e.Default, "0 ")
}

// Usual tells what is usual: "300 to 3000 mm/min"; "" where nothing is said.
func (e *Field) Usual() string {
	if e.UsualLow == 0 && e.UsualHigh == 0 {
		return ""
	}
	low, high := quantity.New(e.UsualLow, e.Unit), quantity.New(e.UsualHigh, e.Unit)
	return low.ShortDigits() + " to " + high.String()
}

// Sample is a right value.
func (e *Field) Sample() string {
	if e.Example != "" {
		return e.Example
	}
	return e.Default
}

// Section is a section with the words that it knows. Exactly one of Rows and
// Columns is filled.
type Section struct {
	Word string
	// Named sections may carry a name: "Brush: fine sable".
	Named bool
	// Inert sections are read and shown; they change no program.
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
	for _, e := range s.Fields() {
		out = append(out, e.Word)
	}
	return out
}

// Find gives the entry of a word; capitals, hyphens and the number of blanks
// do not count. It answers nil where there is none.
func (s *Section) Find(word string) *Field {
	word = tidy(word)
	fields := s.Fields()
	for i := range fields {
		if fields[i].Word == word {
			return &fields[i]
		}
	}
	return nil
}

// Nearest gives the word of the section that was most likely meant. Where no
// spelling is near, a word that says the same is.
func (s *Section) Nearest(word string) (string, bool) {
	if other, ok := synonyms[tidy(word)]; ok && s.Find(other) != nil {
		return other, true
	}
	return problem.Nearest(word, s.Words())
}

// synonyms are words that people use for the words of the table.
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

func tidy(word string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.NewReplacer("-", " ", "_", " ").Replace(word))), " ")
}

// The words of the sections that are treated each in its own way.
const (
	Sheet        = "Sheet"
	Machine      = "Machine"
	Registration = "Registration"
	Layers       = "Layers"
	Brush        = "Brush"
	Swatch       = "Swatch"
	InkSection   = "Ink"
	Results      = "Results"
)

// Find gives the section of a word, or nil.
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
