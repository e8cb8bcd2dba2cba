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

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
)

// layerReader reads one record of the layers.
type layerReader struct {
	a      *assembler
	record *binding.Record
	layer  *model.Layer
	ok     bool // nothing is wrong so far
}

// layer reads one record of the layers; ok is false if something is wrong with
// it.
func (a *assembler) layer(record *binding.Record) (layer model.Layer, ok bool) {
	name := record.Cells["layer"].Source
	layer = model.Layer{Name: norm.NFC.String(name.String), Place: name.Place}
	l := &layerReader{a: a, record: record, layer: &layer, ok: true}
	readFeed(l)
	layer.OffsetX, layer.OffsetY = l.number("offset x", quantity.MM), l.number("offset y", quantity.MM)
	layer.Overlap = l.number("overlap", quantity.One)
	layer.Tolerance, layer.Gap = l.number("tolerance", quantity.MM), l.number("gap", quantity.MM)
	if l.word("inside") == "strokes" {
		layer.Inside = model.Strokes
	}
	switch l.word("lanes") {
	case "straight":
		layer.Lanes = model.Straight
	case "both":
		layer.Lanes = model.Both
	}
	layer.LaneAngle, layer.LaneMargin = l.number("lane angle", quantity.Degree), l.number("lane margin", quantity.MM)
	layer.Corners = map[string]model.Cornering{"touch": model.Touch, "round": model.Round}[l.word("corners")]
	layer.RoundBelow = l.number("round below", quantity.MM)
	layer.EdgesFirst = l.word("edges") == "first"
	layer.Order = map[string]model.Order{"as drawn": model.ByDrawing, "written": model.ByHand, "down": model.ByRows, "away from the hand": model.FromHand}[l.word("order")]
	layer.Pulled = l.word("pulled") == "yes"
	if record.Cells["wet"] != nil {
		layer.Wet, layer.WetPlace = l.number("wet", quantity.Second), record.Cells["wet"].Source.Place
	}
	layer.LeftHand = l.word("hand") == "left"
	layer.Hairlines = l.word("hairlines") == "paint"
	layer.Entries = map[string]model.Entries{"longer": model.Longer, "concealed": model.Concealed}[l.word("entries")]
	layer.Bare = map[string]model.Bare{"allow": model.AllowBare, "refuse": model.RefuseBare}[l.word("bare")]
	layer.RefuseFaults = l.word("faults") == "refuse"
	layer.Outlines = map[string]model.Outlines{"shapes": model.AsShapes, "lines": model.AsLines}[l.word("outlines")]
	layer.CutTo = map[string]model.CutTo{"clip": model.AtClips, "page": model.AtPage, "margins": model.AtMargins}[l.word("cut to")]
	if c := record.Cells["cut to"]; c != nil {
		layer.CutToPlace = c.Source.Place
	}
	if c := record.Cells["bare"]; c != nil {
		layer.BarePlace = c.Source.Place
	}
	if l.word("covered") == "leave" {
		layer.Covered = model.LeaveCovered
	}
	layer.CoveredStated = record.Cells["covered"] != nil
	layer.Trap = l.number("trap", quantity.MM)
	layer.CheckStrip = l.word("check strip") == "yes"
	if c := record.Cells["drawing layer"]; c != nil {
		layer.DrawingLayer, layer.DrawingLayerPlace = c.Source.String, c.Source.Place
	}
	for _, part := range []struct {
		word string
		read func(c *binding.Cell) bool
	}{{"drawing", l.drawing}, {"drawing colour", func(c *binding.Cell) bool { return drawingColours(l, c) }}, {"unit", l.unit}, {"drawn size", func(c *binding.Cell) bool { return drawnSize(l, c) }}, {"ink", l.ink}, {"width", l.width}, {"brush", l.brush}} {
		if c := record.Cells[part.word]; c != nil && !part.read(c) {
			l.ok = false
		}
	}
	return layer, l.ok
}

// idleHand reports a left hand where all layers that state it are painted in an order
// that no hand decides on.
func idleHand(a *assembler) {
	var first *binding.Cell
	for _, r := range a.recipe.Layers {
		c, order, pulled := r.Cells["hand"], r.Cells["order"], r.Cells["pulled"]
		if c == nil || c.Word != "left" {
			continue
		}
		if order != nil && order.Word != "short" || pulled != nil && pulled.Word == "yes" {
			return
		}
		if first == nil {
			first = c
		}
	}
	if first != nil {
		a.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.ChangesNothing, Place: first.Source.Place,
			Fix: problem.Advise("leave it out, or state another order, such as written, or pulled"), Message: "hand changes nothing where the order is short and strokes are not pulled"})
	}
}

