package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/format"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/reading"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// set is what was read of one sheet on one day: of one touch-off of the brush.
type set struct {
	name  string // of the swatch recipe
	paper Named
	inks  []Named // of the brush's trials
	day   string  // the heading under Results
	place source.Place
	marks []mark // sorted by trial and number
}

// trial is a row of Trials.
type trial struct {
	kind  string
	ink   Named
	held  float64
	press float64 // mm; 0 where it could not be read
	ours  bool    // of the brush that is measured
}

// sets reads the sheets, and chooses the readings that count together.
func (c *calibration) sets(links []Link, table []reading.Row) []*set {
	var out []*set
	for _, link := range links {
		if link.Sheet.Own {
			continue // Results never change their own recipe's programs
		}
		c.out.Sheets = append(c.out.Sheets, link.Sheet.File.Name)
		read := c.sheet(link)
		if len(read) > 1 && c.brush.Pool == Nothing {
			read = read[len(read)-1:]
		}
		if len(read) == 0 && !c.problems.HasErrors() {
			c.problems.Errorf(problem.NoReadings, link.Place, problem.Advise("copy to-measure.csv beside it, fill in the last column, and link the copy under Results"),
				"%s has no readings of %s", link.Sheet.File.Name, c.brush.Title)
		}
		out = append(out, read...)
	}
	c.apart(out)
	if len(table) > 0 {
		own := &set{name: c.brush.File, place: c.brush.Place}
		if c.fill(own, table, nil); len(own.marks) > 0 {
			out = append(out, own)
		}
	}
	for _, s := range out {
		c.out.Painted = append(c.out.Painted, Painted{s.name, s.paper, s.inks, s.place})
	}
	days := map[string]bool{}
	for _, s := range out {
		days[s.day] = true
		c.out.Day = s.day
	}
	if len(days) > 1 {
		c.out.Day = ""
	}
	return out
}

// apart reports sets of another paper, ink or day than the first.
func (c *calibration) apart(sets []*set) {
	if len(sets) < 2 || c.brush.Pool == All {
		return
	}
	first := sets[0]
	for _, s := range sets[1:] {
		what, word := "", "all"
		switch {
		case s.paper.Differs(first.paper):
			what = fmt.Sprintf("paper (%s and %s)", first.paper.Text, s.paper.Text)
		case differ(first.inks, s.inks):
			what = fmt.Sprintf("ink (%s and %s)", format.List(texts(first.inks)), format.List(texts(s.inks)))
		case s.day != first.day && c.brush.Pool == Nothing:
			what, word = fmt.Sprintf("day (%s and %s)", first.day, s.day), "days"
		default:
			continue
		}
		c.problems.Add(problem.Problem{Code: problem.SheetsDiffer, Place: s.place, Related: []problem.Related{{Place: first.place, Note: "the first"}},
			Fix:     problem.Advise("link one of them, or pool them with the row: pool | " + word),
			Message: "readings of " + first.name + " and " + s.name + " differ in their " + what})
		return
	}
}

// sheet reads one swatch recipe: a set for each heading that has readings of the
// brush.
func (c *calibration) sheet(link Link) []*set {
	doc, name := link.Sheet.Doc, link.Sheet.File.Name
	trials := c.trials(link.Sheet)
	paper := Named{}
	for _, s := range doc.Sections {
		if s.Word == schema.Sheet {
			paper = rowOf(link.Sheet, s, "paper")
		}
	}
	var out []*set
	for _, results := range doc.Sections {
		if results.Word != schema.Results {
			continue
		}
		for i, e := range results.Entries {
			s := &set{name: name, paper: paper, day: e.Heading.String, place: e.Heading.Place}
			if i == 0 {
				s.place = results.Heading.Place
			}
			rows := c.rows(link.Sheet, results, i)
			if len(rows) == 0 {
				continue
			}
			if c.fill(s, rows, trials); len(s.marks) > 0 {
				out = append(out, s)
			}
		}
	}
	return out
}

