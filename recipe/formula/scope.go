package formula

import (
	"mahlstick/recipe/brush"
	"mahlstick/recipe/quantity"
)

// Scope holds the names that formulas may use in addition to each other: rows of
// tables, brushes, and names of linked notebooks.
type Scope interface {
	// Lookup returns the value of a folded name, such as
	// "fine_sable.safe_press".
	Lookup(name string) (Value, bool)
	// Names lists all known names, to suggest one for a misspelt name.
	Names() []string
}

// AliasScope is a Scope in which a value may have several names, such as
// "brush.safe_press" and "fine_sable.safe_press".
type AliasScope interface {
	Scope
	// Canonical returns the full form of a name, or the name itself.
	Canonical(name string) string
}

// Values is a simple Scope: folded names and their values.
type Values map[string]Value

// Lookup returns the value of a folded name.
func (v Values) Lookup(name string) (Value, bool) { value, ok := v[name]; return value, ok }

// Names lists the names, in any order.
func (v Values) Names() []string {
	names := make([]string, 0, len(v))
	for name := range v {
		names = append(names, name)
	}
	return names
}

type kind uint8

const (
	unknownKind kind = iota
	quantityKind
	truthKind
	brushKind
)

// Value is a quantity, a yes or no, or a brush. The zero Value is none of them.
type Value struct {
	kind     kind
	truth    bool
	quantity quantity.Quantity
	brush    *Brush
}

// Brush is a brush for the functions width_at and press_for.
type Brush struct {
	Name  string
	Curve *brush.Curve
	// Widths holds the measured widths of Curve.Marks, in the same order, so
	// that a width from the curve remembers its readings. Without them each mark
	// counts as a reading with the mark's uncertainty.
	Widths []quantity.Quantity
}

// OfQuantity is a value that is a quantity.
func OfQuantity(q quantity.Quantity) Value { return Value{kind: quantityKind, quantity: q} }

// OfTruth is a value that is a yes or no.
func OfTruth(truth bool) Value { return Value{kind: truthKind, truth: truth} }

// OfBrush is a value that is a brush, the first argument of width_at and
// press_for.
func OfBrush(b *Brush) Value { return Value{kind: brushKind, brush: b} }

// Quantity is the value as a quantity; false if it is not one.
func (v Value) Quantity() (quantity.Quantity, bool) { return v.quantity, v.kind == quantityKind }

// Truth is the value as a yes or no; known is false if it is not one.
func (v Value) Truth() (truth, known bool) { return v.truth, v.kind == truthKind }

// Brush is the value as a brush; false if it is not one.
func (v Value) Brush() (*Brush, bool) { return v.brush, v.kind == brushKind }

// String is the value as it is printed: "14.28 ± 0.55°", "yes".
func (v Value) String() string {
	switch v.kind {
	case quantityKind:
		return v.quantity.String()
	case truthKind:
		if v.truth {
			return "yes"
		}
		return "no"
	case brushKind:
		return v.brush.Name
	}
	return ""
}

// shape is the kind and dimension of a value before it is evaluated.
type shape struct {
	kind kind
	dim  quantity.Dim
}

func (v Value) shape() shape { return shape{v.kind, v.quantity.Dim()} }

func numberShape() shape                   { return shape{quantityKind, quantity.Pure} }
func quantityShape(dim quantity.Dim) shape { return shape{quantityKind, dim} }
func truthShape() shape                    { return shape{kind: truthKind} }
func (s shape) known() bool                { return s.kind != unknownKind }
func (s shape) isQuantity() bool           { return s.kind == quantityKind }

// withArticle is the shape's name with its article: "a length", "a yes or no".
func (s shape) withArticle() string {
	switch s.kind {
	case quantityKind:
		return s.dim.WithArticle()
	case truthKind:
		return "a yes or no"
	case brushKind:
		return "a brush"
	}
	return "nothing"
}