// number is the value of a quantity, stated or default.
func (l *layerReader) number(word string, unit quantity.Unit) float64 {
	c := l.record.Cells[word]
	if c == nil {
		q, _ := binding.Default(l.record.Schema.Find(word))
		return q.In(unit)
	}
	q, known := l.a.values.Quantity(c)
	if !known {
		l.ok = false
		return 0
	}
	return q.In(unit)
}

// word is the word of a choice, stated or default.
func (l *layerReader) word(word string) string {
	c := l.record.Cells[word]
	if c == nil {
		return l.record.Schema.Find(word).Default
	}
	l.ok = l.ok && c.Known
	return c.Word
}

var (
	linkWithBlank = regexp.MustCompile(`^\[[^\[\]]*\]\(([^<>()]*[ \t][^<>()]*)\)$`)
	// brokenLink matches a link with a space between its brackets, or with the
	// two kinds of brackets swapped.
	brokenLink = regexp.MustCompile(`^(?:\[([^\[\]()]+)\][ \t]+\(([^\[\]() \t]+)\)|\(([^\[\]()]+)\)[ \t]*\[([^\[\]() \t]+)\])$`)
)

// drawing finds the drawing that a cell links.
func (l *layerReader) drawing(c *binding.Cell) bool {
	switch links := c.Source.Links; {
	case len(links) == 0:
		if !l.blankInLink(c) {
			l.a.problems.Errorf(problem.NoLink, c.Source.Place, linkFor(c.Source.String), "a drawing needs a link, not %q", c.Source.String)
		}
		return false
	case len(links) > 1:
		l.a.problems.Errorf(problem.TwoSources, links[1].Place, problem.Advise("give each drawing a layer of its own"), "a layer has one drawing")
		return false
	}
	link := c.Source.Links[0]
	name, list := notebook.Target(l.a.root, l.a.recipe.File, link)
	if len(list) == 0 && !l.mayBeMissing(name) {
		list = notebook.CheckFile(l.a.root, name, link.TargetPlace)
	}
	l.a.problems = append(l.a.problems, list...)
	if len(list) > 0 {
		return false
	}
	l.layer.Drawing, l.layer.DrawingPlace = name, link.TargetPlace
	return true
}

// linkFor is the fix for a cell that names a drawing without a link.
func linkFor(text string) problem.Fix {
	if strings.Contains(text, ".") && !strings.ContainsAny(text, "[]() `") {
		label := text[strings.LastIndexByte(text, '/')+1:]
		return problem.Write("[" + strings.TrimSuffix(label, label[max(0, strings.LastIndexByte(label, '.')):]) + "](" + text + ")")
	}
	if parts := brokenLink.FindStringSubmatch(text); parts != nil {
		return problem.Write("[" + parts[1] + parts[3] + "](" + parts[2] + parts[4] + ")")
	}
	return problem.Advise("write a link, such as [reeds](reeds.dxf)")
}

// mayBeMissing reports whether a drawing is missing in a job whose drawings may
// be missing.
func (l *layerReader) mayBeMissing(name string) bool {
	_, err := fs.Stat(l.a.root, name)
	return l.a.undrawn && errors.Is(err, fs.ErrNotExist)
}

// blankInLink adds a problem for text that would be a link without the space in
// its path, and returns true then.
func (l *layerReader) blankInLink(c *binding.Cell) bool {
	at := linkWithBlank.FindStringSubmatchIndex(c.Source.String)
	if at == nil {
		return false
	}
	target := c.Source.String[at[2]:at[3]]
	l.a.problems.Errorf(problem.NoLink, c.Source.Place.Sub(at[2], at[3]), problem.Write("<"+target+">"),
		"the path %q has a space, so the link needs angle brackets", target)
	return true
}

// overrule is written after a unit to override the unit in the drawing file.
const overrule = "not as the file says"

func (l *layerReader) unit(c *binding.Cell) bool {
	text, rest, more := strings.Cut(c.Source.String, ",")
	text = strings.TrimSpace(text)
	u := model.Unit{Name: text, Place: c.Source.Place}
	if more {
		start := len(c.Source.String) - len(strings.TrimLeft(rest, " "))
		if rest = strings.TrimSpace(rest); !strings.EqualFold(rest, overrule) {
			l.a.problems.Errorf(problem.UnknownWord, c.Source.Place.Sub(start, len(c.Source.String)), problem.Write(overrule),
				"after the unit only %q is allowed, not %q", overrule, rest)
			return false
		}
		u.Override = true
	}
	unit, err := quantity.ParseUnit(text)
	if err != nil || unit.Dim() != quantity.Length {
		fix := problem.Correction(text, c.Field.Choices).Else(problem.Advise("write mm, cm, m, in, pt or px"))
		l.a.problems.Errorf(problem.UnknownUnit, c.Source.Place.Sub(0, len(text)), fix, "%q is not a unit of a drawing", text)
		return false
	}
	u.Name, u.MM = unit.String(), unit.Convert(1, quantity.MM)
	l.layer.Unit = u
	return true
}

