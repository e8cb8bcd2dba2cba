package svg

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/collect"
)

// What becomes of an element, an attribute or a property.
type support int8

const (
	honoured   support = iota // it changes what is read
	warned                    // it changes nothing, and a problem says so
	irrelevant                // it neither moves nor hides nor adds ink
)

// supported is one line of the table of what SVG has. The two pages differ in
// what is named and nothing else.
type supported struct {
	name          string
	is            support
	without, with string
}

// pageOf is an SVG of 100 x 80 mm with a user unit of 1 mm.
func pageOf(content string) *source.File {
	return source.New("test.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="80mm" viewBox="0 0 100 80">`+content+"</svg>"))
}

// shown is all that is read of a page, but for where it is in the file and what
// is counted.
func shown(content string) (string, problem.List) {
	c := collect.New(pageOf(content), drawing.Options{Unit: model.Unit{Name: "mm", MM: 1, Override: true}})
	f, fault := Unpack(pageOf(content))
	if fault != nil {
		return "", problem.List{{Code: fault.Code}}
	}
	Read(f, c)
	d, problems := c.Drawing()
	var b strings.Builder
	for _, k := range d.Contours {
		fmt.Fprintln(&b, k.Points, k.Closed, k.Widths, k.Rule)
	}
	return b.String(), problems
}

func (s *supported) check(t *testing.T) {
	before, problems := shown(s.without)
	if len(problems) > 0 || before == "" {
		t.Errorf("%s: without it: %v", s.name, problems)
	}
	after, problems := shown(s.with)
	var warnings problem.List
	for _, p := range problems {
		if p.Severity != problem.Hint || s.is != honoured {
			warnings = append(warnings, p)
		}
	}
	switch {
	case s.is == honoured && (after == before || len(warnings) > 0):
		t.Errorf("%s changes nothing: %v", s.name, warnings)
	case s.is == warned && len(warnings) == 0:
		t.Errorf("%s goes without a word", s.name)
	case s.is == irrelevant && (after != before || len(warnings) > 0):
		t.Errorf("%s is not irrelevant: %v\n%s\n%s", s.name, warnings, before, after)
	}
}

// The names are those of the element, attribute and property indices of SVG 2
// and of the CSS modules that it takes in; from memory.
func TestSupport(t *testing.T) {
	seen := map[string]bool{}
	for _, list := range [][]supported{elementTable(), attributeTable(), propertyTable()} {
		for _, s := range list {
			if seen[s.name] {
				t.Errorf("%s twice", s.name)
			}
			seen[s.name] = true
			s.check(t)
		}
	}
	for name := range properties {
		if !seen["property "+name] {
			t.Errorf("the property %s is not in the table", name)
		}
	}
	for kind := range undrawn {
		if kind != "" && !seen["element "+kind] && !slices.Contains([]string{"font", "font-face", "cursor"}, kind) { // of SVG 1.1
			t.Errorf("the element %s is not in the table", kind)
		}
	}
}

const (
	mark = `<rect x="1" y="1" width="2" height="2"/>` // so that something is read
	some = `<rect x="10" y="10" width="20" height="10"/>`
	hook = `<path d="M40 40h20v10h-5z"/>`
)

func elementTable() []supported {
	list := []supported{
		{"element a", honoured, mark, mark + `<a>` + some + `</a>`},
		{"element circle", honoured, mark, mark + `<circle cx="9" cy="9" r="3"/>`},
		{"element clipPath", irrelevant, mark, mark + `<clipPath id="c">` + some + `</clipPath>`},
		{"element defs", irrelevant, mark, mark + `<defs>` + some + `</defs>`},
		{"element desc", irrelevant, mark, mark + `<desc>` + some + `</desc>`},
		{"element discard", warned, mark, mark + `<discard begin="1s"/>`},
		{"element ellipse", honoured, mark, mark + `<ellipse cx="9" cy="9" rx="3" ry="2"/>`},
		{"element filter", irrelevant, mark, mark + `<filter id="f"><feGaussianBlur/></filter>`},
		{"element g", honoured, mark, mark + `<g>` + some + `</g>`},
		{"element line", honoured, mark, mark + `<line x1="5" y1="5" x2="9" y2="9" stroke="red"/>`},
		{"element linearGradient", irrelevant, mark, mark + `<linearGradient id="l"><stop/></linearGradient>`},
		{"element marker", irrelevant, mark, mark + `<marker id="m">` + some + `</marker>`},
		{"element mask", irrelevant, mark, mark + `<mask id="m">` + some + `</mask>`},
		{"element metadata", irrelevant, mark, mark + `<metadata>` + some + `</metadata>`},
		{"element path", honoured, mark, mark + hook},
		{"element pattern", irrelevant, mark, mark + `<pattern id="p">` + some + `</pattern>`},
		{"element polygon", honoured, mark, mark + `<polygon points="5 5 9 5 9 9"/>`},
		{"element polyline", honoured, mark, mark + `<polyline points="5 5 9 5 9 9"/>`},
		{"element radialGradient", irrelevant, mark, mark + `<radialGradient id="r"><stop/></radialGradient>`},
		{"element rect", honoured, mark, mark + some},
		{"element script", warned, mark, mark + `<script>x</script>`},
		{"element stop", honoured, mark + `<linearGradient id="l"></linearGradient><rect width="9" height="9" fill="url(#l)"/>`,
			mark + `<linearGradient id="l"><stop/></linearGradient><rect width="9" height="9" fill="url(#l)"/>`},
		{"element style", honoured, mark + some, mark + `<style>rect{display:none}</style>` + some},
		{"element svg", honoured, mark, mark + `<svg>` + some + `</svg>`},
		{"element switch", honoured, mark + `<g>` + some + hook + `</g>`, mark + `<switch>` + some + hook + `</switch>`},
		{"element symbol", irrelevant, mark, mark + `<symbol id="s">` + some + `</symbol>`},
		{"element title", irrelevant, mark, mark + `<title>` + some + `</title>`},
		{"element use", honoured, mark + `<defs><g id="a">` + some + `</g></defs>`, mark + `<defs><g id="a">` + some + `</g></defs><use href="#a"/>`},
		{"element view", irrelevant, mark, mark + `<view viewBox="0 0 1 1"/>`},
		{"element unknown", warned, mark, mark + `<unknown>` + some + `</unknown>`},
		{"element flowRoot", warned, mark, mark + `<flowRoot>` + some + `</flowRoot>`},
	}
	for _, animation := range []string{"animate", "animateMotion", "animateTransform", "set"} {
		list = append(list, supported{"element " + animation, warned, mark + some, mark + strings.Replace(some, "/>", `><`+animation+` attributeName="x" to="50" begin="0s"/></rect>`, 1)})
	}
	// These are counted among what is skipped, which the page shows.
	for _, other := range []string{"text", "image", "foreignObject", "video", "audio", "canvas", "iframe"} {
		list = append(list, supported{"element " + other, irrelevant, mark, mark + `<` + other + ` x="9" y="9">a</` + other + `>`})
	}
	// These are parts of elements that are not drawn.
	for _, inner := range []string{"feBlend", "feColorMatrix", "feComponentTransfer", "feComposite", "feConvolveMatrix", "feDiffuseLighting", "feDisplacementMap",
		"feDistantLight", "feDropShadow", "feFlood", "feFuncA", "feFuncB", "feFuncG", "feFuncR", "feGaussianBlur", "feImage", "feMerge", "feMergeNode",
		"feMorphology", "feOffset", "fePointLight", "feSpecularLighting", "feSpotLight", "feTile", "feTurbulence"} {
		list = append(list, supported{"element " + inner, irrelevant, mark + `<filter/>`, mark + `<filter><` + inner + `/></filter>`})
	}
	for _, inner := range []string{"textPath", "tspan"} {
		list = append(list, supported{"element " + inner, irrelevant, mark + `<text/>`, mark + `<text><` + inner + `>a</` + inner + `></text>`})
	}
	return append(list, supported{"element mpath", irrelevant, mark + `<defs><animateMotion/></defs>`, mark + `<defs><animateMotion><mpath href="#a"/></animateMotion></defs>`})
}

// on gives a line of the table for an attribute of an element.
func on(element, name, value string, is support) supported {
	open, rest, _ := strings.Cut(element, " ")
	return supported{"attribute " + name + " of " + strings.TrimPrefix(open, "<"), is, mark + element, mark + open + fmt.Sprintf(" %s=%q ", name, value) + rest}
}

func attributeTable() []supported {
	const (
		rect   = `<rect x="10" y="10" width="20" height="10"/>`
		path   = `<path d="M40 40h20v10h-5z" fill="none" stroke="red" stroke-linejoin="round"/>`
		circle = `<circle cx="20" cy="20" r="5"/>`
		group  = `<g ><rect x="10" y="10" width="20" height="10"/></g>`
		inner  = `<svg ><rect x="10" y="10" width="20" height="10"/></svg>`
		symbol = `<symbol id="s" viewBox="0 0 40 40" ><rect x="10" y="10" width="20" height="10"/></symbol><use href="#s" width="40" height="30"/>`
		copied = `<use href="#a"/><defs><svg id="a" viewBox="0 0 40 40"><rect x="10" y="10" width="20" height="10"/></svg></defs>`
	)
	plain := func(element, name, value string) supported { return on(element, name, value, honoured) }
	list := []supported{
		plain(strings.Replace(rect, `x="10" `, "", 1), "x", "50"), plain(strings.Replace(rect, `y="10" `, "", 1), "y", "50"),
		plain(strings.Replace(circle, `cx="20" `, "", 1), "cx", "50"), plain(strings.Replace(circle, `cy="20" `, "", 1), "cy", "50"),
		{"attribute r of circle", honoured, mark, mark + circle}, {"attribute width and height of rect", honoured, mark, mark + rect},
		{"attribute d of path", honoured, mark, mark + path}, {"attribute points of polygon", honoured, mark, mark + `<polygon points="5 5 9 5 9 9"/>`},
		{"attributes x1 y1 x2 y2 of line", honoured, mark, mark + `<line x1="1" y1="5" x2="9" y2="9" stroke="red"/>`},
		plain(rect, "rx", "2"), plain(rect, "ry", "2"), plain(`<ellipse rx="4" cx="9" cy="9"/>`, "ry", "2"),
		plain(rect, "transform", "translate(5 5)"), plain(group, "transform", "rotate(5)"), plain(inner, "transform", "rotate(5)"),
		plain(inner, "viewBox", "0 0 200 160"), plain(inner, "x", "5"), plain(inner, "y", "5"),
		plain(symbol, "preserveAspectRatio", "none"), plain(copied, "x", "5"), plain(copied, "y", "5"), plain(copied, "width", "20"), plain(copied, "height", "20"),
		plain(rect, "requiredExtensions", "urn:x"), on(rect, "systemLanguage", "en", warned),
		{"attribute href of use", honoured, mark + `<defs><g id="a">` + rect + `</g></defs>`, mark + `<defs><g id="a">` + rect + `</g></defs><use href="#a"/>`},
		{"attribute href without prefix", honoured, mark + `<defs><g id="a">` + rect + `</g><g id="b">` + circle + `</g></defs><use xlink:href="#b"/>`,
			mark + `<defs><g id="a">` + rect + `</g><g id="b">` + circle + `</g></defs><use xlink:href="#b" href="#a"/>`},
		{"attribute class of rect", honoured, mark + `<style>.n{display:none}</style>` + rect, mark + `<style>.n{display:none}</style><rect class="n" x="10" y="10" width="20" height="10"/>`},
		{"attribute id of rect", honoured, mark + `<style>#n{display:none}</style>` + rect, mark + `<style>#n{display:none}</style><rect id="n" x="10" y="10" width="20" height="10"/>`},
		plain(rect, "style", "display:none"),
		{"attribute media of style", honoured, mark + rect + `<style>rect{display:inline}</style>`, mark + rect + `<style media="all">rect[x='10']{display:none}</style>`},
		{"attribute type of style", irrelevant, mark + rect + `<style>rect{display:inline}</style>`, mark + rect + `<style type="text/x">rect{display:none}</style>`},
	}
	for _, name := range []string{"pathLength", "lang", "tabindex", "role", "aria-label", "autofocus", "onclick", "data-x", "xml:space", "requiredFeatures", "zoomAndPan", "baseProfile", "contentScriptType", "version"} {
		list = append(list, on(path, name, "1", irrelevant))
	}
	for _, name := range []string{"target", "download", "ping", "rel", "hreflang", "type", "referrerpolicy"} {
		list = append(list, on(`<a ><rect x="10" y="10" width="20" height="10"/></a>`, name, "x", irrelevant))
	}
	// Attributes of elements that are not drawn by themselves.
	for of, names := range map[string]string{
		"clipPath": "clipPathUnits", "mask": "maskUnits maskContentUnits x y width height mask-type", "marker": "markerUnits markerWidth markerHeight refX refY orient viewBox",
		"pattern":        "patternUnits patternContentUnits patternTransform x y width height viewBox",
		"linearGradient": "gradientUnits gradientTransform spreadMethod x1 y1 x2 y2", "radialGradient": "gradientUnits gradientTransform spreadMethod cx cy r fx fy fr",
		"filter": "filterUnits primitiveUnits x y width height",
	} {
		for name := range strings.FieldsSeq(names) {
			list = append(list, on(`<`+of+` id="q"/>`, name, "1", irrelevant))
		}
	}
	for name := range strings.FieldsSeq("x y dx dy rotate textLength lengthAdjust") {
		list = append(list, on(`<text ></text>`, name, "1", irrelevant))
	}
	for name := range strings.FieldsSeq("x y width height preserveAspectRatio crossorigin") {
		list = append(list, on(`<image ></image>`, name, "1", irrelevant))
	}
	return list
}
