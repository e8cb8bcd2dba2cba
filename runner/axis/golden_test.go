package axis_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"mahlstick/runner/axis"
	"mahlstick/runner/plane"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The axes of a few outlines, point by point: the same on every processor.
func TestGolden(t *testing.T) {
	text, err := os.ReadFile("testdata/outlines.txt")
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	name, outline := "", [][]plane.Point(nil)
	flush := func() {
		if name == "" {
			return
		}
		g := medial(t, regionOf(outline...))
		fmt.Fprintln(&out, name)
		for i, n := range g.Nodes {
			fmt.Fprintf(&out, "  node %d: %s, edges %v\n", i, dots(n.Point), n.Edges)
		}
		for i, e := range g.Edges {
			fmt.Fprintf(&out, "  edge %d from %d to %d: %s\n", i, e.From, e.To, dots(e.Points...))
		}
	}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "#") {
			continue
		}
		if !strings.Contains(line, ",") {
			flush()
			name, outline = line, nil
			continue
		}
		var ring []plane.Point
		for _, field := range strings.Fields(line) {
			var p plane.Point
			if _, err := fmt.Sscanf(field, "%d,%d", &p.X, &p.Y); err != nil {
				t.Fatal(err)
			}
			ring = append(ring, p)
		}
		outline = append(outline, ring)
	}
	flush()
	if *update {
		if err := os.WriteFile("testdata/axes.golden", []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("testdata/axes.golden")
	if err != nil {
		t.Fatal(err)
	}
	if out.String() != string(want) {
		t.Errorf("axes differ from testdata/axes.golden; if that is meant, run with -update\n%s", out.String())
	}
}

func dots(points ...axis.Point) string {
	var out []string
	for _, p := range points {
		out = append(out, fmt.Sprintf("%d,%d r %d", p.X, p.Y, p.R))
	}
	return strings.Join(out, "; ")
}
