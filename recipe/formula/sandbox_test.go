package formula_test

import (
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"mahlstick/recipe/brush"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/source"
)

func fineSable(t testing.TB) formula.Values {
	t.Helper()
	curve, err := brush.Taper(2.8, 5.5, 0)
	if err != nil {
		t.Fatal(err)
	}
	return formula.Values{
		"fine_sable":             formula.OfBrush(&formula.Brush{Name: "fine sable", Curve: curve}),
		"fine_sable.widest_mark": cellValue(t, "2.80 ± 0.05 mm"),
		"fine_sable.safe_press":  cellValue(t, "5.5 ± 0.1 mm"),
	}
}

// refusedForms are what the expression library would take and the language
// does not, with their codes. § is before the text at fault.
var refusedForms = map[string]string{
	"1 + §map([1, 2], # * 2)":               "unknown-function",
	"§filter(fine_sable, # > 1)":            "unknown-function",
	"§reduce([1], #acc + #)":                "unknown-function",
	"§sum(fine_sable.safe_press)":           "unknown-function",
	"2 * §now()":                            "unknown-function",
	"§len(fine_sable)":                      "unknown-function",
	"§toJSON(fine_sable)":                   "unknown-function",
	"§$env":                                 "formula-syntax",
	"1 + §$env.fine_sable":                  "formula-syntax",
	"§[1, 2]":                               "not-allowed",
	"fine_sable§[0]":                        "not-allowed",
	"§{a: 1}":                               "not-allowed",
	"1§..3":                                 "not-allowed",
	"§let x = 1; x":                         "not-allowed",
	"1§; 2":                                 "not-allowed",
	"§if true { 1 } else { 2 }":             "not-allowed",
	"§'text'":                               "formula-syntax",
	`fine_sable == §"text"`:                 "formula-syntax",
	"§`text`":                               "formula-syntax",
	"fine_sable §matches fine_sable":        "not-allowed",
	"§1 in 2":                               "formula-syntax",
	"true not §in 2":                        "not-allowed",
	"fine_sable §contains fine_sable":       "not-allowed",
	"fine_sable §startsWith fine_sable":     "not-allowed",
	"fine_sable§?.safe_press":               "not-allowed",
	"fine_sable §?? 1":                      "not-allowed",
	"fine_sable.§Curve()":                   "not-allowed",
	"fine_sable.safe_press.§String()":       "not-allowed",
	"(fine_sable).safe_press + sqrt(4).§x":  "not-allowed",
	"1 §| abs()":                            "not-allowed",
	"7 §% 2":                                "not-allowed",
	"§0x10":                                 "not-allowed",
	"§0b11":                                 "not-allowed",
	"§0o17":                                 "not-allowed",
	"§1_000":                                "not-allowed",
	"§nil":                                  "not-allowed",
	"1 §// remark":                          "not-allowed",
	"1 §/* remark */ + 2":                   "not-allowed",
	"§#":                                    "not-allowed",
	"1 + §.5.5":                             "not-allowed",
	"§::abs(1)":                             "not-allowed",
	"x §= 1":                                "not-allowed",
	"1 < §2 < 3":                            "not-allowed",
	"true §?: false":                        "not-allowed",
	"b§'bytes'":                             "formula-syntax",
	"1§\n+ 2":                               "formula-syntax",
	"14.3§°":                                "formula-syntax",
	"2 * §(fine_sable.safe_press":           "formula-syntax",
	"2 * fine_sable.safe_press§)":           "formula-syntax",
	"2 +§ ":                                 "formula-syntax",
	"sqrt§()":                               "wrong-arguments",
	"hypot§(1)":                             "wrong-arguments",
	"§99999999999999999999999999999999 * 2": "number-out-of-range",
	"§1e400":                                "number-out-of-range",
	"§":                                     "missing-formula",
	"§2.8mm":                                "formula-syntax",
	"§2.8 mm":                               "formula-syntax",
	"§2(3)":                                 "formula-syntax",
	"§half width * 2":                       "formula-syntax",
	"(1)§(2)":                               "formula-syntax",
}

