package css_test

import (
	"fmt"
	"reflect"
	"testing"

	"mahlstick/runner/drawing/svg/css"
)

// What the tokenizer and its parser keep silent about. A change of the library
// that changes one of these is to be looked at.
//
// Source: CSS Syntax Module Level 3, sections 4, 5.4 and 9; from memory.
func TestDeclarations(t *testing.T) {
	for text, want := range map[string][]css.Declaration{
		"fill:red":                         {{"fill", "red", false}},
		" FILL : Red ;; stroke:none; ":     {{"fill", "Red", false}, {"stroke", "none", false}},
		"fill:red!important":               {{"fill", "red", true}},
		"fill: red ! /* so */ IMPORTANT ;": {{"fill", "red", true}},
		"stroke-dasharray:1,2 , 3":         {{"stroke-dasharray", "1,2 , 3", false}},
		"stroke-width:1/**/px":             {{"stroke-width", "1 px", false}}, // a comment parts tokens
		"fill:/* ; */red":                  {{"fill", "red", false}},
		`fill:url("#a;b")`:                 {{"fill", `url("#a;b")`, false}},
		"fill:url(#a;b) none":              {{"fill", "url(#a;b) none", false}},
		"fill:rgb(1 2 3 / 50%)":            {{"fill", "rgb(1 2 3 / 50%)", false}},
		"x:y;red;fill:blue":                {{"x", "y", false}, {"fill", "blue", false}},
		"2x:y;fill:blue":                   {{"fill", "blue", false}},
		"*fill:red;fill:blue":              {{"fill", "blue", false}}, // no hack of old browsers
		"--own:{a;b};fill:blue":            {{"fill", "blue", false}},
		"fill:a\x00b;stroke:c":             {{"fill", "a\uFFFDb", false}, {"stroke", "c", false}}, // a zero byte is no end
		"fill:red /* not closed":           {{"fill", "red", false}},
		"fill:":                            {{"fill", "", false}},
		"":                                 nil,
	} {
		if got := css.ParseAttribute(text); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, want %+v", text, got, want)
		}
	}
}

func TestSheet(t *testing.T) {
	for text, want := range map[string]string{
		"a{fill:red}":                        "a:1",
		"a.b#c, .d.e{fill:red}":              "a.b#c:10101 .d.e:200",
		"*{fill:red}":                        ":0",
		"a b, c > d, e:f, g[h] {fill:red} i": "odd[a b] odd[c > d] odd[e:f] odd[g[h]]",
		"@charset 'x'; a{fill:red}":          "a:1",
		"@import 'x'; a{fill:red}":           "a:1 sheet[@import 'x']",
		"@media print{a{fill:red}} b{x:y}":   "b:1 sheet[@media print]",
		"<!-- a{x:y} -->":                    "a:1",
		"}a{x:y} b{x:y}":                     "odd[}a] b:1", // a stray brace spoils one rule only
		"a{x:y} b{x:y":                       "a:1 b:1",     // open at the end of the sheet
		"a{x:(}} b{x:y}":                     "a:1",         // inside the bracket to the end
		"a{x:'\n} b{x:y}":                    "a:1 b:1",
		"/* a{} */ b{x:y} c":                 "b:1",
		"a{}":                                "a:1",
		",a{x:y}":                            "a:1 odd[]",
	} {
		got := ""
		s := css.Parse(text)
		add := func(format string, args ...any) {
			if got != "" {
				got += " "
			}
			got += fmt.Sprintf(format, args...)
		}
		for _, r := range s.Rules {
			for _, s := range r.Selectors {
				text := s.Element
				for _, c := range s.Classes {
					text += "." + c
				}
				if s.ID != "" {
					text += "#" + s.ID
				}
				add("%s:%d", text, s.Weight())
			}
			for _, o := range r.Odd {
				add("odd[%s]", o)
			}
		}
		for _, o := range s.Odd {
			add("sheet[%s]", o)
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
