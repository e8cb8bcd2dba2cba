package recipe

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/source"
)

func fold(s string) string { return formula.Fold(s) }

func (b *binder) bindLayers() {
	if len(b.layers) == 0 && !b.nb.states(layersWord) {
		b.missingSection(layersWord)
		return
	}
	first := map[string]source.Place{}
	for _, l := range b.layers {
		if l.cells["layer"] == nil {
			continue
		}
		whole := b.newName(l, "layer", first) && l.whole
		layer, ok := b.layer(l)
		if whole && ok {
			b.job.Layers = append(b.job.Layers, layer)
		}
	}
	for _, l := range b.layers {
		if c := l.cells["layer"]; c != nil {
			b.lineFacts(l, c.src.String)
		}
	}
	if len(b.layers) == 0 {
		b.emptySection(layersWord)
	}
}

// layer reads one line of the layers. It answers false where something is
// wrong with it.
func (b *binder) layer(l *line) (layer model.Layer, ok bool) {
	ok = true
	name := l.cells["layer"]
	layer = model.Layer{Name: norm.NFC.String(name.src.String), Place: name.src.Place}
	number := func(word string, unit quantity.Unit) float64 {
		if c := l.cells[word]; c != nil {
			ok = ok && c.known
			return c.q.In(unit)
		}
		q, _ := byDefault(l.def.Find(word))
		return q.In(unit)
	}
	word := func(word string) string {
		if c := l.cells[word]; c != nil {
			ok = ok && c.known
			return c.word
		}
		return l.def.Find(word).Default
	}
	layer.Feed = number("feed", quantity.MMPerMin)
	layer.OffsetX, layer.OffsetY = number("offset x", quantity.MM), number("offset y", quantity.MM)
	layer.Overlap = number("overlap", quantity.One)
	layer.Tolerance, layer.Gap = number("tolerance", quantity.MM), number("gap", quantity.MM)
	if word("inside") == "strokes" {
		layer.Inside = model.Strokes
	}
	layer.Lanes = map[string]model.Lanes{"follow": model.Follow, "straight": model.Straight, "both": model.Both}[word("lanes")]
	layer.LaneAngle, layer.LaneMargin = number("lane angle", quantity.Degree), number("lane margin", quantity.MM)
	layer.EdgesFirst = word("edges") == "first"
	layer.Hairlines = word("hairlines") == "paint"
	layer.LongerEntries = word("entries") == "longer"
	layer.CheckStrip = word("check strip") == "yes"
	if c := l.cells["drawing layer"]; c != nil {
		layer.DrawingLayer, layer.DrawingLayerPlace = c.src.String, c.src.Place
	}
	all := func(good bool) { ok = ok && good }
	if c := l.cells["drawing"]; c != nil {
		all(b.drawing(c, &layer))
	}
	if c := l.cells["unit"]; c != nil {
		all(b.unit(c, &layer))
	}
	if c := l.cells["ink"]; c != nil {
		ink, good := b.ink(c)
		layer.Ink = ink
		all(good)
	}
	if c := l.cells["width"]; c != nil {
		layer.WidthPlace = c.src.Place
		all(b.width(c, &layer))
	}
	if c := l.cells["brush"]; c != nil {
		t, good := b.brushOf(c)
		all(good)
		if t != nil {
			layer.Brush = b.brush(t)
			all(layer.Brush != nil)
			all(b.roomForLanes(l, &layer))
		}
	}
	return layer, ok
}

// drawing finds the drawing that a cell links.
func (b *binder) drawing(c *cell, layer *model.Layer) bool {
	if len(c.src.Links) == 0 {
		text := c.src.String
		if b.blankInLink(c) {
			return false
		}
		fix := problem.Advise("write a link, such as [reeds](reeds.dxf)")
		if strings.Contains(text, ".") && !strings.ContainsAny(text, "[]() `") {
			label := text[strings.LastIndexByte(text, '/')+1:]
			fix = problem.Write("[" + strings.TrimSuffix(label, label[max(0, strings.LastIndexByte(label, '.')):]) + "](" + text + ")")
		} else if parts := brokenLink.FindStringSubmatch(text); parts != nil {
			fix = problem.Write("[" + parts[1] + parts[3] + "](" + parts[2] + parts[4] + ")")
		}
		b.problems.Errorf(problem.NoLink, c.src.Place, fix, "a drawing is given by a link, not by %q", text)
		return false
	}
	if len(c.src.Links) > 1 {
		b.problems.Errorf(problem.TwoSources, c.src.Links[1].Place, problem.Advise("give each drawing a layer of its own"), "a layer has one drawing")
		return false
	}
	link := c.src.Links[0]
	name, ok := b.target(b.nb.file, link)
	if !ok || !b.toCome(name) && !b.exists(name, link.TargetPlace) {
		return false
	}
	layer.Drawing, layer.DrawingPlace = name, link.TargetPlace
	return true
}

