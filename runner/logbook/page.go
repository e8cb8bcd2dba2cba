package logbook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"
	"unicode"

	"mahlstick/recipe/format"
	"mahlstick/recipe/working"
)

//go:embed page.css
var pageCSS string

//go:embed page.tmpl
var pageTemplate string

// Render gives the job's page as one HTML file. The same Page gives the same
// bytes.
func (p *Page) Render() ([]byte, error) {
	var out bytes.Buffer
	if err := pages.Execute(&out, p); err != nil {
		return nil, fmt.Errorf("logbook page of %s: %w", p.Job, err)
	}
	return out.Bytes(), nil
}

// The page's style and the texts marked HTML are ours or were rendered inert
// by the recipe reader; everything else is escaped by its context.
var pages = template.Must(template.New("page").Funcs(template.FuncMap{
	"css":      func() template.CSS { return template.CSS(strings.ReplaceAll(pageCSS, "\n", "")) },
	"css2":     hexColour,
	"cell":     cell,
	"html":     func(s string) template.HTML { return template.HTML(s) },
	"math":     mathLine,
	"row":      rowID,
	"number":   func(v float64) string { return format.Page.Number(v, 2) },
	"fixed1":   func(v float64) string { return format.Page.Fixed(v, 1) },
	"fixed2":   func(v float64) string { return format.Page.Fixed(v, 2) },
	"signed2":  func(v float64) string { return format.Page.Signed(v, 2) },
	"length":   format.Page.Length,
	"area":     format.Page.Area,
	"share":    format.Page.Share,
	"duration": format.Page.Duration,
	"feed":     format.Page.Feed,
	"count":    format.Count,
	"turned":   turned,
	"short":    func(s string) string { return s[:min(12, len(s))] },
}).Parse(pageTemplate))

// cell shows what a table's cell says; a formula that is asked along the way
// has no value to show and stands as it is written.
func cell(value string) template.HTML {
	text := template.HTMLEscapeString(value)
	if n := len(text); n > 2 && text[0] == '`' && text[n-1] == '`' {
		text = "<code>" + text[1:n-1] + "</code>"
	}
	return template.HTML(text)
}

func turned(quarters int) string {
	return [...]string{"not at all", "a quarter turn counter-clockwise", "half round", "a quarter turn clockwise"}[quarters&3]
}

// hexColour lets a colour through only when it is one.
func hexColour(s string) template.CSS {
	if len(s) == 7 && s[0] == '#' && strings.Trim(s[1:], "0123456789abcdef") == "" {
		return template.CSS(s)
	}
	return "#000000"
}

// mathLine shows a line of a working as MathML and as readable text; the
// style shows the one that the browser can. The first line carries the name.
func mathLine(name, nameMath, text, mathml string) template.HTML {
	if name != "" {
		name += " "
	}
	plain := template.HTMLEscapeString(name + "= " + text)
	if mathml == "" {
		return template.HTML("<span>" + plain + "</span>")
	}
	return template.HTML(`<span class="plain">` + plain + `</span><span class="maths">` + nameMath + " = " + mathml + "</span>")
}

// shownWorking is a working with what its links need.
type shownWorking struct {
	working.Working
	Anchor        string
	Needs, UsedBy []linkedName
}

// linkedName is a name and the id of where the page shows it, "" where it
// does not.
type linkedName struct{ Name, Anchor string }

// Working gives the named working for the template.
func (p *Page) Working(name string) shownWorking {
	w := p.Workings[name]
	link := func(names []string) (out []linkedName) {
		for _, n := range names {
			anchor := p.rows()[n]
			if _, ok := p.Workings[n]; ok {
				anchor = "w-" + anchorOf(n)
			}
			out = append(out, linkedName{n, anchor})
		}
		return out
	}
	return shownWorking{w, anchorOf(name), link(w.Needs), link(w.UsedBy)}
}

// rowID is the id of a row, a cell or a brush by its name in formulas.
func rowID(name string) string { return "r-" + anchorOf(name) }

