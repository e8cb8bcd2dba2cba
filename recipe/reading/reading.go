// Package reading reads what was measured on a painted sheet: from a file of
// comma-separated values as spreadsheets write them, or from a table under
// Results. Each line keeps its place.
package reading

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// Row is a line: one mark, and what was read of it. What the line does not state
// is 0 or "", but for Press.
type Row struct {
	Place  source.Place
	Number int     // of the mark
	Trial  string  // name of the trial that painted it
	X, Y   float64 // mm, its place on the sheet
	// Across is the direction in degrees in which it was to be measured.
	Across   float64
	Press    float64 // mm below the touch-off; NaN where it is not stated
	Feed     float64 // mm/min
	Expected float64 // mm
	Dwell    float64 // s
	Dot      bool    // a dot, held for Dwell
	Above    bool    // the press was reached from above
	By       string  // who measured it
	// LeftOut is why the readings do not count, as the user wrote it.
	LeftOut string
	Values  []Value
}

// Value is one reading.
type Value struct {
	MM, U float64 // length and stated standard uncertainty; 0 mm is no mark
	Place source.Place
}

// Words are the columns that are read. Others are left to the user.
var Words = []string{"number", "trial", "x", "y", "across", "press", "feed", "expected", "measured", "width", "from", "dwell", "by", "left out"}

// repeatable are the columns of which there may be several: a reading each.
var repeatable = []string{"measured", "width"}

// most bounds the lines of one file, far above what anybody measures.
const most = 100_000

// mostProblems are as many problems as are listed of one file.
const mostProblems = 20

// line is a line of cells.
type line struct {
	place source.Place
	cells []section.Text
}

// column is what a column holds.
type column struct {
	word string // "" for what is not read
	unit quantity.Unit
	// hasUnit reports that the header states the unit.
	hasUnit bool
}

// reader reads the lines of one file or table.
type reader struct {
	columns  []column
	problems problem.List
	wrong    int // problems so far, listed or not
	// commas reports that commas separate the columns: a comma in a number of four
	// digits may then be either.
	commas   bool
	unitless map[string]bool // columns whose missing unit was reported
}

// Table reads a table under Results.
func Table(t *section.Table) ([]Row, problem.List) {
	r := &reader{unitless: map[string]bool{}}
	header := make([]section.Text, len(t.Header))
	for i, c := range t.Header {
		header[i] = c.Text
	}
	if !r.header(line{t.Head, header}) {
		return nil, r.problems
	}
	var out []Row
	for _, row := range t.Rows {
		cells := make([]section.Text, len(row.Cells))
		for i, c := range row.Cells {
			cells[i] = c.Text
		}
		if read, ok := r.row(line{row.Place, cells}); ok {
			out = append(out, read)
		}
	}
	return out, r.problems
}

// IsTable reports whether a table holds readings of numbered marks, or of presses:
// the columns number and measured, or press and width.
func IsTable(t *section.Table) bool {
	var words []string
	for _, c := range t.Header {
		words = append(words, wordOf(c.String))
	}
	has := func(word string) bool { return slices.Contains(words, word) }
	return has("number") && (has("measured") || has("width")) || has("press") && (has("measured") || has("width"))
}

// wordOf is the word of a header without its unit and the number after it: those
// of "Measured (mm)" and "measured 2" are "measured".
func wordOf(header string) string {
	words, _, _, _ := quantity.Header(header, source.Place{})
	fields := strings.Fields(strings.ToLower(strings.NewReplacer("_", " ", "-", " ").Replace(words)))
	if n := len(fields); n > 1 {
		if _, err := strconv.Atoi(fields[n-1]); err == nil {
			fields = fields[:n-1]
		}
	}
	return strings.Join(fields, " ")
}

// header reads the columns; false if the readings cannot be found.
func (r *reader) header(l line) bool {
	first := map[string]source.Place{}
	var words []string
	for _, cell := range l.cells {
		word := wordOf(cell.String)
		words = append(words, word)
		if !slices.Contains(Words, word) {
			r.columns = append(r.columns, column{})
			continue
		}
		_, unit, has, list := quantity.Header(cell.String, cell.Place)
		r.problems = append(r.problems, list...)
		if before, twice := first[word]; twice && !slices.Contains(repeatable, word) {
			r.problems.Add(problem.Problem{Code: problem.DefinedTwice, Place: cell.Place, Fix: problem.Advise("remove one of the columns"),
				Message: "there are two columns " + strconv.Quote(word), Related: []problem.Related{{Place: before, Note: "the first"}}})
		}
		first[word] = cell.Place
		if has && len(list) == 0 && unit.Dim() != dimOf(word) {
			r.problems.Errorf(problem.DimensionError, cell.Place, problem.Advise("write the unit in which it was measured, such as mm"), "%q is not %s", unit.String(), dimOf(word).WithArticle())
		}
		if i := slices.IndexFunc(r.columns, func(c column) bool { return c.word == word && c.hasUnit }); i >= 0 && !has {
			unit, has = r.columns[i].unit, true // a further column of readings is like the first
		}
		r.columns = append(r.columns, column{word, unit, has})
	}
	for _, need := range [][]string{{"measured", "width"}, {"number", "press"}} {
		if slices.ContainsFunc(need, func(w string) bool { _, has := first[w]; return has }) {
			continue
		}
		fix, place := problem.Advise("name the columns as in to-measure.csv: number, press (mm), measured (mm)"), l.place
		for i, word := range words {
			if near, ok := problem.Nearest(word, need); ok {
				fix, place = problem.DidYouMean(near), l.cells[i].Place
			}
		}
		r.problems.Errorf(problem.MissingColumn, place, fix, "there is no column %q", need[0])
	}
	return !r.problems.HasErrors()
}

