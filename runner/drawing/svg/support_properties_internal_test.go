package svg

import (
	"fmt"
	"strings"
)

// styledAs gives a line of the table for a property of a shape.
func styledAs(name, value string, is support, shape string) supported {
	open, rest, _ := strings.Cut(shape, " ")
	return supported{"property " + name, is, mark + shape, mark + open + fmt.Sprintf(` style="%s:%s" `, name, value) + rest}
}

func propertyTable() []supported {
	const (
		rect   = `<rect x="10" y="10" width="20" height="10"/>`
		line   = `<path d="M40 40h20v10h-5" fill="none" stroke="red" stroke-width="2" stroke-linejoin="round" stroke-linecap="round"/>`
		turned = `<rect transform="rotate(30)" x="10" y="10" width="20" height="10"/>`
		boxed  = `<svg x="20" width="20" height="9"><rect x="10" y="10" width="20" height="10"/></svg>`
		star   = `<path d="M20 5l6 18L10 12h20L14 23z"/>`
		defs   = `<clipPath id="c"><rect x="30" y="30" width="1" height="1"/></clipPath><marker id="m"/><linearGradient id="l"/>`
	)
	var list []supported
	add := func(is support, name, value, shape string) { list = append(list, styledAs(name, value, is, shape)) }
	add(honoured, "color", "transparent", `<rect fill="currentColor" x="10" y="10" width="20" height="10"/>`)
	add(honoured, "display", "none", rect)
	add(honoured, "fill", "none", rect)
	add(honoured, "fill-opacity", "0%", rect)
	add(honoured, "fill-rule", "evenodd", star)
	add(honoured, "opacity", "0", rect)
	add(honoured, "stroke", "none", line)
	add(honoured, "stroke-opacity", "0", line)
	add(honoured, "stroke-width", "3px", line[:len(line)-len(`stroke-width="2" stroke-linejoin="round" stroke-linecap="round"/>`)]+`stroke-linejoin="round" stroke-linecap="round"/>`)
	add(honoured, "visibility", "hidden", rect)
	add(honoured, "vector-effect", "non-scaling-stroke", strings.Replace(line, "<path ", `<path transform="scale(0.5)" `, 1))
	add(honoured, "transform", "translate(5px, 10%)", rect)
	add(honoured, "transform-origin", "20px 20px", turned)
	add(honoured, "transform-box", "fill-box", strings.Replace(turned, "<rect ", `<rect transform-origin="center" `, 1))
	add(honoured, "translate", "5px 5%", rect)
	add(honoured, "rotate", "10deg", rect)
	add(honoured, "scale", "2 50%", rect)
	add(honoured, "x", "5px", rect)
	add(honoured, "y", "5px", rect)
	add(honoured, "width", "5px", rect)
	add(honoured, "height", "50%", rect)
	add(honoured, "rx", "1px", rect)
	add(honoured, "ry", "1px", rect)
	add(honoured, "cx", "50px", `<circle cx="20" cy="20" r="5"/>`)
	add(honoured, "cy", "50px", `<circle cx="20" cy="20" r="5"/>`)
	add(honoured, "r", "50px", `<circle cx="20" cy="20" r="5"/>`)
	add(honoured, "d", "path('M0 0h9v9z')", star)
	add(honoured, "clip-path", "url(#c)", defs+rect)
	list[len(list)-1].with = strings.Replace(mark+defs+rect, `<rect x="10"`, `<rect style="clip-path:url(#c)" x="10"`, 1)
	add(honoured, "overflow", "visible", boxed)
	add(honoured, "overflow-x", "visible", boxed)
	list = append(list,
		supported{"property stop-color", honoured, mark + `<linearGradient id="l"><stop/></linearGradient><rect width="9" height="9" fill="url(#l)"/>`,
			mark + `<linearGradient id="l"><stop style="stop-color:#0000"/></linearGradient><rect width="9" height="9" fill="url(#l)"/>`},
		supported{"property stop-opacity", honoured, mark + `<linearGradient id="l"><stop/></linearGradient><rect width="9" height="9" fill="url(#l)"/>`,
			mark + `<linearGradient id="l"><stop style="stop-opacity:0"/></linearGradient><rect width="9" height="9" fill="url(#l)"/>`})
	for name, value := range map[string]string{"marker": "url(#m)", "marker-start": "url(#m)", "marker-mid": "url(#m)", "marker-end": "url(#m)"} {
		list = append(list, supported{"property " + name, warned, mark + defs + line, mark + defs + strings.Replace(line, "<path ", `<path style="`+name+`:`+value+`" `, 1)})
	}
	add(warned, "stroke-dasharray", "1 2", line)
	add(warned, "stroke-linecap", "butt", strings.Replace(line, ` stroke-linecap="round"`, ` stroke-linecap="round" `, 1))
	add(warned, "stroke-linejoin", "miter", line)
	for name, value := range map[string]string{
		"mask": "url(#m)", "mask-image": "url(#m)", "mask-border": "url(#m)", "mask-border-source": "url(#m)", "clip": "rect(1px,2px,3px,4px)", "filter": "blur(1px)",
		"mix-blend-mode": "screen", "all": "unset", "animation": "a 1s", "animation-name": "a", "perspective": "9px", "zoom": "2", "offset": "path('M0 0h1')",
		"offset-path": "path('M0 0h1')", "offset-distance": "5px", "offset-position": "5px 5px", "shape-inside": "url(#a)", "shape-subtract": "url(#a)", "content-visibility": "hidden",
	} {
		add(warned, name, value, rect)
	}
	// What neither moves nor hides nor adds ink: text, colours and their
	// mixing, quality, and what needs a property that warns.
	for value, names := range map[string]string{
		"1": "stroke-dashoffset stroke-miterlimit tab-size line-height font-size-adjust flood-opacity shape-image-threshold orphans z-index order",
		"auto": "image-rendering shape-rendering text-rendering color-rendering color-interpolation color-interpolation-filters pointer-events cursor dominant-baseline alignment-baseline " +
			"writing-mode direction unicode-bidi text-orientation glyph-orientation-vertical isolation will-change font font-family font-size font-style font-weight font-stretch font-variant " +
			"font-kerning kerning letter-spacing word-spacing text-anchor text-decoration text-decoration-line text-decoration-color text-decoration-style text-indent text-overflow white-space " +
			"vertical-align baseline-shift inline-size text-align text-align-last text-decoration-fill text-decoration-stroke overflow-wrap word-break hyphens user-select touch-action paint-order clip-rule mask-type " +
			"background background-color border outline margin padding position left top right bottom float box-shadow transition flood-color lighting-color solid-color solid-opacity enable-background " +
			"color-profile shape-margin shape-padding mask-clip mask-composite mask-mode mask-origin mask-position mask-repeat mask-size transform-style backface-visibility perspective-origin",
	} {
		for name := range strings.FieldsSeq(names) {
			add(irrelevant, name, value, rect)
		}
	}
	return list
}
