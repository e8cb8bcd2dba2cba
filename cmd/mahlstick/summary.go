package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/stroke"
)

// summary tells a job in a few lines: what is painted, what is not and why.
func summary(w io.Writer, r *runner.Result) {
	fmt.Fprintf(w, "%s, %s\n", r.Job.Title, r.Job.Sheet.Size)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, l := range r.Layers {
		fmt.Fprintf(t, "  %d %s\t%s\t%.1f m\t%s\tdrawn %.1f = painted %.1f + refused %.1f mm²\tcovers %.2f %%, spills %.2f %%\n",
			l.Number, l.Model.Name, counted(len(l.Measures.Strokes), "stroke"), l.Measures.Painted/1000, proof.Clock(l.Motion.Seconds),
			l.Plan.Drawn, l.Painted(), l.Refused(), 100*l.Cover.Coverage, 100*l.Cover.Excess)
	}
	t.Flush()
	for _, l := range r.Layers {
		for reason := stroke.TooWide; reason <= stroke.Lengthened; reason++ {
			n, area, length := 0, 0.0, 0.0
			for _, m := range l.Remarks() {
				if m.Reason == reason {
					n++
					area += m.Area
					length += m.Length
				}
			}
			if n > 0 {
				fmt.Fprintf(w, "  %s: %s in %s, %.1f mm", l.Model.Name, reason, counted(n, "place"), length)
				if area > 0 {
					fmt.Fprintf(w, ", %.1f mm² not painted", area)
				}
				fmt.Fprintln(w)
			}
		}
	}
	for _, l := range r.Layers {
		for _, c := range l.Drawing.Passed {
			if c.Missed() {
				fmt.Fprintf(w, "  %s: %d %s passed over: %s\n", l.Model.Name, c.N, c.What, c.Why)
			}
		}
	}
	held := 0
	for _, c := range r.Checks {
		if c.OK {
			held++
		}
	}
	fmt.Fprintf(w, "Read back: %d of %d rules hold.\n", held, len(r.Checks))
}
