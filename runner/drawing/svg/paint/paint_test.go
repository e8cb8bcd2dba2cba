package paint_test

import (
	"testing"

	"mahlstick/runner/drawing/svg/paint"
)

// Source: CSS Color Module Level 4, from memory: each line is one colour in
// several spellings.
func TestColours(t *testing.T) {
	for _, c := range []struct {
		want      paint.Colour
		spellings []string
	}{
		{paint.Colour{Alpha: 1, White: true}, []string{
			"white", "White", "#fff", "#FFFFFF", "#ffff", "#ffffffff", "rgb(255,255,255)", "rgb(100%, 100%, 100%)", "rgb(255 255 255)",
			"rgba(255, 255, 255, 1)", "rgb(255 255 255 / 100%)", "rgb(300 256 255)", "hsl(0, 0%, 100%)", "hsl(120deg 100% 100%)", "hsla(1turn 0 100 / 1)",
			"hwb(0 100% 0%)", "lab(100% 0 0)", "lch(100 0 0)", "oklab(1 0 0)", "oklch(100% 0 0)", "color(srgb 1 1 1)", "color(display-p3 100% 100% 100%)",
		}},
		{paint.Colour{Alpha: 0}, []string{"transparent", "TRANSPARENT", "#0000", "#00000000", "rgba(0,0,0,0)", "rgb(0 0 0/0%)", "rgba(1,2,3,-1)", "hsla(0,0%,0%,0)", "hsl(none 0 0 / 0)", "oklch(0 0 0 / 0)", "rgb(0 0 0 / none)"}},
		{paint.Colour{Alpha: 0, White: true}, []string{"#fff0", "rgba(255,255,255,0)", "rgb(100% 100% 100% / 0)"}},
		{paint.Colour{Alpha: 1}, []string{"black", "#000", "#abcdef", "rgb(254,255,255)", "tomato", "rebeccapurple", "grey", "hsl(0 100% 50%)", "CanvasText", "lab(50 20 20)", "color(xyz 1 1 1)"}},
	} {
		for _, s := range c.spellings {
			if got, ok := paint.ParseColour(s); !ok || got != c.want {
				t.Errorf("%q: %+v, %v, want %+v", s, got, ok, c.want)
			}
		}
	}
	for _, s := range []string{"", "wite", "#ff", "#fffff", "#ggg", "rgb(1,2)", "rgb(1,2,3,4,5)", "rgb(a,b,c)", "rgb(1 2 3", "cmyk(1 2 3)", "1", "#fffffffff", "none"} {
		if got, ok := paint.ParseColour(s); ok {
			t.Errorf("%q was read as %+v", s, got)
		}
	}
}

// Source: SVG 2, section 13.2, from memory.
func TestPaints(t *testing.T) {
	black := paint.Colour{Alpha: 1}
	for value, want := range map[string]paint.Paint{
		"none":                     {None: true},
		" Red ":                    {Colour: black},
		"currentColor":             {Current: true, Colour: black},
		"context-fill":             {None: true},
		"url(#a)":                  {None: true, Server: "a"},
		`URL( "#a" ) none`:         {None: true, Server: "a"},
		"url('#a') red":            {Server: "a", Colour: black},
		"url(#a) transparent":      {Server: "a"},
		"url(#a) currentColor":     {Server: "a", Current: true, Colour: black},
		"url(other.svg#a) #fff":    {Server: "other.svg#a", Colour: paint.Colour{Alpha: 1, White: true}},
		"url(#a)rgb(255 255 255)":  {Server: "a", Colour: paint.Colour{Alpha: 1, White: true}},
		"url(#b)  rgba(0, 0, 0,0)": {Server: "b"},
	} {
		if got, ok := paint.Parse(value); !ok || got != want {
			t.Errorf("%q: %+v, %v, want %+v", value, got, ok, want)
		}
	}
	for _, value := range []string{"", "url(#a", "url()", "url(#a) url(#b)", "url(#a) wite", "foo"} {
		if got, ok := paint.Parse(value); ok {
			t.Errorf("%q was read as %+v", value, got)
		}
	}
}
