package runner_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"mahlstick/runner"
	"mahlstick/runner/stroke"
)

// oneLayer writes a recipe of one layer, with what an SVG drawing of A6 shows,
// a round brush whose marks are 0.3 to 4 mm wide, and hairlines painted or left.
func oneLayer(t *testing.T, studio, name, hairlines, shown string) (recipe string) {
	t.Helper()
	recipe = filepath.Join(studio, "pond", name+".md")
	drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="148mm" height="105mm" viewBox="0 0 148 105">` + shown + `</svg>`
	text := fmt.Sprintf(`# A layer

## Sheet

| sheet |              |
|-------|--------------|
| size  | A6 landscape |

## Machine

[bench](../machines/bench.md)

## Brush: round

| brush       |        |
|-------------|--------|
| widest mark | 4 mm   |
| safe press  | 8 mm   |
| touch mark  | 0.3 mm |

## Layers

| layer | drawing      | brush | ink   | hairlines |
|-------|--------------|-------|-------|-----------|
| %[1]s | [%[1]s](%[1]s.svg) | round | olive | %[2]s |
`, name, hairlines)
	for name, text := range map[string]string{recipe: text, filepath.Join(studio, "pond", name+".svg"): drawing} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return recipe
}

// A layer whose every shape is thinner than the lightest mark holds all rules,
// whether its hairlines are painted or left, however they lie on the pixels of
// the comparison.
func TestNothingButHairlines(t *testing.T) {
	for _, hairlines := range []string{"paint", "leave"} {
		for _, y := range []float64{30, 30.01, 30.024, 30.03, 30.04} {
			studio, _ := pond(t)
			recipe := oneLayer(t, studio, "thin", hairlines, fmt.Sprintf(`<path d="M40 %g h60 v0.05 h-60 z"/>`, y))
			r := mustRun(t, recipe, runner.Options{})
			l := r.Layers[0]
			if r.Failed() {
				t.Errorf("%s at %g: %+v, refused %g", hairlines, y, l.Cover, l.Refused)
			}
			if n := len(l.Plan.Gestures); (n > 0) != (hairlines == "paint") {
				t.Errorf("%s: %d strokes", hairlines, n)
			}
			told := 0.0
			for _, m := range l.Plan.Remarks {
				if m.Reason == stroke.TooThin {
					told += m.Length
				}
			}
			if told < 59.9 || told > 60.1 {
				t.Errorf("%s: %g mm told of", hairlines, told)
			}
		}
	}
}