func dimOf(word string) quantity.Dim {
	switch word {
	case "across":
		return quantity.Angle
	case "feed":
		return quantity.Speed
	case "dwell":
		return quantity.Time
	}
	return quantity.Length
}

// usual is the unit in which a column is kept.
func usual(word string) quantity.Unit {
	switch word {
	case "across":
		return quantity.Degree
	case "feed":
		return quantity.MMPerMin
	case "dwell":
		return quantity.Second
	}
	return quantity.MM
}

// row reads a line; false for one without any text, or with a problem.
func (r *reader) row(l line) (Row, bool) {
	if !slices.ContainsFunc(l.cells, func(c section.Text) bool { return !c.Empty() }) {
		return Row{}, false
	}
	out := Row{Place: l.place, Press: math.NaN()}
	before := r.wrong
	for i, cell := range l.cells {
		if cell.Empty() || i >= len(r.columns) {
			continue
		}
		switch col := r.columns[i]; col.word {
		case "":
		case "number":
			out.Number = r.number(cell)
		case "trial":
			out.Trial = cell.String
		case "by":
			out.By = cell.String
		case "left out":
			out.LeftOut = cell.String
		case "from":
			out.Above = r.above(cell)
		case "measured", "width":
			if v, ok := r.value(cell, col); ok {
				out.Values = append(out.Values, v)
			}
		default:
			*out.quantity(col.word), _ = r.quantity(cell, col)
			out.Dot = out.Dot || col.word == "dwell"
		}
	}
	return out, r.wrong == before
}

// quantity is where a quantity of a column is kept.
func (row *Row) quantity(word string) *float64 {
	switch word {
	case "x":
		return &row.X
	case "y":
		return &row.Y
	case "across":
		return &row.Across
	case "press":
		return &row.Press
	case "feed":
		return &row.Feed
	case "expected":
		return &row.Expected
	}
	return &row.Dwell
}

// add lists a problem, or counts it if there are many.
func (r *reader) add(list ...problem.Problem) {
	for _, p := range list {
		if r.wrong++; r.wrong < mostProblems {
			r.problems.Add(p)
		} else if r.wrong == mostProblems {
			p.Message += "; further lines have problems too"
			r.problems.Add(p)
		}
	}
}

func (r *reader) number(cell section.Text) int {
	text := strings.TrimSuffix(strings.TrimSuffix(cell.String, ".0"), ",0") // as a spreadsheet may write it
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 1_000_000 {
		r.add(problem.Problem{Code: problem.NotACount, Place: cell.Place, Fix: problem.Advise("write the number that to-measure.csv gives the mark"),
			Message: "a mark's number is a whole number of 1 or more, not " + strconv.Quote(cell.String)})
		return 0
	}
	return n
}

func (r *reader) above(cell section.Text) bool {
	switch strings.ToLower(cell.String) {
	case "below":
		return false
	case "above":
		return true
	}
	r.add(problem.Problem{Code: problem.UnknownWord, Place: cell.Place, Fix: problem.Correction(cell.String, []string{"above", "below"}).Else(problem.Advise("write above or below")),
		Message: "from must be above or below, not " + strconv.Quote(cell.String)})
	return false
}

// value reads a reading; false where nothing was read. "none" and "-" are a place
// without a mark.
func (r *reader) value(cell section.Text, col column) (Value, bool) {
	switch strings.ToLower(cell.String) {
	case "none", "no", "-", "–":
		return Value{Place: cell.Place}, true
	}
	mm, u := r.quantity(cell, col)
	if math.IsNaN(mm) {
		return Value{}, false
	}
	return Value{MM: mm, U: u, Place: cell.Place}, true
}

// quantity reads a number with its unit, or in that of its column; NaN if it
// cannot be read.
func (r *reader) quantity(cell section.Text, col column) (value, u float64) {
	text := cell.String
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") && !(r.commas && slices.Contains(repeatable, col.word) && thousands.MatchString(text)) {
		text = strings.Replace(text, ",", ".", 1)
	}
	unit := usual(col.word)
	if col.hasUnit && plain(text) {
		if x, err := strconv.ParseFloat(text, 64); err == nil && math.Abs(x) < 1e6 {
			return col.unit.Convert(x, unit), 0
		}
	}
	q, list := quantity.Parse(text, cell.Place, quantity.Want{Dim: dimOf(col.word), Usual: unit, Unit: col.unit, Header: col.hasUnit, Example: "0.66 mm"})
	if len(list) > 0 {
		r.refuse(list, col)
		return math.NaN(), 0
	}
	return q.In(unit), q.U(unit)
}

// thousands matches a number whose comma may separate thousands or decimals.
var thousands = regexp.MustCompile(`^[1-9]\d{0,2},\d{3}\b`)

// refuse lists the problems of a cell; that the whole column has no unit is listed
// once.
func (r *reader) refuse(list problem.List, col column) {
	if len(list) == 1 && list[0].Code == problem.MissingUnit && !col.hasUnit {
		if r.wrong++; !r.unitless[col.word] {
			r.unitless[col.word] = true
			p := list[0]
			p.Fix = problem.Advise("write the unit into the header, as in " + col.word + " (" + usual(col.word).String() + "), or behind every number")
			r.problems.Add(p)
		}
		return
	}
	r.add(list...)
}

// plain reports whether a text is digits with a sign and a point at most.
func plain(text string) bool {
	for i := range len(text) {
		if c := text[i]; (c < '0' || c > '9') && c != '.' && !(i == 0 && (c == '-' || c == '+')) {
			return false
		}
	}
	return text != ""
}
