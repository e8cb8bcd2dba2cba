package stroke_test

import (
	"bufio"
	"os"
	"strings"
	"testing"

	"mahlstick/runner/contour"
	"mahlstick/runner/plane"
	"mahlstick/runner/region"
	"mahlstick/runner/stroke"
)

// TestType paints letters with holes, 60 mm to the em. Each is one shape that
// obeys the non-zero rule.
func TestType(t *testing.T) {
	f, err := os.Open("testdata/type/letters.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	l := layerWith(0, 40)
	var covered, spilt, all float64
	letters := 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		letters++
		name, path, _ := strings.Cut(lines.Text(), "\t")
		var in []region.Contour
		for i, r := range flatten(t, path, 60.0/1000) {
			c := region.Contour{Identity: contour.Identity{Rule: contour.NonZero, Group: 1, Shape: i}}
			for _, p := range r {
				c.Points = append(c.Points, plane.At(p[0], p[1]))
			}
			in = append(in, c)
		}
		drawn, problems := region.Build(in, region.Options{})
		if len(problems) > 0 || len(drawn.Shapes) != 1 {
			t.Fatalf("%s: %v", name, problems)
		}
		p := plan(t, stroke.Drawn{Closed: drawn}, l)
		pressed(t, p, l)
		c, s, a := area(drawn.Regions, p.Gestures, widthOf(l), 0.02)
		t.Logf("%s: %d main, %d corners, covered %.3f %%, spilt %.3f %%; %v", name, p.Count(stroke.Main), p.Count(stroke.Corner), 100*c/a, 100*s/a, p.Remarks)
		covered, spilt, all = covered+c, spilt+s, all+a
	}
	t.Logf("covered %.4f %%, spilt %.4f %%", 100*covered/all, 100*spilt/all)
	if letters != 10 || covered < 0.999*all || spilt > 0.001*all {
		t.Errorf("%d letters: covered %g, spilt %g of %g mm²", letters, covered, spilt, all)
	}
}