func TestRefusedForms(t *testing.T) {
	for text, code := range refusedForms {
		at := strings.Index(text, "§")
		plain := strings.Replace(text, "§", "", 1)
		// The formula comes after Greek letters, so that bytes and characters
		// differ.
		before := "# Kopf\n\nαβγ = "
		f := source.New("a.md", []byte(before+plain+"\n"))
		_, list := formula.Parse("αβγ", plain, f.Place(len(before), len(before)+len(plain)))
		if len(list) != 1 {
			t.Errorf("%s: %d problems, want one: %v", text, len(list), list)
			continue
		}
		p := list[0]
		want := 7 + utf8.RuneCountInString(text[:at])
		switch text {
		case "sqrt§()", "hypot§(1)":
			want = 7 // the function's name
		case "2 +§ ":
			want = 9
		case "(1)§(2)":
			want = 9
		}
		if string(p.Code) != code || p.Place.Line() != 3 || p.Place.Column() != want {
			t.Errorf("%s: %s at %d:%d, want %s at 3:%d: %s", text, p.Code, p.Place.Line(), p.Place.Column(), code, want, p.Message)
		}
		if p.Fix.None() || strings.Contains(p.Message, "U+") {
			t.Errorf("%s: %q, fix %q", text, p.Message, p.Fix.Advice)
		}
	}
}

// Hostile formulas are refused by counting, before the library is called.
func TestHostile(t *testing.T) {
	for name, text := range map[string]string{
		"brackets":    strings.Repeat("(", 1_000_000),
		"minuses":     strings.Repeat("-", 1_000_000) + "1",
		"nots":        strings.Repeat("not ", 1_000) + "true",
		"powers":      "2" + strings.Repeat("^2", 2_000),
		"sums":        "1" + strings.Repeat("+1", 2_000),
		"choices":     strings.Repeat("true?1:", 580) + "1",
		"deep":        strings.Repeat("(", 100) + "1" + strings.Repeat(")", 100),
		"calls":       strings.Repeat("sqrt(", 100) + "1" + strings.Repeat(")", 100),
		"comparisons": strings.Repeat("(1<", 50) + "1" + strings.Repeat("<1)", 50),
		"digits":      strings.Repeat("9", 4_000),
		"points":      strings.Repeat("a.", 2_000) + "a",
		"letters":     strings.Repeat("é̂", 1_000_000),
		"readings":    strings.Repeat("±", 1_000_000),
	} {
		f := source.New("a.md", []byte(text))
		made, list := formula.Parse("x", text, f.Place(0, len(text)))
		if len(list) == 0 {
			_, list = formula.Evaluate([]*formula.Formula{made}, nil, 1)
		}
		if len(list) == 0 || len(list) > 3 {
			t.Errorf("%s: %d problems", name, len(list))
		}
		for _, p := range list {
			if len(p.Message) > 400 {
				t.Errorf("%s: the message has %d bytes", name, len(p.Message))
			}
		}
	}
}

// The powers of a hostile recipe stay within bounds, and so do sums over ever
// more readings.
func TestBoundedWork(t *testing.T) {
	var b strings.Builder
	b.WriteString("x0 = 1 ± 0.1 mm\n")
	for i := 1; i < 400; i++ {
		b.WriteString(strings.NewReplacer("I", strconv.Itoa(i), "J", strconv.Itoa(i-1)).Replace("rI = I ± 0.1 mm\nxI = xJ + rI + xJ*0.5 + xJ*0.25 + " + strings.Repeat("xJ*0.01 + ", 80) + "rI\n"))
	}
	made, list := lines(source.New("a.md", []byte(b.String())))
	if len(list) > 0 {
		t.Fatal(list[0])
	}
	_, list = formula.Evaluate(made, nil, 1)
	if len(list) != 1 || list[0].Code != "too-much-work" {
		t.Errorf("%d problems, want one of too much work: %v", len(list), list[:min(3, len(list))])
	}
}
