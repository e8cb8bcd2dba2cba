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
		"a b, c > d.e {fill:red} i":          "a b:2 c>d.e:102",
		"a>b c/**/d , :root a{x:y}":          "a>b c d:4 :root a:101",
		"g[h], g[h='i j'] k{x:y}":            "g[h]:101 g[h=i j] k:102",
		"a+b, c~d, e:first-child, g[h^=i]{}": "odd[a+b] odd[c~d] odd[e:first-child] odd[g[h^=i]]",
		"a:hover, b{x:y}":                    "b:1",
		"a>, >b, a > > b{x:y}":               "odd[a>] odd[>b] odd[a > > b]",
		"@charset 'x'; a{fill:red}":          "a:1",
		"@import 'x'; a{fill:red}":           "a:1 sheet[@import 'x']",
		"@media print{a{fill:red}} b{x:y}":   "b:1",
		"@media screen{a{fill:red}} b{x:y}":  "a:1 b:1",
		"@media (min-width:1px){a{x:y}}":     "sheet[@media (min-width:1px)]",
		"@supports (x:y){a{x:y}} b{x:y}":     "b:1 sheet[@supports (x:y)]",
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
				add("%s:%d", written(s), s.Weight())
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

// written is a selector as text.
func written(s *css.Selector) string {
	text := ""
	if s.Before != nil {
		text = written(s.Before) + " "
		if s.Child {
			text = text[:len(text)-1] + ">"
		}
	}
	text += s.Element
	for _, c := range s.Classes {
		text += "." + c
	}
	for _, a := range s.Attributes {
		if text += "[" + a.Name; !a.Any {
			text += "=" + a.Value
		}
		text += "]"
	}
	if s.Root {
		text += ":root"
	}
	if s.ID != "" {
		text += "#" + s.ID
	}
	return text
}

func TestMedia(t *testing.T) {
	for query, want := range map[string][2]bool{ // whether it applies, and whether that is known
		"": {true, true}, "all": {true, true}, "screen": {true, true}, "only screen": {true, true}, "print": {false, true},
		"not print": {true, true}, "not screen": {false, true}, "print, screen": {true, true}, "speech": {false, true},
		"screen and (color)": {false, false}, "print and (color)": {false, true}, "(min-width: 1px), all": {true, true},
	} {
		applies, known := css.Media(query)
		if applies != want[0] || known != want[1] {
			t.Errorf("%q: %v, %v", query, applies, known)
		}
	}
}
