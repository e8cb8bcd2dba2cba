package logbook

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
	"unicode"

	"mahlstick/recipe/working"
)

// shownWorking is a working with what its links need.
type shownWorking struct {
	working.Working
	Anchor        string
	Needs, UsedBy []linkedName
}

// Broad reports whether the working needs the whole width of the page, because
// a part that cannot be broken is wider than half of it.
func (w shownWorking) Broad() bool {
	_, formula := breakMath(w.FormulaMath)
	_, filled := breakMath(w.FilledMath)
	return max(formula, filled) > widestInColumn
}

// linkedName is a name and the id of the element that shows it, "" if none
// does.
type linkedName struct{ Name, Anchor string }

// Working returns the named working for the template.
func (s *shown) Working(name string) shownWorking {
	w := s.Workings[name]
	link := func(names []string) (out []linkedName) {
		for _, n := range names {
			anchor := s.rowIDs[n]
			if _, ok := s.Workings[n]; ok {
				anchor = "w-" + anchorOf(n)
			}
			out = append(out, linkedName{n, anchor})
		}
		return out
	}
	return shownWorking{w, anchorOf(name), link(w.Needs), link(w.UsedBy)}
}

// mathLine shows a line of a working as MathML and as readable text; the style
// shows the one that the browser can. The first line carries the name.
func mathLine(name, nameMath, text, mathml string) template.HTML {
	if name != "" {
		name += " "
	}
	plain := template.HTMLEscapeString(name + "= " + text)
	pieces, widest := breakMath(mathml)
	if len(pieces) == 0 {
		return template.HTML(`<div class="line"><span>` + plain + `</span></div>`)
	}
	pieces[0] = strings.Replace(pieces[0], "<math>", `<math><mo form="infix">=</mo>`, 1)
	class := "line"
	switch {
	case widest > widestOnPage:
		class = "line wider widest"
	case widest > widestOnPaper:
		class = "line wider"
	case widest > widestOnPhone:
		class = "line wide"
	}
	return template.HTML(`<div class="` + class + `"><span class="plain">` + plain + `</span><span class="maths">` + nameMath + "<wbr>" + strings.Join(pieces, "<wbr>") + "</span></div>")
}

// resultLine shows the result of a working as text: it is a number in bold, and
// fonts for mathematics have no bold digits.
func resultLine(text, mathml string) template.HTML {
	if strings.Contains(mathml, "<msup>") {
		return template.HTML(`<div class="line result"><span class="plain">= ` + template.HTMLEscapeString(text) + `</span><span class="maths">= ` + mathml + `</span></div>`)
	}
	return template.HTML(`<div class="line result">= ` + template.HTMLEscapeString(text) + `</div>`)
}

// rowID is the id of a row, a cell or a brush by its name in formulas.
func rowID(name string) string { return "r-" + anchorOf(name) }

// rowIDs returns the ids of all rows, cells and brushes of a page, by their
// names in formulas.
func rowIDs(blocks []Block) map[string]string {
	ids := map[string]string{}
	note := func(facts []Fact) {
		for _, f := range facts {
			for _, name := range append(slices.Clone(f.Also), f.Name) {
				if f.Name != "" && name != "" {
					ids[name] = rowID(f.Name)
				}
			}
		}
	}
	for _, b := range blocks {
		note(b.Facts)
		note(b.Unstated)
		if b.Table != nil {
			for _, row := range b.Table.Rows {
				note(row)
			}
		}
		if b.Name != "" {
			ids[b.Name] = rowID(b.Name)
		}
	}
	return ids
}

// anchorOf makes a valid id from a name. Different names stay different,
// because each character that is not allowed becomes its number.
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
