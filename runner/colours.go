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
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/drawing/dxf"
	"mahlstick/runner/palette"
	"mahlstick/runner/template"
)

// Palette is what a drawing has on its layers, by colour.
type Palette struct {
	Drawing *drawing.Drawing
	Assumed bool // the drawing's unit: neither the file nor a recipe states one
	Colours []palette.Colour
	ByLayer []palette.Colour // the same, those of each drawing layer apart
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
	shapes := palette.Shapes(d)
	p.Colours, p.ByLayer = palette.Of(shapes), palette.ByLayer(shapes)
	return p, problems, nil
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