// rowOf is what a row of a section of rows names.
func rowOf(sheet *notebook.Sheet, s *section.Section, word string) Named {
	for _, table := range s.Tables {
		for _, row := range table.Rows {
			if strings.EqualFold(row.Cells[0].String, word) && len(row.Cells) > 1 {
				return namedBy(sheet, row.Cells[1])
			}
		}
	}
	return Named{}
}

// namedBy is what a cell of a sheet names.
func namedBy(sheet *notebook.Sheet, cell section.Cell) Named {
	n := Named{Text: cell.String}
	if len(cell.Links) > 0 {
		n.Text, n.File = cell.Links[0].Label, sheet.Linked[cell.Links[0].Place.Start]
	}
	return n
}

// trials are those of a sheet by name.
func (c *calibration) trials(sheet *notebook.Sheet) map[string]trial {
	out := map[string]trial{}
	for _, s := range sheet.Doc.Sections {
		if s.Word != schema.Trials {
			continue
		}
		for _, table := range s.Tables {
			for _, row := range table.Rows {
				name, t := "", trial{held: heldByDefault}
				for i, head := range table.Header {
					cell := row.Cells[i]
					words, _, _, _ := quantity.Header(head.String, head.Place)
					switch strings.ToLower(words) {
					case "trial":
						name = cell.String
					case "kind":
						t.kind = strings.ToLower(cell.String)
					case "ink":
						t.ink = namedBy(sheet, cell)
					case "held":
						t.held = in(cell.Text, quantity.Second, t.held)
					case "press":
						t.press = in(cell.Text, quantity.MM, 0)
					case "brush":
						named := namedBy(sheet, cell)
						t.ours = isBrush(c, named.Text, named.File)
					}
				}
				out[name] = t
			}
		}
	}
	return out
}

// heldByDefault is the default of the column held, in seconds.
const heldByDefault = 4

// in is a quantity in a unit, or what is taken where it cannot be read: the swatch
// recipe itself reports that.
func in(text section.Text, unit quantity.Unit, otherwise float64) float64 {
	q, list := quantity.Parse(text.String, text.Place, quantity.Want{Dim: unit.Dim(), Usual: unit})
	if text.Empty() || len(list) > 0 {
		return otherwise
	}
	return q.In(unit)
}

// rows are the lines of the tables and files under one heading of Results.
func (c *calibration) rows(sheet *notebook.Sheet, results *section.Section, entry int) []reading.Row {
	var out []reading.Row
	from, to := results.Entries[entry].Heading.Place.Start, math.MaxInt
	if entry == 0 {
		from = 0
	}
	if entry+1 < len(results.Entries) {
		to = results.Entries[entry+1].Heading.Place.Start
	}
	for _, link := range results.Links {
		file := sheet.Readings[link.Place.Start]
		if file == nil || link.Place.Start < from || link.Place.Start >= to {
			continue
		}
		rows, list := reading.CSV(file)
		c.problems = append(c.problems, list...)
		if !list.HasErrors() {
			reportMissing(c, file, rows)
		}
		out = append(out, rows...)
	}
	for _, table := range results.Entries[entry].Tables {
		if reading.IsTable(table) {
			rows, list := reading.Table(table)
			c.problems = append(c.problems, list...)
			out = append(out, rows...)
		}
	}
	return out
}

// reportMissing reports lines that a file of numbered marks lacks: what the others are is
// known by their order.
func reportMissing(c *calibration, file *source.File, rows []reading.Row) {
	var numbers []int
	for _, r := range rows {
		if r.Number > 0 && r.Trial != "" {
			numbers = append(numbers, r.Number)
		}
	}
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	if len(numbers) == 0 {
		return
	}
	var gaps []string
	next := 1
	for _, n := range numbers {
		if n > next {
			gap := fmt.Sprint(next)
			if n-1 > next {
				gap = fmt.Sprintf("%d to %d", next, n-1)
			}
			gaps = append(gaps, gap)
		}
		next = n + 1
	}
	if len(gaps) > 0 {
		if len(gaps) > 8 {
			gaps = append(gaps[:8], "others")
		}
		c.problems.Errorf(problem.NoReadings, file.Place(0, min(len(file.Data), 1)), problem.Advise("copy the lines from to-measure.csv again; leave the reading empty where nothing was measured"),
			"%s lacks the marks %s", file.Name, format.List(gaps))
	}
}

