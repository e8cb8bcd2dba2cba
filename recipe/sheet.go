package recipe

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

func lower(s string) string { return strings.ToLower(s) }

// require reports the required rows that a thing lacks. It answers whether
// all are there and could be read.
func (b *binder) require(t *thing) bool {
	whole := true
	for i := range t.def.Rows {
		e := &t.def.Rows[i]
		if !e.Required {
			continue
		}
		c, _ := t.find(e.Word)
		if c != nil {
			whole = whole && c.known
			continue
		}
		whole = false
		if t.lacks(e.Word) {
			continue
		}
		at, fix := t.place, problem.AddBelow("\n| "+lower(t.def.Word)+" | |\n|---|---|\n| "+e.Word+" | "+e.Sample()+" |")
		if s := tableOwner(t); s != nil {
			last := s.Tables[len(s.Tables)-1]
			at, fix = last.Head, problem.AddBelow("| "+e.Word+" | "+e.Sample()+" |")
			if n := len(last.Rows); n > 0 {
				at = last.Rows[n-1].Place
			}
		}
		b.problems.Errorf(problem.MissingRow, at, fix, "%s has no row %q", t.section(), e.Word)
	}
	return whole
}

// lacks says whether a row is missing for a reason that was reported.
func (t *thing) lacks(word string) bool {
	for at := t; at != nil; at = at.base {
		if at.broken || at.misspelt[word] || at.nb.doc.Cut {
			return true
		}
		if at.def.Word == brushWord && at.base == nil && len(at.nb.lost) > 0 {
			return true // it may stand in a notebook that could not be read
		}
	}
	return false
}

// tableOwner is the section with a table in which a missing row belongs.
func tableOwner(t *thing) *section.Section {
	for at := t; at != nil; at = at.base {
		if at.src != nil && len(at.src.Tables) > 0 {
			return at.src
		}
	}
	return nil
}

// section is where the page shows what is defined.
func (t *thing) section() model.Section { return model.Section{Word: t.def.Word, Name: t.title} }

// fact puts a row on the page.
func (b *binder) fact(t *thing, e *schema.Field) {
	f := model.Fact{Section: t.section(), Word: e.Word}
	if e.Kind == schema.Quantity {
		f.Name = reachable(t.name, e.Word)
		also := []string{}
		for at := t.base; at != nil; at = at.base {
			also = append(also, reachable(at.name, e.Word))
		}
		if t == b.machine {
			also = append(also, reachable("machine", e.Word)) // as the numbers of the house say it
		}
		for _, name := range also {
			if name != "" && name != f.Name && !slices.Contains(f.Also, name) {
				f.Also = append(f.Also, name)
			}
		}
	}
	c, from := t.find(e.Word)
	switch {
	case c != nil && !c.known, c == nil && e.Default == "":
		return
	case c != nil:
		f.Value, f.Place = c.text(), c.src.Place
		if from.base != nil {
			if was, _ := from.base.find(e.Word); was != nil && was.known {
				f.Was, f.WasPlace = was.text(), was.src.Place
				if was.text() == c.text() {
					b.problems.Add(problem.Problem{Severity: problem.Hint, Code: problem.UnusedRow, Place: c.head, Fix: problem.TakeOut(""),
						Message: fmt.Sprintf("%s says %s, as the linked notebook does", e.Word, c.text()), Related: []problem.Related{{Place: was.src.Place, Note: "there"}}})
				}
			}
		}
	default:
		f.Value, f.Default = e.Default, true
	}
	b.job.Facts = append(b.job.Facts, f)
}

func (b *binder) facts(t *thing) {
	for i := range t.def.Rows {
		b.fact(t, &t.def.Rows[i])
	}
}

func (b *binder) bindSheet() {
	t := b.sheet
	if t == nil {
		b.missingSection(sheetWord)
		return
	}
	b.require(t)
	s := &b.job.Sheet
	s.Place = t.place
	if c, _ := t.find("size"); c != nil {
		b.size(c)
	}
	s.Margin = plainLength(t.quantity("margin"))
	if c, _ := t.find("paper"); c != nil {
		s.Paper = c.text()
		if linked := t.nb.linkedBy(c); linked != nil {
			s.Paper = linked.doc.Title.String
		}
	}
	if c, _ := t.find("grain"); c != nil {
		s.Grain = c.word
	}
	s.Lay = corner(t.word("lay"))
	s.Turned = b.turned(t)
	if c, _ := t.find("edition"); c != nil {
		b.job.Edition = c.count
	}
	b.facts(t)
	if c, _ := t.find("margin"); s.Width > 0 && 2*s.Margin >= math.Min(s.Width, s.Height) && c != nil && c.known {
		b.problems.Errorf(problem.OffSheet, c.src.Place, problem.Write("8 mm"), "margins of %s leave nothing of a sheet of %s", c.q, s.Size)
	}
}

// linkedBy is the notebook that a cell links.
func (nb *notebook) linkedBy(c *cell) *notebook {
	for _, l := range c.src.Links {
		if linked := nb.linked[l.Place.Start]; linked != nil {
			return linked
		}
	}
	return nil
}

