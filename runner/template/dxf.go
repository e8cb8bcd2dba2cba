package template

import (
	"bytes"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing/dxfwrite"
	"mahlstick/runner/vector"
)

// DXF writes the template as DXF. The edge of the sheet and its margin are on
// locked layers that are not plotted. The same template gives the same
// bytes.
func (t *Template) DXF() ([]byte, problem.List) {
	var problems problem.List
	o := dxfwrite.File{Looks: map[string]dxfwrite.Look{}}
	switch t.UnitName {
	case "mm", "cm", "m", "in", "ft":
		o.Unit = t.UnitName // others cannot be stated in a DXF; the recipe does
	}
	for _, l := range t.Layers {
		if err := dxfwrite.CheckLayerName(l.Name); err != nil {
			problems.Errorf(problem.WrongName, l.Place, problem.Advise("name another drawing layer, or write the template as SVG"), "%v", err)
			continue
		}
		o.Layers = append(o.Layers, l.Name)
		o.Looks[l.Name] = dxfwrite.Look{Colour: l.colour()}
		for _, m := range l.Marks {
			o.Entities = append(o.Entities, dxfwrite.Square(l.Name, vector.XY{X: t.unit(m.X), Y: t.unit(m.Y)}, t.unit(m.Size)))
		}
	}
	for _, g := range t.guides() {
		o.Layers = append(o.Layers, g.name)
		o.Looks[g.name] = dxfwrite.Look{Colour: guideColour, NotPlotted: true, Locked: true}
		left, right := t.unit(g.in), t.unit(t.Width-g.in)
		low, high := t.unit(g.in), t.unit(t.Height-g.in)
		o.Entities = append(o.Entities, dxfwrite.Path(g.name,
			vector.XY{X: left, Y: low}, vector.XY{X: right, Y: low}, vector.XY{X: right, Y: high}, vector.XY{X: left, Y: high}))
	}
	if problems.HasErrors() {
		return nil, problems
	}
	var b bytes.Buffer
	if err := dxfwrite.Write(&b, o); err != nil {
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