// filler puts the readings of the brush's trials together by mark.
type filler struct {
	c      *calibration
	set    *set
	trials map[string]trial
	at     map[markKey]int
	named  map[int]string   // the trial of a number
	feeds  map[float64]bool // presses of a table that were painted at several feeds
	loose  int              // marks of tables of press and width
}

type markKey struct {
	trial  string
	number int
}

func (c *calibration) fill(s *set, rows []reading.Row, trials map[string]trial) {
	f := &filler{c: c, set: s, trials: trials, at: map[markKey]int{}, named: map[int]string{}, feeds: manyFeeds(rows)}
	for _, r := range rows {
		if r.Trial != "" && r.Number > 0 {
			f.named[r.Number] = r.Trial
		}
	}
	for _, r := range rows {
		if r.Trial == "" {
			r.Trial = f.named[r.Number]
		}
		t, problems := f.trialOf(r)
		if len(problems) > 0 {
			c.problems = append(c.problems, problems...)
			return // the others would have the same
		}
		if t.ours && !f.add(r, t) {
			return
		}
	}
	if !slices.ContainsFunc(s.marks, func(m mark) bool { return len(m.readings) > 0 }) {
		s.marks = nil
		return
	}
	if i := slices.IndexFunc(s.marks, func(m mark) bool { return len(m.readings) > 0 && math.IsNaN(m.press) }); i >= 0 {
		c.problems.Errorf(problem.OtherSheet, s.marks[i].place, problem.Advise("copy the line from to-measure.csv again, with its press"), "which press mark %d has is not known", s.marks[i].number)
		return
	}
	f.reportUnlisted()
	s.order()
}

// reportUnlisted warns of trials of the brush of which a file of numbered marks has
// no line.
func (f *filler) reportUnlisted() {
	if len(f.named) == 0 {
		return
	}
	listed := map[string]bool{}
	for _, name := range f.named {
		listed[name] = true
	}
	var lost []string
	for name, t := range f.trials {
		if t.ours && !listed[name] {
			lost = append(lost, name)
		}
	}
	if slices.Sort(lost); len(lost) > 0 {
		f.c.problems.Warnf(problem.NoReadings, f.set.place, problem.Advise("copy the lines from to-measure.csv again; leave the reading empty where nothing was measured"),
			"the readings of %s have no line of %s", f.set.name, format.List(lost))
	}
}

// trialOf is the trial that painted a line's mark, or why that is not known.
func (f *filler) trialOf(r reading.Row) (t trial, list problem.List) {
	t, known := f.trials[r.Trial]
	switch {
	case r.Trial == "" && r.Number > 0 && math.IsNaN(r.Press):
		list.Errorf(problem.OtherSheet, r.Place, problem.Advise("link a copy of to-measure.csv as well: it says which mark has which number"), "which press mark %d has is not known", r.Number)
	case r.Trial == "":
		t = trial{kind: kindOf(r, f.feeds), ours: true, held: r.Dwell}
	case !known:
		list.Errorf(problem.OtherSheet, r.Place, problem.Advise("link the readings of this sheet, or correct the name of the trial"), "%s has no trial %q: these seem to be readings of another sheet", f.set.name, r.Trial)
	case t.press > 0 && r.Press > t.press+0.005:
		list.Errorf(problem.OtherSheet, r.Place, problem.Advise("link the readings of this sheet"), "the trial %q of %s is pressed %.2f mm at most, and this mark %.2f mm: these seem to be readings of another sheet", r.Trial, f.set.name, t.press, r.Press)
	}
	return t, list
}

