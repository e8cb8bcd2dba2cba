package recipe

import (
	"regexp"
	"slices"
	"strings"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/formula"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/schema"
)

// ink reads the ink of a layer: a link to one, the name of one that the recipe
// states, or a colour.
func (l *layerReader) ink(c *binding.Cell) bool {
	d, titles, ok := l.inkDefinition(c)
	if !ok {
		return false
	}
	ink, list := l.inkOf(c, d, titles)
	l.a.problems = append(l.a.problems, list...)
	l.layer.Ink = ink
	return len(list) == 0 && ink.Hex != ""
}

// inkDefinition is the Ink section that a cell refers to, nil if the cell
// states a colour itself. titles are the names of the inks that it could refer
// to.
func (l *layerReader) inkDefinition(c *binding.Cell) (d *binding.Definition, titles []string, ok bool) {
	if len(c.Source.Links) > 0 {
		linked := l.a.recipe.LinkedBy(c)
		if linked == nil {
			return nil, nil, false // reported with the link
		}
		d, list := linked.Pick(schema.InkSection, c.Source.Links[0])
		l.a.problems = append(l.a.problems, list...)
		return d, nil, d != nil
	}
	for _, d := range l.a.recipe.Definitions {
		if d.Schema.Word != schema.InkSection {
			continue
		}
		if d.Name == formula.Fold(c.Source.String) {
			return d, nil, true
		}
		titles = append(titles, d.Title)
	}
	return nil, titles, true
}

// inkOf is the ink of a section or, without one, the colour in the cell.
func (l *layerReader) inkOf(c *binding.Cell, d *binding.Definition, titles []string) (model.Ink, problem.List) {
	if d == nil {
		return readColour(c, titles)
	}
	used := l.a.inked[d]
	l.a.inked[d] = true
	if !l.a.checkRequired(d) {
		return model.Ink{}, nil
	}
	colour, _ := d.Find("colour")
	if len(colour.Source.Links) > 0 {
		var list problem.List
		list.Errorf(problem.UnknownInk, colour.Source.Place, problem.Advise("write a colour, such as #5f6f3a"), "the colour of an ink cannot be a link")
		return model.Ink{}, list
	}
	ink, list := readColour(colour, nil)
	ink.Name = d.Title
	if q, ok := l.a.values.Row(d, "drying"); ok {
		ink.Drying = q.In(quantity.Second)
	}
	if !used {
		l.a.facts.rows(d)
	}
	return ink, list
}

var (
	sixDigits  = regexp.MustCompile(`#[0-9A-Fa-f]{6}\b`)
	bareDigits = regexp.MustCompile(`\b[0-9A-Fa-f]{6}$`)
	hashDigits = regexp.MustCompile(`#[0-9A-Za-z]*`)
)

// readColour reads "#5f6f3a", "moss" or "moss #5f6f3a". titles are the names of
// inks that could have been meant.
func readColour(c *binding.Cell, titles []string) (ink model.Ink, list problem.List) {
	text := strings.Trim(c.Source.String, "`")
	if at := sixDigits.FindStringIndex(text); at != nil {
		name := strings.TrimSpace(strings.Trim(text[:at[0]]+text[at[1]:], " ,"))
		hex := strings.ToLower(text[at[0]:at[1]])
		if name == "" {
			name = hex
		}
		return model.Ink{Name: name, Hex: hex}, nil
	}
	if at := hashDigits.FindStringIndex(text); at != nil {
		fix := problem.Advise("write # and six digits from 0 to 9 and a to f, such as #5f6f3a")
		if digits := text[at[0]+1 : at[1]]; len(digits) == 3 && strings.Trim(strings.ToLower(digits), "0123456789abcdef") == "" {
			fix = problem.Write("#" + string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]}))
		}
		shift := strings.Index(c.Source.String, text)
		list.Errorf(problem.UnknownInk, c.Source.Place.Sub(shift+at[0], shift+at[1]), fix, "%q is not a colour", text[at[0]:at[1]])
		return ink, list
	}
	if hex, ok := schema.InkColour(text); ok {
		return model.Ink{Name: text, Hex: hex}, nil
	}
	if at := bareDigits.FindStringIndex(text); at != nil && strings.ContainsAny(text[at[0]:], "0123456789") {
		list.Errorf(problem.UnknownInk, c.Source.Place, problem.Write(text[:at[0]]+"#"+text[at[0]:]), "the colour %q needs a # before it", text[at[0]:])
		return ink, list
	}
	fix := problem.Correction(text, slices.Concat(titles, schema.InkNames())).Else(problem.Advise("write its colour after the name, as # and six digits"))
	list.Errorf(problem.UnknownInk, c.Source.Place, fix, "the ink %q is not known; followed by a colour, any name will do", text)
	return ink, list
}