// word is that of a choice, stated or by default.
func (t *thing) word(row string) string {
	if c, _ := t.find(row); c != nil && c.known {
		return c.word
	}
	return t.def.Find(row).Default
}

func corner(word string) model.Corner {
	for _, c := range []model.Corner{model.LowerRight, model.UpperRight, model.UpperLeft} {
		if c.String() == word {
			return c
		}
	}
	return model.LowerLeft
}

func (b *binder) turned(t *thing) int {
	c, _ := t.find("turned")
	if c == nil || !c.known {
		return 0
	}
	quarters := c.q.In(quantity.Degree) / 90
	if quarters != math.Floor(quarters) || quarters < 0 || quarters > 3 {
		b.problems.Errorf(problem.UnknownWord, c.src.Place, problem.Write("90°"), "a sheet lies turned by 0°, 90°, 180° or 270°, not by %s", c.q)
		return 0
	}
	return int(quarters)
}

// Words for the two ways in which a named sheet stands.
const (
	portrait  = "portrait"
	landscape = "landscape"
)

// size reads "A4", "A4 landscape", "210 x 297 mm".
func (b *binder) size(c *cell) {
	s := &b.job.Sheet
	text, way := c.src.String, ""
	if i := strings.LastIndexAny(text, " \t"); i >= 0 {
		last := lower(text[i+1:])
		if near, ok := problem.Nearest(last, []string{portrait, landscape}); ok {
			if near != last {
				b.problems.Errorf(problem.UnknownWord, c.src.Place.Sub(i+1, len(text)), problem.Write(near), "a sheet stands portrait or landscape, not %q", text[i+1:])
				return
			}
			way, text = last, strings.TrimRight(text[:i], " \t")
		}
	}
	width, height, written, named := schema.SheetSize(text)
	if !named {
		if !strings.ContainsAny(text, "x×X*") || !strings.ContainsAny(text, "0123456789") {
			b.unknownSize(c, text)
			return
		}
		var ok bool
		if width, height, ok = b.twoLengths(text, c.src.Place.Sub(0, len(text))); !ok {
			return
		}
		if way != "" && (way == portrait) != (width <= height) {
			b.problems.Errorf(problem.UnknownWord, c.src.Place, problem.Advise("leave out "+way), "a sheet of %s does not stand %s", text, way)
			return
		}
		s.Size, s.Width, s.Height = text, width, height
		return
	}
	if way == "" {
		way = portrait
	}
	if way == landscape {
		width, height = height, width
	}
	s.Size, s.Width, s.Height = written+" "+way, width, height
}

func (b *binder) unknownSize(c *cell, text string) {
	fix := problem.Advise("write an ISO 216 name such as A4 portrait, letter, legal, or 210 x 297 mm")
	if near, ok := problem.Nearest(text, schema.SheetNames()); ok {
		fix = problem.Write(near + strings.TrimPrefix(c.src.String, text))
	}
	b.problems.Errorf(problem.UnknownSize, c.src.Place, fix, "%q is no size of a sheet", c.src.String)
}

// twoLengths reads "210 x 297 mm": the first length may leave its unit to the
// second.
func (b *binder) twoLengths(text string, at source.Place) (width, height float64, ok bool) {
	i := strings.IndexAny(text, "x×X*")
	size := 1
	if strings.HasPrefix(text[i:], "×") {
		size = len("×")
	}
	want := quantity.Of(quantity.Length)
	second, list := quantity.Parse(text[i+size:], at.Sub(i+size, len(text)), want)
	if len(list) > 0 {
		b.problems = append(b.problems, list...)
		return 0, 0, false
	}
	want.Unit, want.Header = second.Unit(), true
	first, list := quantity.Parse(text[:i], at.Sub(0, i), want)
	if len(list) > 0 {
		b.problems = append(b.problems, list...)
		return 0, 0, false
	}
	width, height = first.In(quantity.MM), second.In(quantity.MM)
	const smallest, largest = 10, 10_000 // mm
	if !(width >= smallest && height >= smallest && width <= largest && height <= largest) {
		b.problems.Errorf(problem.OutOfRange, at, problem.Advise("look at the numbers and the unit"), "a sheet is from %d mm to %d mm wide and high", smallest, largest)
		return 0, 0, false
	}
	return width, height, true
}

func (b *binder) bindMachine() {
	t := b.machine
	if t == nil {
		b.missingSection(machineWord)
		return
	}
	b.require(t)
	m := &b.job.Machine
	feed := func(word string) float64 {
		q, ok := t.quantity(word)
		if !ok {
			return 0
		}
		return q.In(quantity.MMPerMin)
	}
	m.Title, m.Place = t.title, t.place
	m.ReachX, m.ReachY, m.ReachZ = plainLength(t.quantity("reach x")), plainLength(t.quantity("reach y")), plainLength(t.quantity("reach z"))
	m.SafeHeight, m.Bed = plainLength(t.quantity("safe height")), plainLength(t.quantity("bed"))
	m.TravelFeed, m.LoweringFeed, m.ZFeed = feed("travel feed"), feed("lowering feed"), feed("z feed")
	if q, ok := t.quantity("acceleration"); ok {
		m.Acceleration = q.In(quantity.MMPerS2)
	}
	m.Decimals = 3
	if c, _ := t.find("decimals"); c != nil && c.known {
		m.Decimals = c.count
	}
	b.facts(t)
}

