// Package working holds a derived number with its working: the formula, the
// formula with the numbers put in, and the result.
package working

import "mahlstick/recipe/source"

// Working is one derived number. All texts are ready to show.
type Working struct {
	// Name is the full name, such as "taper" or "fine_sable.taper".
	Name string
	// Remark is what the author wrote after the formula, or "".
	Remark string
	// Formula, Filled and Result are the three lines as readable text:
	// "half_width / safe_press", "1.2 mm / 5 mm", "0.24".
	Formula, Filled, Result string
	// FormulaMath, FilledMath and ResultMath are the same lines as MathML
	// Core (a <math> element each, already escaped), or "".
	FormulaMath, FilledMath, ResultMath string
	// NameMath is Name as MathML Core, or "".
	NameMath string
	// Needs and UsedBy are the names this one depends on and those that
	// depend on it, sorted.
	Needs, UsedBy []string
	// Given are the numbers that it depends on and that no formula beside it derives.
	Given []Given
	// Place is that of the formula; nowhere for numbers that the program derives
	// itself.
	Place source.Place
}

// Given is a number by its full name, ready to show.
type Given struct{ Name, Value string }
