package paint_test

import (
	"testing"

	"mahlstick/recipe/colour"
	"mahlstick/runner/drawing/svg/paint"
)

// Source: CSS Color Module Level 4, from memory: each line is one colour in
// several spellings; that of green in eight colour spaces is in its sections 9
// and 10 and in the public tests of the standard.
func TestColours(t *testing.T) {
	for _, c := range []struct {
		want      paint.Colour
		spellings []string
	}{
		{paint.Colour{Alpha: 1, RGB: colour.White}, []string{
			"white", "White", "#fff", "#FFFFFF", "#ffff", "#ffffffff", "rgb(255,255,255)", "rgb(100%, 100%, 100%)", "rgb(255 255 255)",
			"rgba(255, 255, 255, 1)", "rgb(255 255 255 / 100%)", "rgb(300 256 255)", "hsl(0, 0%, 100%)", "hsl(120deg 100% 100%)", "hsla(1turn 0 100 / 1)",
			"hwb(0 100% 0%)", "lab(100% 0 0)", "lch(100 0 0)", "oklab(1 0 0)", "oklch(100% 0 0)", "color(srgb 1 1 1)", "color(display-p3 100% 100% 100%)",
		}},
		{paint.Colour{Alpha: 0}, []string{"transparent", "TRANSPARENT", "#0000", "#00000000", "rgba(0,0,0,0)", "rgb(0 0 0/0%)", "hsla(0,0%,0%,0)", "hsl(none 0 0 / 0)", "oklch(0 0 0 / 0)", "rgb(0 0 0 / none)"}},
		{paint.Colour{Alpha: 0, RGB: colour.RGB{R: 1, G: 2, B: 3}}, []string{"rgba(1,2,3,-1)"}},
		{paint.Colour{Alpha: 0, RGB: colour.White}, []string{"#fff0", "rgba(255,255,255,0)", "rgb(100% 100% 100% / 0)"}},
		{paint.Colour{Alpha: 1}, []string{"black", "#000", "CanvasText", "hsl(40 20% 0%)", "oklab(0 0 0)"}},
		{paint.Colour{Alpha: 1, RGB: colour.RGB{R: 254, G: 255, B: 255}}, []string{"rgb(254,255,255)"}},
		{paint.Colour{Alpha: 1, RGB: colour.RGB{R: 255, G: 99, B: 71}}, []string{"tomato", "#ff6347", "hsl(9.13 100% 63.9%)"}},
		{paint.Colour{Alpha: 1, RGB: colour.RGB{R: 255}}, []string{"red", "hsl(0 100% 50%)", "hsl(360 100% 50%)", "hwb(0 0% 0%)", "hsl(1turn 100% 50%)", "color(xyz 0.41239 0.21264 0.01933)", "color(display-p3 0.91749 0.20029 0.13856)"}},
		{paint.Colour{Alpha: 1, RGB: colour.RGB{G: 128}}, []string{"green", "hsl(120deg 100% 25%)", "hwb(120 0% 49.8039%)", "lab(46.2775% -47.5621 48.5837)", "lch(46.2775% 67.9892 134.3912)", "oklab(51.975% -0.1403 0.10768)", "oklch(51.975% 0.17686 142.495)", "color(srgb-linear 0 0.21586 0)"}},
		{paint.Colour{Alpha: 1, RGB: colour.RGB{R: 0x66, G: 0x33, B: 0x99}}, []string{"rebeccapurple", "hsl(270 50% 40%)", "hwb(270 20% 40%)"}},
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
	red := paint.Colour{Alpha: 1, RGB: colour.RGB{R: 255}}
	for value, want := range map[string]paint.Paint{
		"none":                     {None: true},
		" Red ":                    {Colour: red},
		"currentColor":             {Current: true, Colour: black},
		"context-fill":             {None: true},
		"url(#a)":                  {None: true, Server: "a"},
		`URL( "#a" ) none`:         {None: true, Server: "a"},
		"url('#a') red":            {Server: "a", Colour: red},
		"url(#a) transparent":      {Server: "a"},
		"url(#a) currentColor":     {Server: "a", Current: true, Colour: black},
		"url(other.svg#a) #fff":    {Server: "other.svg#a", Colour: paint.Colour{Alpha: 1, RGB: colour.White}},
		"url(#a)rgb(255 255 255)":  {Server: "a", Colour: paint.Colour{Alpha: 1, RGB: colour.White}},
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
