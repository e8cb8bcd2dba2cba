package decode_test

import (
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/source"
	"mahlstick/runner/contour"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

// paints writes the paints of the contours of a drawing, read and recorded.
func paints(t *testing.T, f *source.File) string {
	t.Helper()
	opt := drawing.Options{Unit: inMM.Unit, ByColour: true, Unpainted: true}
	d := read(t, f, opt)
	var out []string
	for _, c := range d.Contours {
		word := c.Paint.String()
		if !c.Paint.Covers() {
			word += "?"
		}
		out = append(out, word)
	}
	if got, want := describe(decode.Record(f, 1).Drawing(opt)), describe(decode.Drawing(f, opt)); got != want {
		t.Errorf("recorded\n%s\nread\n%s", got, want)
	}
	return strings.Join(out, " ")
}

// The colours of fills and strokes, after the cascade. A question mark is behind
// those through which something may show.
//
// Source: SVG 2, sections 13 and 14; CSS Color Module Level 4; from memory.
func TestColoursOfSVG(t *testing.T) {
	const box = `width="9" height="9"`
	for content, want := range map[string]string{
		`<rect ` + box + `/>`: "#000000",
		`<rect ` + box + ` fill="tan" stroke="#0f0" stroke-width="1"/>`:                             "#d2b48c #00ff00",
		`<g fill="tan"><rect ` + box + ` style="fill:hsl(120 100% 25%)"/></g>`:                      "#008000",
		`<style>.a{fill:#123456}</style><rect ` + box + ` class="a" fill="red"/>`:                   "#123456",
		`<g color="navy"><rect ` + box + ` fill="currentColor"/></g>`:                               "#000080",
		`<rect ` + box + ` fill="red" fill-opacity="0.5"/>`:                                         "#ff0000?",
		`<rect ` + box + ` fill="red" fill-opacity="0" stroke="blue" stroke-width="1"/>`:            "#0000ff",
		`<g opacity="0.9"><g opacity="1"><rect ` + box + ` fill="red"/></g></g>`:                    "#ff0000?",
		`<rect ` + box + ` fill="rgb(255 0 0 / 99%)"/>`:                                             "#ff0000?",
		`<rect ` + box + ` fill="none"/><rect x="20" ` + box + ` fill="#fff"/>`:                     "none? #ffffff",
		`<defs><rect id="r" ` + box + `/></defs><use href="#r" fill="red"/><use href="#r" x="20"/>`: "#ff0000 #000000",
		// The mean of the stops of a gradient; a pattern has no colour of its own.
		`<linearGradient id="g"><stop stop-color="#102030"/><stop offset="1" stop-color="#304060"/></linearGradient><rect ` + box + ` fill="url(#g)"/>`:                   "#203048",
		`<linearGradient id="g"><stop stop-color="#102030"/><stop offset="1" stop-color="#304060" stop-opacity=".5"/></linearGradient><rect ` + box + ` fill="url(#g)"/>`: "#203048?",
		`<pattern id="p"><rect ` + box + `/></pattern><rect ` + box + ` fill="url(#p)"/>`:                                                                                 "none?",
		// On the same spot in two colours both are read, in one colour once.
		`<rect ` + box + ` fill="red"/><rect ` + box + ` fill="blue"/><rect ` + box + ` fill="red"/>`: "#ff0000 #0000ff",
	} {
		if got := paints(t, page(content)); got != want {
			t.Errorf("%s\n%s, want %s", content, got, want)
		}
	}
}

// Colours of entities: by index, true, of the layer, of the block.
//
// Source: DXF Reference, "Common Group Codes for Entities", LAYER, INSERT.
func TestColoursOfDXF(t *testing.T) {
	circle := func(x int, more ...any) string {
		return groups(append(append([]any{0, "CIRCLE"}, more...), 10, x, 20, 0, 40, 1)...)
	}
	tables := layers(groups(0, "LAYER", 2, "moss", 70, 0, 62, 3) + groups(0, "LAYER", 2, "dusk", 70, 0, 62, 5, 420, 0x102030))
	copied := blocks(block("B", circle(0, 8, "moss", 62, 0)+circle(5, 8, "0")+circle(10, 8, "moss")+circle(15, 8, "moss", 62, 1)))
	for name, c := range map[string]struct{ before, entities, want string }{
		"stated nowhere": {"", circle(0), "none?"},
		"index":          {"", circle(0, 62, 1) + circle(5, 62, 7) + circle(10, 62, 255), "#ff0000 #000000 #ffffff"},
		"true colour":    {"", circle(0, 62, 1, 420, 0xD9B263), "#d9b263"},
		"transparent":    {"", circle(0, 62, 1, 440, 0x02000080) + circle(5, 62, 1, 440, 0x020000FF) + circle(10, 62, 1, 440, 0), "#ff0000? #ff0000 #ff0000"},
		"by layer":       {tables, circle(0, 8, "moss") + circle(5, 8, "dusk") + circle(10, 8, "moss", 62, 256) + circle(15, 8, "moss", 62, 2), "#00ff00 #102030 #00ff00 #ffff00"},
		"by block":       {tables + copied, groups(0, "INSERT", 8, "dusk", 62, 4, 2, "B", 10, 0, 20, 0), "#00ffff #102030 #00ff00 #ff0000"},
		"block by layer": {tables + copied, groups(0, "INSERT", 8, "dusk", 2, "B", 10, 0, 20, 0), "#102030 #102030 #00ff00 #ff0000"},
		"no block":       {"", circle(0, 62, 0), "#000000"},
	} {
		if got := paints(t, dxf(c.before, c.entities)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// Loose lines of two colours are outlines of their own where colours are kept
// apart, and join where they are not.
func TestLinesJoinByColour(t *testing.T) {
	line := func(colour, x1, y1, x2, y2 int) string {
		return groups(0, "LINE", 62, colour, 10, x1, 20, y1, 11, x2, 21, y2)
	}
	half := func(colour, y int) string { return line(colour, 0, 0, 10, y) + line(colour, 10, y, 20, 0) }
	f := dxf("", half(1, 10)+half(2, -10))
	for _, c := range []struct {
		opt  drawing.Options
		want []bool
	}{{drawing.Options{}, []bool{true}}, {drawing.Options{ByColour: true}, []bool{false, false}}} {
		var closed []bool
		for _, k := range read(t, f, c.opt).Contours {
			closed = append(closed, k.Closed)
		}
		if !slices.Equal(closed, c.want) {
			t.Errorf("%+v: closed %v", c.opt.ByColour, closed)
		}
	}
}

// Warnings are about the wanted paints only.
func TestWantsPaints(t *testing.T) {
	f := page(`<rect width="9" height="9" fill="white"/><path d="M20 20h9" stroke="red"/><path d="M20 30h9" stroke="blue"/>`)
	for colour, want := range map[string][]string{"#ffffff": {"white-shape"}, "#ff0000": {"flat-ends"}, "#00ff00": nil} {
		wantCodes(t, f, drawing.Options{ByColour: true, Wants: func(p contour.Paint) bool { return p.String() == colour }}, want...)
	}
}

// That a stroke covers less in the drawing than is read is said of other colours too,
// where they hide what lies under them.
func TestWantsWhatHides(t *testing.T) {
	const dashes = `<path d="M20 20h9" stroke="red" stroke-dasharray="1" stroke-linecap="round" `
	blue := func(p contour.Paint) bool { return p.String() == "#0000ff" }
	for _, c := range []struct {
		body string
		opt  drawing.Options
		want []string
	}{
		{dashes + `/>`, drawing.Options{Wants: blue}, nil},
		{dashes + `/>`, drawing.Options{Wants: blue, Bare: true}, []string{"dashed-stroke"}},
		{dashes + `opacity=".5"/>`, drawing.Options{Wants: blue, Bare: true}, nil},
		{`<path d="M20 20h9" stroke="red"/>`, drawing.Options{Wants: blue, Bare: true}, nil}, // covers what it shows
	} {
		c.opt.ByColour = true
		wantCodes(t, page(c.body), c.opt, c.want...)
	}
}