// constantWidth is the same width in mm everywhere.
type constantWidth float64

// WidthAt returns the width in mm.
func (c constantWidth) WidthAt(_ int, _, _, _, _ float64) (float64, error) { return float64(c), nil }

// width reads the width of open lines.
func (l *layerReader) width(c *binding.Cell) bool {
	l.layer.WidthPlace = c.Source.Place
	if !l.a.values.Known(c) {
		return false
	}
	if formula := l.a.values.Width(c); formula != nil {
		l.layer.Width = formula
		return true
	}
	l.layer.Width = constantWidth(c.Quantity.In(quantity.MM))
	return true
}

// brush finds the brush that a cell links or names.
func (l *layerReader) brush(c *binding.Cell) bool {
	d := l.brushOf(c)
	if d == nil {
		return false
	}
	mounted := l.a.brush(d)
	if mounted != nil && !readFeeding(l, mounted) {
		return false
	}
	l.layer.Brush = atFeed(mounted, l.layer)
	if list := spreadsEvenly(l.layer); len(list) > 0 {
		l.a.problems = append(l.a.problems, list...)
		return false
	}
	checkMeasuredWith(l, d)
	l.a.problems = append(l.a.problems, checkMeasuredFeed(l, l.record.Cells["feed"])...)
	return l.layer.Brush != nil && l.roomForLanes()
}

func (l *layerReader) brushOf(c *binding.Cell) *binding.Definition {
	own, linked := l.a.recipe.Brushes()
	if len(c.Source.Links) == 0 {
		var titles []string
		for _, d := range slices.Concat(own, linked) {
			if d.Name == formula.Fold(c.Source.String) {
				return d
			}
			titles = append(titles, d.Title)
		}
		if !l.blankInLink(c) {
			l.unknownBrush(c, titles)
		}
		return nil
	}
	from := l.a.recipe.LinkedBy(c)
	if from == nil {
		return nil // reported with the link
	}
	d, list := from.Pick(schema.Brush, c.Source.Links[0])
	l.a.problems = append(l.a.problems, list...)
	if d == nil {
		return nil
	}
	for _, over := range own {
		if over.Name == d.Name {
			return over
		}
	}
	return d
}

func (l *layerReader) unknownBrush(c *binding.Cell, titles []string) {
	fix := problem.Advise("link its notebook, as in [fine sable](../brushes/fine-sable.md)")
	if at, ok := l.notebookOf(c.Source.String); ok {
		fix = problem.Write("[" + c.Source.String + "](" + at + ")")
	} else {
		fix = problem.Correction(c.Source.String, titles).Else(fix)
	}
	l.a.problems.Errorf(problem.UnknownBrush, c.Source.Place, fix, "there is no brush %q here", c.Source.String)
}

// notebookOf finds the notebook that is probably meant by the name of a brush
// without a link: a file of that name in the folder brushes, or in the recipe's
// folder. The result is the link to write in the recipe.
func (l *layerReader) notebookOf(name string) (link string, ok bool) {
	stem := strings.ReplaceAll(formula.Fold(name), "_", "-") + ".md"
	dir := path.Dir(l.a.recipe.File.Name)
	for _, at := range []string{path.Join("brushes", stem), path.Join(dir, stem)} {
		if info, err := fs.Stat(l.a.root, at); err == nil && info.Mode().IsRegular() && at != l.a.recipe.File.Name {
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

// roomForLanes reports whether the lane margin is less than half the range of
// widths of the brush, and adds a problem if not.
func (l *layerReader) roomForLanes() bool {
	c := l.record.Cells["lane margin"]
	if c == nil {
		return true
	}
	margin, known := l.a.values.Quantity(c)
	narrowest, widest := l.layer.Brush.Curve.Range()
	if !known || l.layer.LaneMargin < (widest-narrowest)/2 {
		return true
	}
	l.a.problems.Add(problem.Problem{Code: problem.OutOfRange, Place: c.Source.Place,
		Fix:     problem.Advise("write less than half the difference between its lightest and its widest mark, such as " + quantity.New((widest-narrowest)/10, quantity.MM).Short()),
		Message: fmt.Sprintf("lanes narrower by %s leave little of the brush, which marks %s at most", margin.Short(), quantity.New(widest, quantity.MM).Short()),
		Related: []problem.Related{{Place: l.layer.Brush.Place, Note: "the brush"}}})
	return false
}
