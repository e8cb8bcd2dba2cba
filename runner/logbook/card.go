package logbook

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/format"
)

//go:embed card.css
var cardCSS string

//go:embed card.tmpl
var cardTemplate string

// cards shares the functions of the job's page.
var cards = template.Must(template.Must(pages.Clone()).New("card").Funcs(template.FuncMap{
	"briefly": briefly,
	"cardCSS": func() template.CSS { return template.CSS(strings.ReplaceAll(cardCSS, "\n", "")) },
	"edged":   edged,
	"quoted":  strconv.Quote,
}).Parse(cardTemplate))

// briefly writes a time given in s, without seconds or minutes where there are none.
func briefly(seconds float64) string {
	text := format.Page.Duration(seconds)
	for _, none := range []string{format.Page.Unit("0", "s"), format.Page.Unit("0", "min")} {
		if whole, ok := strings.CutSuffix(text, format.Page.Unit("", none)); ok {
			return whole
		}
	}
	return text
}

// perCard is how many layers one card has room for.
const perCard = 6

// card is all cards of a job.
type card struct{ *shown }

// Card is the job card: one sheet of paper with a front and a back for each six
// layers.
func (p *Page) Card() ([]byte, error) {
	var out bytes.Buffer
	if err := cards.Execute(&out, card{newShown(p)}); err != nil {
		return nil, fmt.Errorf("job card of %s: %w", p.Job, err)
	}
	before, after, _ := bytes.Cut(out.Bytes(), []byte(defsHere))
	return slices.Concat(before, cardDefs(p), after), nil
}

// cardSheet is one sheet of paper, with some of the layers.
type cardSheet struct {
	card
	Number, Of int
	Group      group
	Fit        fit
	Framed     string // the parts of the maps that are drawn again, larger, and their verb; "" for none
}

// framed are the details of a map in words, by how many a map has at most.
var framed = [len(detailNames) + 1]string{"", "Frame i is", "Frames i and ii are"}

// Back is a sheet as the head of its back describes it, with the maps laid out.
func (p plan) Back(s *cardSheet) *cardSheet {
	back, most := *s, 0
	for _, f := range p.Maps {
		most = max(most, strings.Count(string(f.Map()), mapStart)-1)
	}
	back.Framed = framed[most]
	return &back
}

// resumed is a stroke with which a layer may go on.
type resumed struct {
	Name string // of the layer
	From int
}

// Resumed is an example: the stroke in the middle of the layer of the group that has
// the most.
func (g group) Resumed() resumed {
	longest := slices.MaxFunc(g, func(a, b *Layer) int { return cmp.Compare(len(a.picture()), len(b.picture())) })
	return resumed{longest.Name, longest.Before + 1 + len(longest.picture())/2}
}

// Sheets are the sheets of paper, in order.
func (c card) Sheets() []cardSheet {
	var out []cardSheet
	of := max(1, (len(c.Page.Layers)+perCard-1)/perCard)
	for i := range of {
		s := cardSheet{card: c, Number: i + 1, Of: of, Fit: fits[0]}
		for k := perCard * i; k < min(perCard*(i+1), len(c.Page.Layers)); k++ {
			s.Group = append(s.Group, &c.Page.Layers[k])
		}
		out = append(out, s)
	}
	return out
}

// First is the layer that is painted first on the sheet.
func (c card) First() *Layer { return &c.Page.Layers[0] }

// Marked reports whether a program finds where the sheet lies.
func (c card) Marked() bool {
	return slices.ContainsFunc(c.Page.Layers, func(l Layer) bool { return l.Marking != nil })
}

// group are the layers of one sheet of paper.
type group []*Layer

// Marks are the layers of the group before which register marks can be read.
func (g group) Marks() []*Layer {
	return slices.DeleteFunc(slices.Clone(g), func(l *Layer) bool { return l.Marking == nil })
}

// Narrow reports whether the columns of the table have no room for words.
func (g group) Narrow() bool { return len(g) > 4 }

// Brief is what to do in a narrow column.
func (r ScaleRange) Brief() string {
	return strings.NewReplacer("raise", "↑", "lower", "↓").Replace(r.Do)
}

// StripRows are the marks of the check strips, row by row; nil where a layer has
// no such mark.
func (g group) StripRows() [][]*StripMark {
	return rowsOf(g, func(l *Layer) []StripMark { return l.Strip })
}

// Beside are the strokes that are not of the picture, in words; "" for none.
func (g group) Beside() string {
	strips := slices.ContainsFunc(g, func(l *Layer) bool { return l.CheckMarks > 0 })
	crosses := slices.ContainsFunc(g, func(l *Layer) bool { return l.Crosses > 0 })
	switch {
	case strips && crosses:
		return "check marks and painted register marks"
	case strips:
		return "check marks"
	case crosses:
		return "painted register marks"
	}
	return ""
}

// rowsOf turns lists that belong to layers into rows.
func rowsOf[T any](layers []*Layer, of func(*Layer) []T) [][]*T {
	most := 0
	for _, l := range layers {
		most = max(most, len(of(l)))
	}
	out := make([][]*T, most)
	for i := range out {
		for _, l := range layers {
			var cell *T
			if list := of(l); i < len(list) {
				cell = &list[i]
			}
			out[i] = append(out[i], cell)
		}
	}
	return out
}

// Welled reports whether the machine loads the brush of a layer of the group in a well.
func (g group) Welled() bool {
	return slices.ContainsFunc(g, func(l *Layer) bool { return l.Loads != "" })
}

// Loaded reports whether a layer of the group is loaded again.
func (g group) Loaded() bool {
	return slices.ContainsFunc(g, func(l *Layer) bool { return len(l.Reloads) > 0 })
}

// Tips reports whether the tip of a brush is known to be off the machine's axis.
func (g group) Tips() bool {
	return slices.ContainsFunc(g, func(l *Layer) bool { return l.Tip.Stated })
}

// Ending is the name of the program without what it shares with that of the layer's
// first program.
func (g GoesOn) Ending(first string) string {
	rest, ok := strings.CutPrefix(g.Program.File, strings.TrimSuffix(first, ".nc"))
	if !ok {
		return g.Program.File
	}
	return "…" + rest
}

// reloadsListed is how many reloads a column of the card has room for. The map
// shows all.
const reloadsListed = 4

// ReloadsListed are the first reloads of a layer, and how many more there are.
func (l Layer) ReloadsListed() []string { return l.Reloads[:min(len(l.Reloads), reloadsListed)] }

// ReloadsLeft is how many reloads ReloadsListed leaves out.
func (l Layer) ReloadsLeft() int { return len(l.Reloads) - len(l.ReloadsListed()) }

// Low and High are the limits of a check mark in mm.
func (m StripMark) Low() float64 { return m.Mark - m.Tolerance }

// High is the upper limit.
func (m StripMark) High() float64 { return m.Mark + m.Tolerance }
