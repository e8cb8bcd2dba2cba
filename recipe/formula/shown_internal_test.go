package formula

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// drawnTree draws a formula with brackets round every part, so that the tree is
// known whatever the precedence.
func drawnTree(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"a", "b", "c_tip", "2", "3", "0.5", "pi", "theta"}).Draw(t, "leaf")
	}
	part := func() string { return drawnTree(t, rapid.IntRange(0, depth-1).Draw(t, "depth")) }
	switch form := rapid.IntRange(0, 11).Draw(t, "form"); form {
	case 0, 1, 2, 3, 4:
		return "(" + part() + ")" + []string{"+", "-", "*", "/", "*"}[form] + "(" + part() + ")"
	case 5, 10, 11:
		return "(" + part() + ")^(" + rapid.SampledFrom([]string{"2", "3", "-1", "-2"}).Draw(t, "power") + ")"
	case 6:
		return "-(" + part() + ")"
	case 7:
		return rapid.SampledFrom([]string{"abs", "sqrt", "floor", "round"}).Draw(t, "function") + "(abs(" + part() + "))"
	case 8:
		return "hypot(" + part() + ", " + part() + ")"
	}
	compare := rapid.SampledFrom([]string{"<", "<=", ">", ">=", "==", "!="}).Draw(t, "sign")
	join := rapid.SampledFrom([]string{"and", "or"}).Draw(t, "join")
	return "((not ((" + part() + ") " + compare + " (" + part() + "))) " + join + " (" + part() + " < " + part() + ")) ? (" + part() + ") : (" + part() + ")"
}

var drawnScope = Values{
	"a": OfQuantity(quantity.New(1.25, quantity.One)), "b": OfQuantity(quantity.New(-0.75, quantity.One)),
	"c_tip": OfQuantity(quantity.New(3.5, quantity.One)), "theta": OfQuantity(quantity.New(-2, quantity.One)),
}

// evaluateText works out a formula by the text; known is false where it has no
// value, such as the root of a negative number.
func evaluateText(t *rapid.T, text string) (result float64, r Result, known bool) {
	f, list := Parse("x", text, source.Place{})
	if len(list) > 0 {
		t.Fatalf("%s: %v", text, list)
	}
	results, list := Evaluate([]*Formula{f}, drawnScope, 1)
	if len(list) > 0 {
		return 0, Result{}, false
	}
	q, _ := results[0].Value.Quantity()
	return q.Number(), results[0], true
}

// The brackets of what is shown, as text and as MathML, are neither too few
// nor wrong: read again, each line has the value of the formula.
func TestShownBrackets(t *testing.T) {
	for range 4 {
		rapid.Check(t, shownAlike)
	}
}

func shownAlike(t *rapid.T) {
	text := drawnTree(t, 4)
	want, r, known := evaluateText(t, text)
	if !known {
		return
	}
	var named partBuilder
	shown := named.part(r.Formula.root)
	lines := map[string]string{
		"the filled formula": strings.NewReplacer(" ≤ ", " <= ", " = ", " == ").Replace(r.Working.Filled),
		"the MathML":         fromMathML(t, r.Working.FormulaMath),
		"the filled MathML":  fromMathML(t, r.Working.FilledMath),
		"the formula":        strings.ReplaceAll(string(shown.text(nil, 0)), " = ", " == "),
	}
	for what, line := range lines {
		got, _, known := evaluateText(t, line)
		if !known || math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Fatalf("%s\nis shown in %s as\n%s\nwhich is %v, want %v", text, what, line, got, want)
		}
	}
}

// fromMathML reads a line of MathML back into a formula, adding no brackets
// but those that its elements draw: a fraction's line, a root's roof, a raised
// exponent.
func fromMathML(t *rapid.T, m string) string {
	parts, _ := readMathML(t, xml.NewDecoder(strings.NewReader(m)))
	return strings.NewReplacer("θ", "theta", "π", "pi").Replace(strings.Join(parts, ""))
}

// readMathML reads up to the end of an element: its children as formulas, and
// the names of those that are elements.
func readMathML(t *rapid.T, decoder *xml.Decoder) (parts, names []string) {
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return parts, names
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.CharData:
			parts = append(parts, fromText(string(token)))
		case xml.EndElement:
			return parts, names
		case xml.StartElement:
			inner, within := readMathML(t, decoder)
			names = append(names, token.Name.Local)
			parts = append(parts, fromElement(token.Name.Local, inner, within))
		}
	}
}

