package recipe_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"mahlstick/recipe"
)

// large is a recipe of about 1 MB: forty brushes with swatches of a hundred
// marks, 2,000 formulas that need each other, and prose with values.
func large() string {
	var b strings.Builder
	b.WriteString(reeds)
	for i := range 40 {
		fmt.Fprintf(&b, "\n## Brush: brush %d\n| brush | |\n|---|---|\n| widest mark | 2%d.0 ± 0.05 mm |\n| safe press | 12 mm |\n| caliper | 0.02 mm |\n\n## Swatch: brush %d\n| press | width |\n|---|---|\n", i, i%10, i)
		for k := 1; k <= 100; k++ {
			fmt.Fprintf(&b, "| %d.%02d mm | %d.%02d mm |\n", k/10, k%10*10, k/10, k%10*10+1)
		}
	}
	for i := range 200 {
		fmt.Fprintf(&b, "\nThe brush stands upright, and `half_%d` of its mark lies to either side.\n```working\n", i)
		for k := range 10 {
			n := 10*i + k
			switch k {
			case 0:
				fmt.Fprintf(&b, "half_%d = brush_%d.widest_mark / 2   # of the mark\n", i, i%40)
			case 1:
				fmt.Fprintf(&b, "slant_%d = sqrt(half_%d^2 + brush_%d.safe_press^2)\n", i, i, i%40)
			case 2:
				fmt.Fprintf(&b, "taper_%d = asin(half_%d / slant_%d)\n", i, i, i)
			default:
				fmt.Fprintf(&b, "step_%d = (half_%d + %d*mm) * cos(taper_%d) / %d.5   # the next one\n", n, i, k, i, k)
			}
		}
		b.WriteString("```\n")
	}
	for b.Len() < 1<<20 {
		b.WriteString("\nThe palest colour lies at the bottom, and each that follows *must* find it dry: press a sheet of blotter on the margin and look. " +
			"What comes off on the blotter would come off on the brush, and from there into the next line. Wait, then, and draw in the meantime.\n")
	}
	return b.String()
}

func TestLarge(t *testing.T) {
	root := studio(t)
	root["heron/reeds.md"] = &fstest.MapFile{Data: []byte(large())}
	job, list := recipe.Read(root, "heron/reeds.md")
	if list.HasErrors() || len(job.Workings) < 2000 {
		t.Fatal(len(job.Workings), list[:min(len(list), 5)])
	}
}

// BenchmarkLarge reads a recipe of 1 MB and, in the same run, lets the
// Markdown library render the same text to HTML: "times" is the ratio.
func BenchmarkLarge(b *testing.B) {
	text := []byte(large())
	root := studio(b)
	root["heron/reeds.md"] = &fstest.MapFile{Data: text}
	render := goldmark.New(goldmark.WithExtensions(extension.Table))
	var ours, theirs time.Duration
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		recipe.Read(root, "heron/reeds.md")
		middle := time.Now()
		var out bytes.Buffer
		if err := render.Convert(text, &out); err != nil {
			b.Fatal(err)
		}
		ours += middle.Sub(start)
		theirs += time.Since(middle)
	}
	b.ReportMetric(float64(ours)/float64(theirs), "times")
	b.ReportMetric(float64(ours.Milliseconds())/float64(b.N), "ms/read")
}
