package presenting

import (
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/schema"
	"mahlstick/runner/logbook"
)

// Sections, by their words in the schema, that the page shows in a special way.
const (
	brushSection   = "Brush"
	swatchSection  = "Swatch"
	resultsSection = "Results"
)

// blockView puts the recipe in reading order: prose, rows, workings. Sections
// of linked notebooks and values of the program follow.
type blockView struct {
	job      *model.Job
	facts    map[model.Section][]model.Fact
	sections []model.Section        // those with facts, in order
	own      map[model.Section]bool // those that the recipe itself has
	shown    map[model.Section]bool
	workings map[string]bool // shown, by name
	blocks   []logbook.Block
}

// viewBlocks returns the blocks of the page, and the names of the workings that
// are in none of them.
func viewBlocks(job *model.Job) (blocks []logbook.Block, derived []string) {
	v := &blockView{job: job, facts: map[model.Section][]model.Fact{}, own: map[model.Section]bool{},
		shown: map[model.Section]bool{}, workings: map[string]bool{}}
	for _, f := range job.Facts {
		if v.facts[f.Section] == nil {
			v.sections = append(v.sections, f.Section)
		}
		v.facts[f.Section] = append(v.facts[f.Section], f)
	}
	for _, b := range job.Page {
		if b.Kind == model.SectionBlock {
			v.own[b.Section] = true
		}
	}
	for _, b := range job.Page {
		v.block(b)
	}
	for _, m := range job.Brushes {
		if s := sectionOf(m); !v.shown[s] && !v.own[s] {
			v.brush(m, s, "")
			v.derivedFor(m)
		}
	}
	for _, s := range v.sections {
		if v.shown[s] {
			continue
		}
		if isTable(s.Word) {
			s.Name = ""
		}
		v.section(s, s.String(), "")
	}
	for _, w := range job.Workings {
		if !v.workings[w.Name] {
			derived = append(derived, w.Name)
		}
	}
	return v.blocks, derived
}

// block shows a piece of the recipe.
func (v *blockView) block(b model.Block) {
	switch b.Kind {
	case model.Prose:
		v.blocks = append(v.blocks, logbook.Block{HTML: b.HTML})
	case model.WorkingBlock:
		v.blocks = append(v.blocks, logbook.Block{Workings: b.Names})
		for _, n := range b.Names {
			v.workings[n] = true
		}
	case model.SectionBlock:
		v.ownSection(b)
	}
}

// ownSection shows a section of the recipe; results have a place of their own.
func (v *blockView) ownSection(b model.Block) {
	i := slices.IndexFunc(v.job.Brushes, func(m *model.Brush) bool { return b.Section == sectionOf(m) })
	switch {
	case b.Section.Word == resultsSection && b.HTML == "":
	case v.shown[b.Section]:
		if b.HTML != "" {
			v.blocks = append(v.blocks, logbook.Block{HTML: b.HTML}) // text below its rows
		}
	case i >= 0:
		v.brush(v.job.Brushes[i], b.Section, b.HTML)
	case b.Section.Word == swatchSection:
		v.section(b.Section, b.Section.String(), b.HTML)
	default:
		v.section(b.Section, b.Heading, b.HTML)
	}
}

// section shows the facts of a section: as a table, or row by row.
func (v *blockView) section(s model.Section, heading, html string) *logbook.Block {
	b := logbook.Block{Heading: heading, HTML: html}
	v.shown[s] = true
	var groups [][]model.Fact
	for _, other := range v.sections {
		if holds(s, other) {
			groups = append(groups, rowByRow(v.facts[other])...)
			v.shown[other] = true
		}
	}
	if isTable(s.Word) {
		b.Table, b.Unstated = tableOf(groups)
	} else {
		b.Facts, b.Unstated = rowsOf(slices.Concat(groups...))
	}
	v.blocks = append(v.blocks, b)
	return &v.blocks[len(v.blocks)-1]
}

// isTable reports whether a section is shown as one table with a row for each
// layer, trial, mark or touch.
func isTable(word string) bool {
	s := schema.Find(word)
	return s != nil && s.Columns != nil && word != swatchSection && word != resultsSection
}

// rowByRow divides facts of one name where a word comes again, as it does where a
// mark was read twice.
func rowByRow(facts []model.Fact) (rows [][]model.Fact) {
	seen := map[string]bool{}
	for _, f := range facts {
		if seen[f.Word] || len(rows) == 0 {
			rows, seen = append(rows, nil), map[string]bool{}
		}
		seen[f.Word] = true
		rows[len(rows)-1] = append(rows[len(rows)-1], f)
	}
	return rows
}