func (b *binder) bindMarks() {
	if len(b.marks) == 0 && !b.nb.states(marksWord) {
		b.misspeltSection(marksWord)
		return // a drawing may have the sheet's own coordinates
	}
	first := map[string]source.Place{}
	for _, l := range b.marks {
		if !l.whole || !b.newName(l, "mark", first) {
			continue
		}
		m := model.Mark{Name: norm.NFC.String(l.cells["mark"].src.String), Place: l.cells["mark"].src.Place}
		x, ok1 := l.get("x")
		y, ok2 := l.get("y")
		size, ok3 := l.get("size")
		if !ok1 || !ok2 || !ok3 {
			continue
		}
		m.X, m.Y, m.Size = x.q.In(quantity.MM), y.q.In(quantity.MM), size.q.In(quantity.MM)
		if c, ok := l.get("drawing layer"); ok {
			m.DrawingLayer = c.src.String
		}
		b.lineFacts(l, m.Name)
		half := m.Size / 2
		s := b.job.Sheet
		if s.Width > 0 && (m.X-half < 0 || m.Y-half < 0 || m.X+half > s.Width || m.Y+half > s.Height) {
			b.problems.Errorf(problem.OffSheet, m.Place, problem.Advise("write a place at least half its size from the edges"),
				"the mark %q, %s wide at (%s, %s), does not lie on the sheet of %s", m.Name, size.q.Short(), x.q.Short(), y.q.Short(), s.Size)
			continue
		}
		b.job.Marks = append(b.job.Marks, m)
	}
	if len(b.marks) == 0 {
		b.emptySection(marksWord)
	}
}

func (nb *notebook) states(word string) bool {
	for _, s := range nb.doc.Sections {
		if s.Word == word {
			return true
		}
	}
	return false
}

// emptySection reports a section without a single line.
func (b *binder) emptySection(word string) {
	for _, s := range b.nb.doc.Sections {
		if s.Word != word {
			continue
		}
		if len(s.Tables) > 0 && slices.ContainsFunc(s.Tables[0].Rows, stated) || b.nb.doc.Cut || s.Lost {
			return // what is wrong with its lines was told
		}
		if b.hidden(s) {
			return
		}
		def := schema.Find(word)
		table := strings.SplitN(sketch(def), "\n", 3)[2]
		at, fix := s.Heading.Place, problem.AddBelow("\n"+table)
		if len(s.Tables) > 0 {
			at, fix = s.Tables[0].Head, problem.Advise("write a line below, such as "+table[strings.LastIndexByte(table, '\n')+1:])
		}
		b.problems.Errorf(problem.MissingTable, at, fix, "%s has no lines", word)
		return
	}
}

// hidden says whether the table of a section without one is there, but shown
// only. The warning about it becomes the error.
func (b *binder) hidden(s *section.Section) bool {
	if len(s.Tables) > 0 {
		return false
	}
	for i := range b.problems {
		if p := &b.problems[i]; p.Code == problem.HiddenTable && p.Place == s.Hidden {
			p.Severity = problem.Error
			return true
		}
	}
	return false
}

// stated says whether a row has anything in it.
func stated(r section.Row) bool {
	return slices.ContainsFunc(r.Cells, func(c section.Cell) bool { return !c.Empty() })
}

// newName checks the name of a line and that no other line has it.
func (b *binder) newName(l *line, word string, first map[string]source.Place) bool {
	c := l.cells[word]
	if !b.checkName(c.src.Text, "the "+word) {
		return false
	}
	name := fold(c.src.String)
	if was, twice := first[name]; twice {
		b.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: c.src.Place, Fix: problem.Write(c.src.String + " 2"),
			Message: fmt.Sprintf("the %s %q stands here twice", word, c.src.String), Related: []problem.Related{{Place: was, Note: "here first"}}})
		return false
	}
	first[name] = c.src.Place
	return true
}

// lineFacts puts the cells of a line on the page.
func (b *binder) lineFacts(l *line, name string) {
	for i := range l.def.Columns {
		e := &l.def.Columns[i]
		f := model.Fact{Section: model.Section{Word: l.def.Word, Name: name}, Word: e.Word}
		c := l.cells[e.Word]
		switch {
		case c != nil && c.known:
			f.Value, f.Place = c.text(), c.src.Place
			if e.Kind == schema.Quantity {
				f.Name = c.name
			}
		case c == nil && e.Default != "":
			f.Value, f.Default = e.Default, true
			if e.Kind == schema.Quantity {
				f.Name = reachable(l.owner, e.Word)
			}
		default:
			continue
		}
		b.job.Facts = append(b.job.Facts, f)
	}
}
