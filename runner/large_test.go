package runner_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
)

// large lays out a studio with one drawing of the wanted number of straight
// segments: rows of swelling strokes on an A1 sheet.
func large(t testing.TB, segments int) (recipe string) {
	t.Helper()
	const each = 100 // segments of a stroke
	n := (segments + each - 1) / each
	across := int(math.Ceil(math.Sqrt(float64(n) * 560 / 800)))
	dx := 550.0 / float64(across)
	dy := 790.0 / math.Ceil(float64(n)/float64(across))
	var d strings.Builder
	d.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	poly := func(points [][2]float64) {
		fmt.Fprintf(&d, "0\nLWPOLYLINE\n8\nink\n90\n%d\n70\n1\n", len(points))
		for _, p := range points {
			fmt.Fprintf(&d, "10\n%.4f\n20\n%.4f\n", p[0], p[1])
		}
	}
	poly([][2]float64{{11, 11}, {19, 11}, {19, 19}, {11, 19}})
	for i := range n {
		x, y := 25+dx*float64(i%across), 25+dy*float64(i/across)
		long, half := 0.85*dx, 0.22*math.Min(dy, 9)
		var points [][2]float64
		for k := range each {
			side, at := 1.0, float64(k)/(each/2)
			if k >= each/2 {
				side, at = -1, float64(each-k)/(each/2)
			}
			swell := half * math.Sin(math.Pi*(0.08+0.84*at))
			points = append(points, [2]float64{x + long*at, y + math.Min(0.25*dy, 6)*math.Sin(3*at+float64(i)) - side*swell})
		}
		poly(points)
	}
	d.WriteString("0\nENDSEC\n0\nEOF\n")
	dir := t.TempDir()
	const text = `# Rows

## Sheet
| sheet  |             |
|--------|-------------|
| size   | A1 portrait |
| margin | 8 mm        |

## Brush: round
| brush       |        |
|-------------|--------|
| widest mark | 4.2 mm |
| safe press  | 6.0 mm |
| touch mark  | 0.2 mm |

## Machine
| machine       |             |
|---------------|-------------|
| reach x       | 900 mm      |
| reach y       | 900 mm      |
| reach z       | 60 mm       |
| safe height   | 5 mm        |
| travel feed   | 3000 mm/min |
| lowering feed | 600 mm/min  |
| z feed        | 900 mm/min  |
| acceleration  | 150 mm/s²   |
| bed           | ± 0.1 mm    |

## Registration
| mark   | x     | y     | size |
|--------|-------|-------|------|
| corner | 15 mm | 15 mm | 8 mm |

## Layers
| layer | drawing          | brush | ink     | feed       |
|-------|------------------|-------|---------|------------|
| rows  | [rows](rows.dxf) | round | #203040 | 900 mm/min |
`
	for name, data := range map[string]string{"rows.dxf": d.String(), "rows.md": text} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "rows.md")
}

// BenchmarkSegments is the whole run of a drawing of so many segments.
func BenchmarkSegments(b *testing.B) {
	for _, n := range []int{10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			recipe := large(b, n)
			b.ReportAllocs()
			for b.Loop() {
				r, problems, err := runner.Run(recipe, runner.Options{})
				if err != nil || r == nil || r.Failed() {
					b.Fatal(err, problems)
				}
			}
		})
	}
}

func TestLarge(t *testing.T) {
	r, problems, err := runner.Run(large(t, 2000), runner.Options{})
	if err != nil || r == nil {
		t.Fatal(err, problems)
	}
	if r.Failed() || len(r.Layers[0].Plan.Gestures) < 20 {
		t.Errorf("%d gestures, checks %v", len(r.Layers[0].Plan.Gestures), r.Checks)
	}
}
