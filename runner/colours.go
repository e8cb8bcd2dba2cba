package runner

import (
	"errors"
	"io/fs"
	"path/filepath"
	"slices"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/covering"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/drawing/dxf"
	"mahlstick/runner/palette"
	"mahlstick/runner/region"
	"mahlstick/runner/register"
	"mahlstick/runner/template"
)

// Palette is what a drawing has on its layers, by colour.
type Palette struct {
	Drawing *drawing.Drawing
	Assumed bool // the drawing's unit: neither the file nor a recipe states one
	Colours []palette.Colour
	ByLayer []palette.Colour // the same, those of each drawing layer apart
	shapes  []palette.Shape
}

// PaletteOf reads a drawing file, or a drawing of a recipe with the unit that a
// layer states. Where the file states no unit and none is given, lengths are
// those of px for SVG and of mm for DXF. If the list holds an error, the palette is
// not complete.
func PaletteOf(file string, unit model.Unit, workers int) (*Palette, problem.List, error) {
	studio, name, err := recipe.Open(file)
	if err != nil {
		return nil, nil, err
	}
	defer studio.Close()
	data, err := notebook.ReadFile(studio.FS, name, drawing.MaxBytes)
	if err != nil {
		var path *fs.PathError
		if errors.As(err, &path) {
			err = path.Err
		}
		return nil, nil, err
	}
	read := func(unit model.Unit) (*drawing.Drawing, problem.List) {
		d, problems := decode.Drawing(source.New(name, data), drawing.Options{Unit: unit, ByColour: true, Unpainted: true, Anywhere: true, Workers: workers})
		template.SkipGuides(d)
		return d, problems
	}
	p := &Palette{}
	d, problems := read(unit)
	if slices.ContainsFunc(problems, func(q problem.Problem) bool { return q.Code == problem.NoUnit }) {
		p.Assumed = true
		unit = model.Unit{Name: "px", MM: 25.4 / 96}
		if dxf.IsDXF(data) {
			unit = model.Unit{Name: "mm", MM: 1}
		}
		d, problems = read(unit)
	}
	problems = slices.DeleteFunc(problems, func(q problem.Problem) bool { // the list shows them
		return q.Code == problem.WhiteShape || q.Code == problem.GradientFill || q.Code == problem.HatchPattern
	})
	p.Drawing = d
	p.shapes = palette.Shapes(d)
	p.Colours, p.ByLayer = palette.Of(p.shapes), palette.ByLayer(p.shapes)
	return p, problems, nil
}

// OwnColours reports whether some shape has a colour that is not merely that of its
// drawing layer.
func (p *Palette) OwnColours() bool {
	return slices.ContainsFunc(p.Drawing.Contours, func(c drawing.Contour) bool { return !c.Paint.OfLayer })
}

// Under says what of some shapes lies under later opaque ones. A closed outline
// without a fill, as of a DXF, may be meant as a line: it counts only in AllWithOutlines.
type Under struct{ Some, All, AllWithOutlines bool }

// Under finds what of the shapes that are taken lies under others. Where they are too
// tangled to say, nothing is covered.
func (p *Palette) Under(takes func(c *palette.Shape) bool) Under {
	some, all, outlines := p.under(takes, false)
	u := Under{Some: some, All: all, AllWithOutlines: all}
	if outlines {
		_, u.AllWithOutlines, _ = p.under(takes, true)
	}
	return u
}

// under also reports whether there are outlines that may cover, too.
func (p *Palette) under(takes func(c *palette.Shape) bool, withOutlines bool) (some, all, outlines bool) {
	const tolerance = 0.02 // mm, the default of layers
	var painted []register.Contour
	var covers []register.Cover
	for i := range p.shapes {
		s := &p.shapes[i]
		c := register.Contour{Identity: s.Identity, Points: s.Points, Closed: s.Closed, Widths: s.Widths}
		c.Shape = len(painted)
		switch {
		case takes(s):
			painted = append(painted, c)
		case s.Paint.Covers() && c.Closed && !c.IsArea() && !withOutlines:
			outlines = true
		case s.Paint.Covers() && (c.Closed || c.IsArea()):
			covers = append(covers, register.Cover{Contour: c, Layer: s.Layer})
		}
	}
	hidden, _, parts, ok := covering.Measure(painted, covers, false, region.Options{}, tolerance)
	some = ok && hidden.Shapes > 0
	return some, some && hidden.Whole == parts, outlines
}

// DrawingFile is a drawing of a recipe.
type DrawingFile struct {
	File string // its path on the disk
	Name string // its path below the studio
	Unit model.Unit
}

// DrawingFiles lists the drawings of a recipe, each once, in the order of the
// layers; none if the recipe has errors.
func DrawingFiles(file string) ([]DrawingFile, error) {
	studio, name, err := recipe.Open(file)
	if err != nil {
		return nil, err
	}
	defer studio.Close()
	job, problems := recipe.Read(studio.FS, name)
	if job == nil || problems.HasErrors() {
		return nil, nil
	}
	var out []DrawingFile
	for i := range job.Layers {
		l := &job.Layers[i]
		if !slices.ContainsFunc(out, func(d DrawingFile) bool { return d.Name == l.Drawing }) {
			out = append(out, DrawingFile{filepath.Join(studio.Dir, filepath.FromSlash(l.Drawing)), l.Drawing, l.Unit})
		}
	}
	return out, nil
}
