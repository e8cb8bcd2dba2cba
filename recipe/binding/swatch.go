package binding

import (
	"slices"

	"mahlstick/recipe/format"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// SwatchMark is a row of a swatch: a press, the width of the mark that it made,
// and how far that mark lagged behind the brush's axis. Lag may be nil; Reading is
// how the mark was painted and read, where the row states that.
type SwatchMark struct {
	Press, Width, Lag *Cell
	Reading           *Reading
}

// Reading is how a mark of a swatch was painted and read.
type Reading struct {
	Feed, From, Dwell, By, LeftOut *Cell // nil where the row does not state it
}

// SwatchSheet is a link of a swatch to a swatch recipe.
type SwatchSheet struct {
	Sheet *notebook.Sheet
	Place source.Place
}

// Measured reports that the swatch holds readings that are pooled: it links swatch
// recipes, or states how its marks were painted and read.
func (d *Definition) Measured() bool {
	return len(d.Sheets) > 0 || slices.ContainsFunc(d.Marks, func(m SwatchMark) bool { return m.Reading != nil })
}

// SwatchMarks returns the marks that apply to a brush and the definition that
// states them.
func (d *Definition) SwatchMarks() ([]SwatchMark, *Definition) {
	for def := d; def != nil; def = def.Base {
		if def.Swatch != nil {
			return def.Marks, def
		}
	}
	return nil, nil
}

// ShapesCurve reports whether a brush states anything that shapes its curve;
// otherwise it has the curve of its base.
func (d *Definition) ShapesCurve() bool {
	return d.Base == nil || d.Swatch != nil || d.Rows["widest mark"] != nil || d.Rows["safe press"] != nil || d.Rows["touch mark"] != nil
}

// linkedBrush finds a linked brush by its name.
func (nb *Notebook) linkedBrush(name string) *Definition {
	_, linked := nb.Brushes()
	for _, d := range linked {
		if d.Name == name {
			return d
		}
	}
	return nil
}

// extend adds to the notebook a definition without rows that builds on one of a
// linked notebook. s is where the notebook does so.
func (nb *Notebook) extend(base *Definition, s *section.Section) *Definition {
	d := &Definition{Schema: base.Schema, Notebook: nb, Name: base.Name, Title: base.Title, Place: s.Heading.Place, Rows: map[string]*Cell{}, Base: base}
	nb.Definitions = append(nb.Definitions, d)
	return d
}

// swatch finds the brush that a swatch belongs to, and reads its marks.
func (d *definer) swatch(s *section.Section) {
	brush := d.brushOfSwatch(s)
	if brush == nil {
		return
	}
	list := &d.tables.problems
	if brush.Swatch != nil {
		list.Add(problem.Problem{Code: problem.DefinedTwice, Place: s.Heading.Place, Fix: problem.Advise("put both into one section"),
			Message: "the brush " + brush.Title + " has two swatches", Related: []problem.Related{{Place: brush.Swatch.Heading.Place, Note: "the first"}}})
		return
	}
	brush.Swatch = s
	var step quantity.Quantity
	if c, _ := brush.Find("caliper"); c != nil && c.Known {
		step = c.Quantity
	}
	for _, link := range s.Links {
		if sheet := d.nb.SheetBy(link); sheet != nil {
			brush.Sheets = append(brush.Sheets, SwatchSheet{sheet, link.TargetPlace})
		}
	}
	records := d.tables.records(schema.Find(schema.Swatch), s.Tables, step)
	if len(records) == 0 && len(s.Tables) == 0 && len(brush.Sheets) == 0 {
		list.Add(problem.Problem{Severity: problem.Warning, Code: problem.MissingTable, Place: s.Heading.Place,
			Fix: problem.AddBelow("| press | width |\n|---|---|"), Message: "the swatch has no table of marks"})
	}
	for _, r := range records {
		if r.Complete {
			brush.Marks = append(brush.Marks, SwatchMark{r.Cells["press"], r.Cells["width"], r.Cells["lag"], readingOf(r)})
		} else {
			brush.SwatchBroken = true
		}
	}
}

// readingOf is how a mark was painted and read, nil if its row does not say.
func readingOf(r *Record) *Reading {
	out := Reading{r.Cells["feed"], r.Cells["from"], r.Cells["dwell"], r.Cells["by"], r.Cells["left out"]}
	if out == (Reading{}) {
		return nil
	}
	return &out
}

// brushOfSwatch finds the brush that a swatch names or, if it names none, the
// only brush there is.
func (d *definer) brushOfSwatch(s *section.Section) *Definition {
	own, linked := d.nb.Brushes()
	if s.Name.Empty() {
		switch {
		case len(own) == 1:
			return own[0]
		case len(own) == 0 && len(linked) == 1:
			return d.nb.extend(linked[0], s)
		}
	}
	name := formula.Fold(s.Name.String)
	var titles []string
	for _, brush := range own {
		if brush.Name == name {
			return brush
		}
		titles = append(titles, brush.Title)
	}
	for _, brush := range linked {
		if brush.Name == name {
			return d.nb.extend(brush, s)
		}
		titles = append(titles, brush.Title)
	}
	d.noBrushForSwatch(s, titles)
	return nil
}

func (d *definer) noBrushForSwatch(s *section.Section, titles []string) {
	at, fix := s.Name.Place, problem.Advise("give it the name of a brush, or add a section Brush")
	if s.Name.Empty() {
		at = s.Heading.Place
		if len(titles) > 0 {
			fix = problem.Advise("name the brush, as in ## " + s.Word + ": " + titles[0])
		}
	} else {
		fix = problem.Correction(s.Name.String, titles).Else(fix)
	}
	list := &d.tables.problems
	switch {
	case len(titles) == 0:
		list.Errorf(problem.UnknownBrush, at, fix, "there is no brush for this swatch")
	case s.Name.Empty():
		list.Errorf(problem.UnknownBrush, at, fix, "this swatch may belong to %s", format.Either(titles))
	default:
		list.Errorf(problem.UnknownBrush, at, fix, "no brush is called %q", s.Name.String)
	}
}