// add puts a line to those of its mark; false if they contradict each other.
func (f *filler) add(r reading.Row, t trial) bool {
	s := f.set
	if t.ink.Text != "" && !slices.Contains(s.inks, t.ink) {
		s.inks = append(s.inks, t.ink)
	}
	if r.Number == 0 {
		f.loose++
		r.Number = math.MinInt32 + f.loose // before all numbers, in the order of the table
	}
	k := markKey{r.Trial, r.Number}
	i, has := f.at[k]
	if !has {
		i = len(s.marks)
		f.at[k] = i
		s.marks = append(s.marks, mark{place: r.Place, number: r.Number, kind: t.kind, x: r.X, y: r.Y, across: r.Across, press: r.Press,
			feed: r.Feed, expected: r.Expected, held: t.held, above: r.Above})
		if r.Trial == "" {
			s.marks[i].index = -1
		}
	}
	m := &s.marks[i]
	if math.IsNaN(m.press) {
		m.press = r.Press
	}
	if !math.IsNaN(r.Press) && r.Press != m.press {
		f.c.problems.Add(problem.Problem{Code: problem.OtherSheet, Place: r.Place, Fix: problem.Advise("link the readings of one sheet alone"), Related: []problem.Related{{Place: m.place, Note: "the other line"}},
			Message: fmt.Sprintf("mark %d has a press of %.2f mm here and %.2f mm in another line", r.Number, r.Press, m.press)})
		return false
	}
	if r.LeftOut != "" {
		return true
	}
	for _, v := range r.Values {
		if v.MM < 0 && t.kind != "tips" {
			f.c.problems.Errorf(problem.OutOfRange, v.Place, problem.Advise("write the length that was measured, or 0 where there is no mark"), "a length cannot be less than 0")
			return false
		}
		m.readings = append(m.readings, one{v.MM, v.U, r.By, v.Place})
	}
	return true
}

// kindOf is the kind of trial that a line of a table belongs to: dots are held, and
// a press that was painted at three feeds or more shows how marks spread.
func kindOf(r reading.Row, feeds map[float64]bool) string {
	switch {
	case r.Dot:
		return "dwell"
	case feeds[r.Press]:
		return "feeds"
	}
	return "ladder"
}

// manyFeeds are the presses of a table that were painted at three feeds or more.
func manyFeeds(rows []reading.Row) map[float64]bool {
	feeds, out := map[float64][]float64{}, map[float64]bool{}
	for _, r := range rows {
		if r.Trial == "" && r.Feed > 0 && !r.Dot && !slices.Contains(feeds[r.Press], r.Feed) {
			feeds[r.Press] = append(feeds[r.Press], r.Feed)
			out[r.Press] = len(feeds[r.Press]) >= 3
		}
	}
	return out
}

// order numbers the marks of each trial, and finds out by their order what they are.
func (s *set) order() {
	slices.SortFunc(s.inks, func(a, b Named) int { return cmp.Compare(a.Text, b.Text) })
	slices.SortStableFunc(s.marks, func(a, b mark) int { return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.number, b.number)) })
	rung := false // the mark before was a rung below the paper
	for i := range s.marks {
		m := &s.marks[i]
		if m.index < 0 { // from a table of press and width
			continue
		}
		if i > 0 && s.marks[i-1].kind == m.kind && s.marks[i-1].index >= 0 {
			m.index = s.marks[i-1].index + 1
		}
		switch m.kind {
		case "ladder":
			// Each rung that is pressed below the paper is followed by a light mark.
			m.check = rung && m.press > 0
			rung = m.press > 0 && !m.check
		case "dwell":
			m.held *= measure.HeldShares[m.index/2%len(measure.HeldShares)]
		}
	}
}

// slope is how fast the press of a ramp changes on its way up, mm a mm of path.
func (s *set) slope(m *mark) float64 {
	i := slices.IndexFunc(s.marks, func(o mark) bool { return o.kind == m.kind && o.index == m.index-1 })
	if i < 0 {
		return 0
	}
	before := &s.marks[i]
	length := arith.Hypot(m.x-before.x, m.y-before.y)
	if !(length > 0) {
		return 0
	}
	return (before.press - m.press) / length
}
