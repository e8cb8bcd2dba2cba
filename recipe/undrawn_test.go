package recipe_test

import (
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
)

// A recipe may be read before anything is drawn: its drawings, and they
// alone, may be missing.
func TestReadUndrawn(t *testing.T) {
	want, _ := mustRead(t, studio(t), "heron/heron.md")
	files := studio(t)
	delete(files, "heron/reeds.dxf")
	delete(files, "heron/bird.dxf")
	if _, list := recipe.Read(files, "heron/heron.md"); !list.HasErrors() {
		t.Error("Read takes a recipe without its drawings")
	}
	job, list := recipe.ReadUndrawn(files, "heron/heron.md")
	if len(list) > 0 {
		t.Error(list)
	}
	if len(job.Layers) != len(want.Layers) {
		t.Fatalf("%d layers", len(job.Layers))
	}
	for i, l := range job.Layers {
		if l.Drawing != want.Layers[i].Drawing || l.Drawing == "" {
			t.Errorf("layer %s has the drawing %q", l.Name, l.Drawing)
		}
	}

	// A folder in place of a drawing is still reported, and so is a missing brush.
	files["heron/bird.dxf/inside.dxf"] = &fstest.MapFile{Data: []byte("0\nEOF\n")}
	delete(files, "brushes/broad.md")
	_, list = recipe.ReadUndrawn(files, "heron/heron.md")
	codes := map[string]int{}
	for _, p := range list {
		codes[string(p.Code)]++
	}
	if codes["not-a-file"] != 1 || codes["missing-file"] != 1 {
		t.Error(list)
	}
}
