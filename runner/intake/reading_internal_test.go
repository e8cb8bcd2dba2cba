package intake

import (
	"os"
	"reflect"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
	"mahlstick/runner/template"
)

// A file is decoded for one drawing, or recorded once for many; each drawing is
// as if the file had been read for it alone.
func TestReading(t *testing.T) {
	data, err := os.ReadFile("../../notebooks/heron/indigo.dxf")
	if err != nil {
		t.Fatal(err)
	}
	file := source.New("heron/indigo.dxf", data)
	here, there := model.Layer{Drawing: file.Name}, model.Layer{Drawing: "heron/moss.dxf"}
	onLayer := here
	onLayer.DrawingLayer = "indigo"
	for _, c := range []struct {
		layers []model.Layer
		often  bool
	}{{[]model.Layer{here, there}, false}, {[]model.Layer{here, here}, true}, {[]model.Layer{there, onLayer}, true}} {
		r := newReading(file, &model.Job{Layers: c.layers}, 2)
		if r.often != c.often {
			t.Errorf("%v: recorded at once: %v", c.layers, r.often)
		}
		for _, options := range []drawing.Options{{}, {Unit: model.Unit{Name: "cm", MM: 10, Override: true}}, {Layer: "no such layer"}} {
			want, wantProblems := decode.Drawing(file, options)
			template.SkipGuides(want)
			for _, read := range []func(drawing.Options) (*drawing.Drawing, problem.List){r.first, r.again} {
				got, problems := read(options)
				if !reflect.DeepEqual(problems, wantProblems) {
					t.Errorf("%+v: problems %v, want %v", options, problems, wantProblems)
				}
				if !reflect.DeepEqual(got.Contours, want.Contours) || !reflect.DeepEqual(got.Skipped, want.Skipped) {
					t.Errorf("%+v: %d contours, want %d", options, len(got.Contours), len(want.Contours))
				}
			}
		}
		if once := r.recording(); once != r.recording() {
			t.Error("the file is recorded twice")
		}
	}
}