// roomForLanes says whether lanes that are narrower than the widest mark by the
// margin are still wider than the lightest.
func (b *binder) roomForLanes(l *line, layer *model.Layer) bool {
	c, stated := l.get("lane margin")
	if !stated || layer.Brush == nil {
		return true
	}
	narrowest, widest := layer.Brush.Curve.Range()
	if layer.LaneMargin < (widest-narrowest)/2 {
		return true
	}
	b.problems.Add(problem.Problem{Code: problem.OutOfRange, Place: c.src.Place,
		Fix:     problem.Advise("write less than half of what lies between its lightest and its widest mark, such as " + quantity.New((widest-narrowest)/10, quantity.MM).Short()),
		Message: fmt.Sprintf("lanes narrower by %s leave little of the brush, which marks %s at most", c.q.Short(), quantity.New(widest, quantity.MM).Short()),
		Related: []problem.Related{{Place: layer.Brush.Place, Note: "the brush"}}})
	return false
}

// toCome says whether a drawing may be missing, and is.
func (b *binder) toCome(name string) bool {
	_, err := fs.Stat(b.root, name)
	return b.undrawn && errors.Is(err, fs.ErrNotExist)
}

var linkWithBlank = regexp.MustCompile(`^\[[^\[\]]*\]\(([^<>()]*[ \t][^<>()]*)\)$`)

// brokenLink has a blank between its brackets, or they have changed places.
var brokenLink = regexp.MustCompile(`^(?:\[([^\[\]()]+)\][ \t]+\(([^\[\]() \t]+)\)|\(([^\[\]()]+)\)[ \t]*\[([^\[\]() \t]+)\])$`)

// notebookOf finds the notebook that a brush named without a link most likely
// stands in: a file of that name in the folder of brushes, or beside the recipe.
// The path is as the recipe would link it.
func (b *binder) notebookOf(name string) (link string, ok bool) {
	stem := strings.ReplaceAll(fold(name), "_", "-") + ".md"
	dir := path.Dir(b.nb.file.Name)
	for _, at := range []string{path.Join("brushes", stem), path.Join(dir, stem)} {
		if info, err := fs.Stat(b.root, at); err == nil && info.Mode().IsRegular() && at != b.nb.file.Name {
			if path.Dir(at) == dir {
				return stem, true
			}
			up := ""
			if dir != "." {
				up = strings.Repeat("../", strings.Count(dir, "/")+1)
			}
			return up + at, true
		}
	}
	return "", false
}

// blankInLink reports what would be a link but for a blank in its path.
func (b *binder) blankInLink(c *cell) bool {
	at := linkWithBlank.FindStringSubmatchIndex(c.src.String)
	if at == nil {
		return false
	}
	target := c.src.String[at[2]:at[3]]
	b.problems.Errorf(problem.NoLink, c.src.Place.Sub(at[2], at[3]), problem.Write("<"+target+">"),
		"the path %q holds a blank, and so it is no link without pointed brackets", target)
	return true
}

// Words behind a unit that overrule the drawing's own.
const overrule = "not as the file says"

func (b *binder) unit(c *cell, layer *model.Layer) bool {
	text, rest, more := strings.Cut(c.src.String, ",")
	text = strings.TrimSpace(text)
	u := model.Unit{Name: text, Place: c.src.Place}
	if more {
		start := len(c.src.String) - len(strings.TrimLeft(rest, " "))
		if rest = strings.TrimSpace(rest); !strings.EqualFold(rest, overrule) {
			b.problems.Errorf(problem.UnknownWord, c.src.Place.Sub(start, len(c.src.String)), problem.Write(overrule),
				"what follows the unit is %q or nothing, not %q", overrule, rest)
			return false
		}
		u.Override = true
	}
	unit, err := quantity.ParseUnit(text)
	if err != nil || unit.Dim() != quantity.Length {
		fix := problem.Advise("write mm, cm, m, in, pt or px")
		if near, ok := problem.Nearest(text, c.field.Choices); ok {
			fix = problem.Write(near)
		}
		b.problems.Errorf(problem.UnknownUnit, c.src.Place.Sub(0, len(text)), fix, "%q is no unit of a drawing", text)
		return false
	}
	u.Name, u.MM = unit.String(), unit.Convert(1, quantity.MM)
	layer.Unit = u
	return true
}

var (
	sixDigits  = regexp.MustCompile(`#[0-9A-Fa-f]{6}\b`)
	bareDigits = regexp.MustCompile(`\b[0-9A-Fa-f]{6}$`)
	hashDigits = regexp.MustCompile(`#[0-9A-Za-z]*`)
)

// ink reads the ink of a layer: a link to one, the name of one that the recipe
// states, or a colour.
func (b *binder) ink(c *cell) (model.Ink, bool) {
	if len(c.src.Links) > 0 {
		return b.linkedInk(b.nb, c)
	}
	var titles []string
	for _, t := range b.nb.things {
		if t.def.Word != inkWord {
			continue
		}
		if t.name == fold(c.src.String) {
			return b.inkOf(t)
		}
		titles = append(titles, t.title)
	}
	return b.colour(c, titles)
}

