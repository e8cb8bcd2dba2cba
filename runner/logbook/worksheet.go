package logbook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"unicode"

	"mahlstick/recipe/working"
)

//go:embed worksheet.tmpl
var worksheetTemplate string

// worksheets shares the functions of the job's page.
var worksheets = template.Must(template.Must(pages.Clone()).New("worksheet").Parse(worksheetTemplate))

// People are those who measured a brush together.
type People struct {
	Brush string
	Name  string // of the brush in formulas
	Each  []Person
}

// Person is one of them, by pseudonym, with the number of readings.
type Person struct {
	Name     string
	Readings int
}

// Worksheet is a page for learners: the formulas of the job's page with their
// results left blank. Where all numbers of a formula are given, they are put in.
func (p *Page) Worksheet() ([]byte, error) {
	var out bytes.Buffer
	if err := worksheets.Execute(&out, worksheet{p}); err != nil {
		return nil, fmt.Errorf("worksheet of %s: %w", p.Job, err)
	}
	return out.Bytes(), nil
}

type worksheet struct{ *Page }

// blankWorking is a working whose result is left out.
type blankWorking struct {
	working.Working
	// Stated reports that the recipe states it as a number: nothing is to be worked
	// out.
	Stated bool
	// Given reports that the formula with the numbers put in is shown: it holds no
	// result of another one.
	Given bool
	Unit  string // of the result
	// With are the numbers that it needs and that are no results.
	With []working.Given
}

// Blanks are the workings in the order of the page, each after those that it needs.
func (w worksheet) Blanks() []blankWorking {
	var names []string
	for _, b := range w.Blocks {
		names = append(names, b.Workings...)
	}
	names = append(names, w.Derived...)
	var out []blankWorking
	done := map[string]bool{}
	var add func(name string)
	add = func(name string) {
		own, known := w.Workings[name]
		if !known || done[name] {
			return
		}
		done[name] = true
		given, with := true, own.Given
		for _, need := range own.Needs {
			_, worked := w.Workings[need]
			given = given && !worked
			add(need)
		}
		with = slices.DeleteFunc(slices.Clone(with), func(g working.Given) bool {
			_, worked := w.Workings[g.Name]
			return worked
		})
		stated := len(own.Needs) == 0 && !strings.ContainsAny(own.Formula[min(1, len(own.Formula)):], "+-/^(")
		out = append(out, blankWorking{own, stated, given && len(own.Needs) > 0 && own.Filled != own.Formula, unitOf(own.Result), with})
	}
	for _, name := range names {
		add(name)
	}
	return out
}

// unitOf is what follows the digits of a result.
func unitOf(result string) string {
	return strings.TrimSpace(result[strings.LastIndexFunc(result, func(r rune) bool { return r < unicode.MaxASCII && unicode.IsDigit(r) })+1:])
}

// namedGrid is an empty chart to draw a brush's curve in.
type namedGrid struct {
	Name  string
	Chart *Chart
}

// Grids are those of the brushes that people measured together.
func (w worksheet) Grids() []namedGrid {
	var out []namedGrid
	for _, b := range w.Blocks {
		i := slices.IndexFunc(w.People, func(p People) bool { return p.Name == b.Name })
		if b.Chart == nil || i < 0 {
			continue
		}
		empty := &Chart{SafePress: b.Chart.SafePress}
		if n := len(b.Chart.Curve); n > 0 {
			empty.Curve = b.Chart.Curve[n-1:] // only how far the axes go
		}
		out = append(out, namedGrid{w.People[i].Brush, empty})
	}
	return out
}
