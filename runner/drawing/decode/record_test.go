package decode_test

import (
	"os"
	"path/filepath"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/drawing/decode"
)

// manyOptions are readings of a drawing in several units and of some of its
// layers.
func manyOptions(layers []string) []drawing.Options {
	list := []drawing.Options{
		{}, inMM, {Unit: model.Unit{Name: "cm", MM: 10}},
		{Unit: model.Unit{Name: "in", MM: 25.4, Override: true}, Gap: 0.5, Tolerance: 0.005},
		{Unit: model.Unit{Name: "m", MM: 1000, Override: true}, Layer: "no such layer"},
	}
	for _, l := range layers {
		list = append(list, drawing.Options{Layer: l, KeepLayers: []string{"mark"}}, drawing.Options{Unit: inMM.Unit, Layer: "mark", KeepLayers: []string{l}})
	}
	return list
}

// sameRecorded wants the same of a recording as of a reading, again and again.
func sameRecorded(t *testing.T, name string, data []byte) {
	t.Helper()
	file := source.New(name, data)
	recording := decode.Record(file, 0)
	first, _ := recording.Drawing(inMM)
	for i, opt := range manyOptions(first.Layers[:min(len(first.Layers), 3)]) {
		want := describe(decode.Drawing(file, opt))
		if got := describe(recording.Drawing(opt)); got != want {
			t.Errorf("%s, options %d: recorded\n%s\nread\n%s", name, i, got, want)
		}
	}
}

func TestRecordingIsTheDrawing(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../testdata/*.dxf", "../testdata/svg/*.svg", "../../../notebooks/*/*.dxf"} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) < 5 {
			t.Fatal(pattern, found, err)
		}
		files = append(files, found...)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sameRecorded(t, filepath.Base(path), data)
	}
	sameRecorded(t, "empty", nil)
	sameRecorded(t, "cut.dxf", load(t, "everything.dxf").Data[:3000])
}