// colour reads "#5f6f3a", "moss" or "moss #5f6f3a". titles are names that could
// have been meant besides.
func (b *binder) colour(c *cell, titles []string) (model.Ink, bool) {
	text := strings.Trim(c.src.String, "`")
	if at := sixDigits.FindStringIndex(text); at != nil {
		name := strings.TrimSpace(strings.Trim(text[:at[0]]+text[at[1]:], " ,"))
		hex := lower(text[at[0]:at[1]])
		if name == "" {
			name = hex
		}
		return model.Ink{Name: name, Hex: hex}, true
	}
	if at := hashDigits.FindStringIndex(text); at != nil {
		fix := problem.Advise("write # and six digits from 0 to 9 and a to f, such as #5f6f3a")
		if digits := text[at[0]+1 : at[1]]; len(digits) == 3 && strings.Trim(lower(digits), "0123456789abcdef") == "" {
			fix = problem.Write("#" + string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]}))
		}
		shift := strings.Index(c.src.String, text)
		b.problems.Errorf(problem.UnknownInk, c.src.Place.Sub(shift+at[0], shift+at[1]), fix, "%q is no colour", text[at[0]:at[1]])
		return model.Ink{}, false
	}
	if hex, ok := schema.InkColour(text); ok {
		return model.Ink{Name: text, Hex: hex}, true
	}
	fix := problem.Write(text + " #808080")
	if at := bareDigits.FindStringIndex(text); at != nil && strings.ContainsAny(text[at[0]:], "0123456789") {
		b.problems.Errorf(problem.UnknownInk, c.src.Place, problem.Write(text[:at[0]]+"#"+text[at[0]:]), "the colour %q lacks its #", text[at[0]:])
		return model.Ink{}, false
	}
	if near, ok := problem.Nearest(text, slices.Concat(titles, schema.InkNames())); ok {
		fix = problem.Write(near)
	}
	b.problems.Errorf(problem.UnknownInk, c.src.Place, fix, "the ink %q is not known; with a colour behind it, such as %s #808080, any ink will do", text, text)
	return model.Ink{}, false
}

func (b *binder) linkedInk(nb *notebook, c *cell) (model.Ink, bool) {
	linked := nb.linkedBy(c)
	if linked == nil {
		return model.Ink{}, false
	}
	t, ok := b.pick(linked, schema.Find(inkWord), c.src.Links[0], true)
	if t == nil || !ok {
		return model.Ink{}, false
	}
	return b.inkOf(t)
}

// inkOf is the ink that a section states.
func (b *binder) inkOf(t *thing) (model.Ink, bool) {
	used := b.inked[t]
	b.inked[t] = true
	if !b.require(t) {
		return model.Ink{}, false
	}
	colour, _ := t.find("colour")
	if len(colour.src.Links) > 0 {
		b.problems.Errorf(problem.UnknownInk, colour.src.Place, problem.Advise("write a colour, such as #5f6f3a"), "the colour of an ink is no link")
		return model.Ink{}, false
	}
	ink, ok := b.colour(colour, nil)
	ink.Name = t.title
	if !used {
		b.facts(t)
	}
	return ink, ok
}

// constant is the same width everywhere.
type constant float64

// WidthAt gives the width in mm.
func (c constant) WidthAt(_ int, _, _, _, _ float64) (float64, error) { return float64(c), nil }

// width reads the width of open lines.
func (b *binder) width(c *cell, layer *model.Layer) bool {
	if c.src.Formula.Empty() {
		layer.Width = constant(c.q.In(quantity.MM))
		return c.known
	}
	along, list := formula.CompileWidth(c.src.Formula.String, c.src.Formula.Place, b.nb.scope)
	b.explain(b.nb, list)
	if along == nil || len(list) > 0 {
		return false
	}
	b.nb.use(along.Formula().Names())
	layer.Width, c.known = along, true
	return true
}

// brushOf finds the brush that a cell links or names.
func (b *binder) brushOf(c *cell) (*thing, bool) {
	own, linked := b.nb.brushes()
	if len(c.src.Links) == 0 {
		if b.blankInLink(c) {
			return nil, false
		}
		var titles []string
		for _, t := range slices.Concat(own, linked) {
			if t.name == fold(c.src.String) {
				return t, true
			}
			titles = append(titles, t.title)
		}
		fix := problem.Advise("link its notebook, as in [fine sable](../brushes/fine-sable.md)")
		if at, ok := b.notebookOf(c.src.String); ok {
			fix = problem.Write("[" + c.src.String + "](" + at + ")")
		} else if near, ok := problem.Nearest(c.src.String, titles); ok {
			fix = problem.Write(near)
		}
		b.problems.Errorf(problem.UnknownBrush, c.src.Place, fix, "no brush is called %q here", c.src.String)
		return nil, false
	}
	from := b.nb.linkedBy(c)
	if from == nil {
		return nil, false // told where the link was followed
	}
	t, ok := b.pick(from, schema.Find(brushWord), c.src.Links[0], true)
	if t == nil {
		return nil, false
	}
	for _, over := range own {
		if over.name == t.name {
			return over, ok
		}
	}
	return t, ok
}