// fromElement is an element as a formula, from its children and their names.
func fromElement(name string, inner, within []string) string {
	joined := strings.Join(inner, "")
	switch name {
	case "mfrac":
		return "((" + inner[0] + ")/(" + inner[1] + "))"
	case "msqrt":
		return "sqrt(" + joined + ")"
	case "msup":
		base := inner[0]
		if within[0] == "mfrac" {
			// The exponent would hang on the whole fraction or on its top.
			base = strings.TrimSuffix(strings.TrimPrefix(base, "("), ")")
		}
		return base + "^(" + inner[1] + ")"
	case "msub":
		return strings.Join(inner, "_")
	case "mtable":
		return inner[0] + " : " + inner[1]
	case "mtr":
		// value, condition
		if condition, ok := strings.CutPrefix(inner[1], "if\u00a0"); ok {
			return condition + " ? " + inner[0]
		}
		return inner[0]
	case "mrow":
		switch {
		case len(inner) == 2 && inner[0] == "" && strings.Contains(inner[1], " ? "):
			return "(" + joined + ")" // a choice by cases holds itself together
		case len(inner) == 3 && inner[0] == "|":
			return "abs(" + inner[1] + ")"
		}
	}
	return joined
}

// fromText is the text of an element as a formula.
func fromText(s string) string {
	if sign, ok := signsInMathML[s]; ok {
		return sign
	}
	return s
}

var signsInMathML = map[string]string{
	"⌊": "floor(", "⌋": ")", "⌈": "ceil(", "⌉": ")", "\u2061": "", "=": "==", "\u00a0and\u00a0": " and ", "\u00a0or\u00a0": " or ",
	"not\u00a0": "not ", "{": "",
}

// The slopes by which uncertainty travels are those of the values: each
// function and operator against a difference quotient.
func TestSlopes(t *testing.T) {
	texts := []string{
		"a + b", "a - b", "a * b", "a / b", "a ^ b", "a ^ 3", "a ^ -2", "a ^ 0.5", "a ^ 0.7", "-a", "+a", "a + a*b - a/2",
		"sqrt(a)", "hypot(a, b)", "sin(a*rad)", "cos(a*deg)", "tan(a*deg)", "asin(a/10)/deg", "acos(a/10)/rad", "atan(a)/deg", "atan2(a, b)/deg", "atan2(-a, b)/rad",
		"abs(-a)", "least(a, b)", "greatest(a, b, a*b)", "sure(a, 2) + 2*u(a)", "a > b ? a*a : b*b", "10*mm*a*deg/mm",
		"width_at(wide, a*mm)/mm", "press_for(wide, a*mm)/mm", "press_for(wide, width_at(wide, a*mm))/mm - a", "a*percent + b", "(a*percent)^2",
		"a*inch/mm + b*cm/inch", "(a*mm)^2/(b*inch)/mm", "sqrt(a*mm*b*inch)/mm",
	}
	scope := func(a, b, ua, ub float64) Values {
		return Values{
			"a":    OfQuantity(quantity.Measured(a, quantity.One, ua, quantity.Reading{File: "a", Offset: 1})),
			"b":    OfQuantity(quantity.Measured(b, quantity.One, ub, quantity.Reading{File: "b", Offset: 2})),
			"wide": OfBrush(curvedBrush(t)),
		}
	}
	for _, text := range texts {
		f, list := Parse("x", text, source.Place{})
		if len(list) > 0 {
			t.Fatal(text, list)
		}
		value := func(a, b, ua, ub float64) quantity.Quantity {
			results, list := Evaluate([]*Formula{f}, scope(a, b, ua, ub), 1)
			if len(list) > 0 {
				t.Fatal(text, list)
			}
			q, _ := results[0].Value.Quantity()
			return q.To(quantity.Coherent(q.Dim()))
		}
		for _, at := range [][2]float64{{1.3, 0.7}, {0.9, 2.1}, {2.2, 1.9}} {
			const h = 1e-5
			a, b := at[0], at[1]
			q := value(a, b, 1, 1)
			da := (value(a+h, b, 0, 0).Number() - value(a-h, b, 0, 0).Number()) / (2 * h)
			db := (value(a, b+h, 0, 0).Number() - value(a, b-h, 0, 0).Number()) / (2 * h)
			var got [2]float64
			for _, p := range q.Parts() {
				switch p.Reading.File {
				case "a":
					got[0] = p.Amount
				case "b":
					got[1] = p.Amount
				}
			}
			if math.Abs(got[0]-da) > 1e-4*(1+math.Abs(da)) || math.Abs(got[1]-db) > 1e-4*(1+math.Abs(db)) {
				t.Errorf("%s at %v: slopes %v, want %v and %v", text, at, got, da, db)
			}
		}
	}
}

func ExampleFunctions() {
	for _, f := range Functions()[:4] {
		fmt.Println(f.Usage, "-", f.Meaning)
	}
	// Output:
	// sqrt(x) - square root; the root of an area is a length
	// hypot(x, y) - hypotenuse of a right triangle with legs x and y, sqrt(x^2 + y^2)
	// sin(angle) - sine
	// cos(angle) - cosine
}