// rows gives the ids of all rows, cells and brushes on the page, by the names
// by which formulas reach them.
func (p *Page) rows() map[string]string {
	if p.rowIDs != nil {
		return p.rowIDs
	}
	p.rowIDs = map[string]string{}
	note := func(f Fact) {
		for _, name := range append(f.Also, f.Name) {
			if f.Name != "" && name != "" {
				p.rowIDs[name] = rowID(f.Name)
			}
		}
	}
	for _, b := range p.Blocks {
		for _, f := range append(slices.Clone(b.Facts), b.Unstated...) {
			note(f)
		}
		if b.Table != nil {
			for _, row := range b.Table.Rows {
				for _, f := range row {
					note(f)
				}
			}
		}
		if b.Name != "" {
			p.rowIDs[b.Name] = rowID(b.Name)
		}
	}
	return p.rowIDs
}

// anchorOf makes a name fit for an id; names are unique after folding, and
// stay so, since each other character becomes its number.
func anchorOf(name string) string {
	var out strings.Builder
	for _, r := range name {
		if r == '_' || r == '-' || r == '.' || unicode.IsLetter(r) || unicode.IsDigit(r) {
			out.WriteRune(r)
		} else {
			fmt.Fprintf(&out, "u%x", r)
		}
	}
	return out.String()
}

// Key is the colour of the last layer, which carries the drawing.
func (p *Page) Key() template.CSS {
	if len(p.Layers) == 0 {
		return "#25221d"
	}
	return hexColour(p.Layers[len(p.Layers)-1].Hex)
}

// The pictures, for the template.

// Defs is every layer's marks, once.
func (p *Page) Defs() template.HTML { return p.defs() }

// Painting is all layers on the sheet.
func (p *Page) Painting() template.HTML { return p.painting() }

// One is a single layer on the sheet.
func (p *Page) One(l Layer) template.HTML { return p.one(l) }

// Bed is the sheet as it lies on the machine.
func (p *Page) Bed() template.HTML { return p.bed() }

// AllStrokes counts the strokes of all layers.
func (p *Page) AllStrokes() (n int) {
	for _, l := range p.Layers {
		n += l.AllStrokes()
	}
	return n
}

// AllPainted is the painted path of all layers in mm.
func (p *Page) AllPainted() (sum float64) {
	for _, l := range p.Layers {
		sum += l.Painted
	}
	return sum
}

// AllSeconds is the machine time of all layers.
func (p *Page) AllSeconds() (sum float64) {
	for _, l := range p.Layers {
		sum += l.Seconds
	}
	return sum
}

// AllStrokes counts every contact of brush and paper.
func (l Layer) AllStrokes() int { return l.Strokes + l.Corners + l.Lanes }

// Measured says whether the program was compared with the drawing.
func (l Layer) Measured() bool { return !math.IsNaN(l.Coverage) }

// HasStrips says whether any layer paints a check strip.
func (p *Page) HasStrips() bool {
	for _, l := range p.Layers {
		if len(l.Strip) > 0 {
			return true
		}
	}
	return false
}

// RefusedPlaces says whether something drawn is not painted.
func (l Layer) RefusedPlaces() bool {
	for _, r := range l.Remarks {
		if r.Refused {
			return true
		}
	}
	return false
}

// Off is by how much the mark came out wider than asked.
func (r StripReading) Off() float64 { return r.Measured - r.Asked }

// CheckTable is the checks of one program.
type CheckTable struct {
	Program        string
	Checks         []Check
	Passed, Failed int
}

// CheckTables groups the checks by program, in their order.
func (p *Page) CheckTables() (out []CheckTable) {
	for _, c := range p.Checks {
		if len(out) == 0 || out[len(out)-1].Program != c.Program {
			out = append(out, CheckTable{Program: c.Program})
		}
		t := &out[len(out)-1]
		t.Checks = append(t.Checks, c)
		if c.OK {
			t.Passed++
		} else {
			t.Failed++
		}
	}
	return out
}

// Gestures tells the strokes by what they are for: "4 strokes, 14 lanes and
// 2 corner touches".
func (l Layer) Gestures() string {
	var parts []string
	for _, k := range []struct {
		n    int
		noun string
	}{{l.Strokes, "stroke"}, {l.Lanes, "lane"}, {l.Corners, "corner touch"}} {
		if k.n > 0 {
			parts = append(parts, format.Count(k.n, k.noun))
		}
	}
	if len(parts) == 0 {
		return "none"
	}
	return format.List(parts)
}