// holds reports whether the facts of one section belong to another. Brushes,
// swatches and inks go by their names; of all others a job has one.
func holds(s, facts model.Section) bool {
	switch s.Word {
	case brushSection, swatchSection, "Ink":
		return s == facts
	}
	return s.Word == facts.Word
}

// brush shows a brush with its curve. Its swatch is added if the recipe itself
// has none.
func (v *blockView) brush(m *model.Brush, s model.Section, html string) {
	b := v.section(s, s.String(), html)
	b.Name = m.Name
	if m.Curve != nil {
		b.Chart = chartOf(m)
	}
	if swatch := (model.Section{Word: swatchSection, Name: m.Title}); !v.own[swatch] {
		facts, _ := rowsOf(v.facts[swatch])
		b.Facts = append(b.Facts, facts...)
		v.shown[swatch] = true
	}
}

// derivedFor adds the values that the program computed for a brush to the block
// of the brush shown last. A brush of the recipe itself does not get them
// there: they would interrupt the text.
func (v *blockView) derivedFor(m *model.Brush) {
	b := &v.blocks[len(v.blocks)-1]
	for _, w := range v.job.Workings {
		if strings.HasPrefix(w.Name, m.Name+".") && !w.Place.Known() {
			b.Workings = append(b.Workings, w.Name)
			v.workings[w.Name] = true
		}
	}
}

// sectionOf is the section of a brush.
func sectionOf(m *model.Brush) model.Section { return model.Section{Word: brushSection, Name: m.Title} }

func factView(f model.Fact) logbook.Fact {
	v := logbook.Fact{Word: f.Word, Value: f.Value, Name: f.Name, Also: f.Also, Default: f.Default, Was: f.Was}
	if f.Place.Known() {
		v.From = f.Place.String()
	}
	if s := schema.Find(f.Section.Word); s != nil {
		if field := s.Find(f.Word); field != nil {
			v.Help = field.Help
		}
	}
	return v
}

// rowsOf divides facts into those that are stated and those that are defaults.
func rowsOf(facts []model.Fact) (stated, unstated []logbook.Fact) {
	for _, f := range facts {
		if v := factView(f); f.Default {
			unstated = append(unstated, v)
		} else {
			stated = append(stated, v)
		}
	}
	return stated, unstated
}

// tableOf makes a table with a row for each group and a column for each word
// that any of them states; unstated are the words that none states.
func tableOf(groups [][]model.Fact) (table *logbook.Table, unstated []logbook.Fact) {
	if len(groups) == 0 {
		return nil, nil
	}
	table = &logbook.Table{Head: statedWords(groups)}
	for i, g := range groups {
		row := make([]logbook.Fact, len(table.Head))
		for k := range row {
			row[k].Word = table.Head[k]
		}
		for _, f := range g {
			if k := slices.Index(table.Head, f.Word); k >= 0 {
				row[k] = factView(f)
			} else if i == 0 {
				unstated = append(unstated, factView(f))
			}
		}
		table.Rows = append(table.Rows, row)
	}
	return table, unstated
}

// statedWords lists the words that any of the groups states, in their common
// order.
func statedWords(groups [][]model.Fact) []string {
	var words []string
	stated := map[string]bool{}
	for _, g := range groups {
		at := 0
		for _, f := range g {
			if i := slices.Index(words, f.Word); i >= 0 {
				at = i + 1
			} else {
				words = slices.Insert(words, at, f.Word)
				at++
			}
			stated[f.Word] = stated[f.Word] || !f.Default
		}
	}
	return slices.DeleteFunc(words, func(w string) bool { return !stated[w] })
}

// chartOf is the brush's curve, for the page.
func chartOf(m *model.Brush) *logbook.Chart {
	c := &logbook.Chart{SafePress: m.SafePress, Thinnest: m.Thinnest}
	for _, g := range m.Curve.Marks() {
		c.Rungs = append(c.Rungs, logbook.Rung{Press: g.Press, Width: g.Width, UWidth: g.UWidth})
	}
	const steps = 48
	for i := range steps + 1 {
		press := m.Curve.SafePress() * float64(i) / steps
		if width, err := m.Curve.WidthAt(press); err == nil {
			c.Curve = append(c.Curve, logbook.Rung{Press: press, Width: width})
			low, high, _ := m.Curve.Band(press)
			c.Band = append(c.Band, [2]float64{low, high})
		}
	}
	return c
}
