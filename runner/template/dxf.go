package template

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
)

// DXF writes the template as DXF. The edge of the sheet and its margin stand
// on locked layers that are not plotted. The same template gives the same
// bytes.
func (t *Template) DXF() ([]byte, problem.List) {
	var problems problem.List
	o := drawing.Out{Looks: map[string]drawing.Look{}}
	switch t.UnitName {
	case "mm", "cm", "m", "in", "ft":
		o.Unit = t.UnitName // others cannot be stated in a DXF; the recipe does
	}
	for _, l := range t.Layers {
		if err := drawing.CheckLayerName(l.Name); err != nil {
			problems.Errorf(problem.WrongName, l.Place, problem.Advise("name another drawing layer, or write the template as SVG"), "%v", err)
			continue
		}
		o.Layers = append(o.Layers, l.Name)
		o.Looks[l.Name] = drawing.Look{Colour: l.colour()}
		for _, m := range l.Marks {
			o.Entities = append(o.Entities, drawing.Square(l.Name, drawing.XY{X: t.unit(m.X), Y: t.unit(m.Y)}, t.unit(m.Size)))
		}
	}
	for _, g := range t.guides() {
		o.Layers = append(o.Layers, g.name)
		o.Looks[g.name] = drawing.Look{Colour: guideColour, NotPlotted: true, Locked: true}
		left, right := t.unit(g.in), t.unit(t.Width-g.in)
		low, high := t.unit(g.in), t.unit(t.Height-g.in)
		o.Entities = append(o.Entities, drawing.Path(g.name,
			drawing.XY{X: left, Y: low}, drawing.XY{X: right, Y: low}, drawing.XY{X: right, Y: high}, drawing.XY{X: left, Y: high}))
	}
	if problems.HasErrors() {
		return nil, problems
	}
	var b bytes.Buffer
	if err := drawing.WriteDXF(&b, o); err != nil {
		problems.Errorf(problem.WrongName, t.Layers[0].Place, problem.Advise("write the template as SVG"), "%v", err)
		return nil, problems
	}
	return b.Bytes(), problems
}

// colour is how a layer is shown.
func (l *Layer) colour() string {
	if l.Ink == "" {
		return markColour
	}
	return l.Ink
}
