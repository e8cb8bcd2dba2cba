package dxf

import (
	"mahlstick/recipe/colour"
	"mahlstick/runner/contour"
)

// ink holds the groups that state the colour of an entity or a layer.
//
// Source: DXF Reference, "Common Group Codes for Entities": 62 is an index, 0
// by block, 256 by layer; 420 is red, green and blue in 24 bits, and overrides
// it; 440 is the transparency. In a layer a negative 62 says that it is off.
type ink struct {
	index      int // as stated
	indexed    bool
	rgb        int32 // -1 for none
	seeThrough bool
}

const (
	byBlock = 0
	byLayer = 256
)

// group reads the current group if it states a colour.
func (i *ink) group(g *groups) {
	n, ok := g.integer()
	if !ok {
		return
	}
	switch g.code {
	case 62:
		i.index, i.indexed = n, true
	case 420:
		i.rgb = int32(n & 0xFFFFFF)
	case 440:
		// 2 in the highest byte: an opacity from 0 to 255 in the lowest.
		i.seeThrough = n>>24&0xFF == 2 && n&0xFF < 0xFF
	}
}

// own is the colour that is stated here; ok is false where it is that of the
// layer or the block, or none.
func (i *ink) own() (p contour.Paint, ok bool) {
	p = contour.Paint{Kind: contour.Plain, Clear: i.seeThrough}
	switch {
	case i.rgb >= 0:
		p.RGB = colour.RGB{R: uint8(i.rgb >> 16), G: uint8(i.rgb >> 8), B: uint8(i.rgb)}
		return p, true
	case i.indexed && i.index > byBlock && i.index < byLayer:
		p.RGB = indexed(i.index)
		return p, true
	}
	return p, false
}

// paintOf is the colour of an entity whose layer is known.
func paintOf(e *entity) contour.Paint {
	p, own := e.ink.own()
	if own {
		return p
	}
	of := e.r.layers.paint[e.info.Layer]
	if e.ink.indexed && e.ink.index == byBlock {
		of = e.r.copyPaint
		of.Clear = of.Clear || p.Clear
		return of
	}
	of.Clear = of.Clear || p.Clear
	of.OfLayer = true
	return of
}

// indexed is the colour with an index from 1 to 255. Seven is black on paper and
// white on a dark screen.
//
// Source: DXF Reference, "Color numbers"; the values between are common
// practice, no source: from 10 on there are 24 hues, each in five strengths, full and
// halved, and then six greys. Most are compared with a second reader in .ci/ezdxf.
func indexed(n int) colour.RGB {
	switch {
	case n == 7:
		return colour.RGB{}
	case n < 10:
		return [...]colour.RGB{1: {R: 255}, 2: {R: 255, G: 255}, 3: {G: 255}, 4: {G: 255, B: 255}, 5: {B: 255}, 6: {R: 255, B: 255}, 8: {R: 128, G: 128, B: 128}, 9: {R: 192, G: 192, B: 192}}[n]
	case n >= 250:
		grey := [...]uint8{51, 91, 132, 173, 214, 255}[n-250]
		return colour.RGB{R: grey, G: grey, B: grey}
	}
	strength := [...]int{100, 65, 50, 30, 15}[n%10/2] // % of 255
	hue := n/10 - 1                                   // in 24ths of a turn
	part := func(shift int) uint8 {
		// From 4 before its own hue to 4 after it a part is full; over the 4 beyond it fades.
		d := (hue + shift) % 24
		if d > 12 {
			d = 24 - d
		}
		v := 2 * strength * min(max(8-d, 0), 4)
		if n%2 == 1 {
			v = 4*strength + v/2
		}
		return uint8(255 * v / 800)
	}
	return colour.RGB{R: part(0), G: part(16), B: part(8)}
}
