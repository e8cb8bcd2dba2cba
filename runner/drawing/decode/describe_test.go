package decode_test

import (
	"fmt"
	"strings"

	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
)

// describe writes a drawing as text that a reviewer can read.
func describe(d *drawing.Drawing, problems problem.List) string {
	var b strings.Builder
	fmt.Fprintf(&b, "unit %s, %v mm, from %s\nlayers %s\n", d.UnitName, d.UnitMM, d.UnitFrom, strings.Join(d.Layers, ", "))
	for _, c := range d.Read {
		fmt.Fprintf(&b, "read %d %s on %s, first %s\n", c.N, c.What, c.Layer, c.First)
	}
	for _, c := range d.Skipped {
		fmt.Fprintf(&b, "skipped %d %s on %s: %s, first %s\n", c.N, c.What, c.Layer, c.Why, c.First)
	}
	for _, e := range d.Loose {
		fmt.Fprintf(&b, "loose: %d at (%.4f, %.4f), nearest %.4f, %s\n", e.Ends, e.At.X, e.At.Y, e.Nearest, e.Place)
	}
	for _, p := range problems {
		fmt.Fprintf(&b, "%s %s\n", p.Severity, p)
	}
	for _, c := range d.Contours {
		kind := "open"
		if c.Closed {
			kind = "closed"
		}
		fmt.Fprintf(&b, "%s, %d points, layer %s, group %d, rule %d, %s\n", kind, len(c.Points), c.Layer, c.Group, c.Rule, c.Place)
		for i, p := range c.Points {
			if len(c.Points) > 12 && i > 3 && i < len(c.Points)-4 && i%16 != 0 {
				continue
			}
			fmt.Fprintf(&b, "  %d (%v, %v)", i, p.X, p.Y)
			if c.Widths != nil {
				fmt.Fprintf(&b, " width %v", c.Widths[i])
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}
