package logbook

import (
	"regexp"
	"strings"
	"testing"
)

// A sum breaks before its signs, a list behind its commas, and nothing inside
// a fraction or inside brackets round one.
func TestBreakMath(t *testing.T) {
	const fraction = "<mfrac><mi>a</mi><mn>2</mn></mfrac>"
	for _, c := range []struct{ mathml, want string }{
		{"<math><mrow><mn>15</mn><mspace width=\"0.2em\"/><mtext>min</mtext></mrow></math>", "15min"},
		{"<math><mrow><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><mo>−</mo><mi>c</mi></mrow></math>", "a|+b|−c"},
		{"<math><mrow><mo>−</mo><mi>a</mi><mo>·</mo><mrow><mo>−</mo><mi>b</mi></mrow></mrow></math>", "−a|·−b"},
		{"<math><mrow><mi>f</mi><mo>\u2061</mo><mrow><mo>(</mo><mi>a</mi><mo>,</mo><mi>b</mi><mo>+</mo><mi>c</mi><mo>)</mo></mrow></mrow></math>", "f\u2061(a,|b|+c)"},
		{"<math><mrow><mi>f</mi><mrow><mo>(</mo>" + fraction + "<mo>+</mo><mi>b</mi><mo>)</mo></mrow></mrow></math>", "f(a2+b)"},
		{"no formula", ""},
		{"<math><mrow>", ""},
	} {
		pieces, _ := breakMath(c.mathml)
		var texts []string
		for _, p := range pieces {
			texts = append(texts, strings.Join(strings.FieldsFunc(tags.ReplaceAllString(p, "\x00"), func(r rune) bool { return r == 0 }), ""))
		}
		if got := strings.Join(texts, "|"); got != c.want {
			t.Errorf("%s breaks into %q, want %q", c.mathml, got, c.want)
		}
	}
	pieces, widest := breakMath("<math><mrow><mi>a</mi><mo>+</mo>" + fraction + "</mrow></math>")
	if len(pieces) != 2 || pieces[1] != `<math><mo form="infix">+</mo><mfrac><mi>a</mi><mn>2</mn></mfrac></math>` {
		t.Errorf("pieces %q", pieces)
	}
	if widest != 3 {
		t.Errorf("the widest piece is %d characters wide, want 3: the sign with its space and the fraction", widest)
	}
}

var tags = regexp.MustCompile(`<[^>]*>`)
