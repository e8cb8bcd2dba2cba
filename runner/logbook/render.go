package logbook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"mahlstick/recipe/format"
)

//go:embed page.css
var pageCSS string

//go:embed page.tmpl
var pageTemplate string

// measureTemplate holds what only the page of a swatch sheet shows.
//
//go:embed measure.tmpl
var measureTemplate string

// Render returns the job's page as one HTML file. The same Page gives the same
// bytes.
func (p *Page) Render() ([]byte, error) {
	var out bytes.Buffer
	if err := pages.Execute(&out, newShown(p)); err != nil {
		return nil, fmt.Errorf("logbook page of %s: %w", p.Job, err)
	}
	before, after, _ := bytes.Cut(out.Bytes(), []byte(defsHere))
	return slices.Concat(before, defs(p), after), nil
}

// defsHere is where the marks of all layers go, which may be long: they are put
// in without another copy. No text of a recipe can be the same, because its < is
// escaped.
const defsHere = "<!--marks-->"

// The page's style is our own, and texts marked HTML were made inert by the
// recipe reader. Everything else is escaped for its context.
var pages = template.Must(template.New("page").Funcs(template.FuncMap{
	"css":    func() template.CSS { return template.CSS(strings.ReplaceAll(pageCSS, "\n", "")) },
	"colour": hexColour,
	"key":    keyColour,
	"cell":   cell,
	"text":   message,
	"html":   func(s string) template.HTML { return template.HTML(s) },
	"label":  label,
	"line":   mathLine,
	"result": resultLine,
	"row":    rowID,
	"turned": turned,
	"short":  func(s string) string { return s[:min(12, len(s))] },
	"add":    func(a, b int) int { return a + b },

	"defs": func() template.HTML { return defsHere }, "painting": painting, "layerPicture": layerPicture, "bed": bed, "timeLine": timeLine, "seated": seated, "chart": chart, "askedMeasured": askedMeasured, "pressWidth": pressWidth, "swatchSheet": swatchSheet, "drawings": drawings,

	"plain":    func(v float64) string { return format.Plain.Number(v, 2) },
	"number":   func(v float64) string { return format.Page.Number(v, 2) },
	"fixed1":   func(v float64) string { return format.Page.Fixed(v, 1) },
	"fixed2":   func(v float64) string { return format.Page.Fixed(v, 2) },
	"minus2":   func(v float64) string { return format.Page.Fixed(-v, 2) },
	"signed2":  func(v float64) string { return format.Page.Signed(v, 2) },
	"length":   format.Page.Length,
	"area":     format.Page.Area,
	"printed":  format.Printed,
	"share":    format.Page.Share,
	"duration": format.Page.Duration,
	"feed":     format.Page.Feed,
	"feeds":    format.Page.FeedRange,
	"whole":    func(v float64) string { return format.Page.Fixed(v, 0) },
	"count":    format.Count,
	"list":     format.List,
	"strokes":  format.Strokes,
}).Parse(pageTemplate + measureTemplate))

// cell shows the value of a table's cell. A formula that is evaluated along the
// stroke has no single value, so it is shown as written.
func cell(value string) template.HTML {
	text := template.HTMLEscapeString(value)
	if n := len(text); n > 2 && text[0] == '`' && text[n-1] == '`' {
		text = "<code>" + text[1:n-1] + "</code>"
	}
	return template.HTML(text)
}

var hyphenMinus = regexp.MustCompile(`(^|[\s(=,])-(\d)`)

// message replaces the hyphens in a text for the terminal by minus signs.
func message(text string) string { return hyphenMinus.ReplaceAllString(text, "$1−$2") }

func turned(quarters int) string {
	return [...]string{"not at all", "a quarter turn counter-clockwise", "half a turn", "a quarter turn clockwise"}[quarters&3]
}

// hexColour returns a colour only if it is written as one.
func hexColour(s string) template.CSS {
	if len(s) == 7 && s[0] == '#' && strings.Trim(s[1:], "0123456789abcdef") == "" {
		return template.CSS(s)
	}
	return "#000000"
}

// keyColour is the colour of the key layer, which is the last one.
func keyColour(layers []Layer) template.CSS {
	if len(layers) == 0 {
		return "#25221d"
	}
	return hexColour(layers[len(layers)-1].Hex)
}

// oneLine is how many characters a label has at most that stays on one line.
const oneLine = 24

var numberAndUnit = regexp.MustCompile(`(\d) (\S)`)

// label is the word of a row: a short one has no line breaks, a longer one none between
// a number and its unit.
func label(word string) string {
	if utf8.RuneCountInString(word) <= oneLine {
		return strings.ReplaceAll(word, " ", "\u00a0")
	}
	return numberAndUnit.ReplaceAllString(word, "$1\u00a0$2")
}
