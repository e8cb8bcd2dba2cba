package main

import (
	"fmt"
	"io"
	"slices"
	"text/tabwriter"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/checkstrip"
	"mahlstick/runner/presenting"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// summary prints a job in a few lines: what is painted, what is not, and why.
func summary(w io.Writer, r *runner.Result) {
	fmt.Fprintf(w, "%s, %s\n", r.Job.Title, r.Job.Sheet.Size)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, l := range r.Layers {
		if l.Trial != nil {
			fmt.Fprintf(t, "  %d %s\t%s\t%s\t%s\t%s to measure\n", l.Number, l.Model.Name, format.Count(l.Figures.Strokes, "mark"),
				format.Plain.Length(l.Figures.Length), format.Plain.Duration(l.Figures.Seconds), format.Count(len(l.Trial.Readings), "length"))
			continue
		}
		fmt.Fprintf(t, "  %d %s\t%s\t%s\t%s\tdrawn %s = painted %s + not painted %s mm²\tcovers %s, %s outside the drawing\n",
			l.Number, l.Model.Name, format.Strokes(l.Figures.Strokes, l.Figures.CheckMarks, l.Figures.Crosses), format.Plain.Length(l.Figures.Length), format.Plain.Duration(l.Figures.Seconds),
			area(l.Plan.Drawn), area(l.Painted), area(l.Refused), format.Plain.Share(l.Cover.Coverage), format.Plain.Share(l.Cover.Excess))
	}
	t.Flush()
	for _, l := range r.Layers {
		printLeft(w, l)
		if price := presenting.OrderPrice(l, format.Plain); price != "" {
			fmt.Fprintf(w, "  %s: %s\n", l.Model.Name, price)
		}
		if use := l.Ink; use != nil {
			fmt.Fprintf(w, "  %s: %s%s\n", l.Model.Name, use.Text(format.Plain), divided(use.Divided))
		}
		if loads := presenting.LoadsText(l, format.Plain); loads != "" {
			fmt.Fprintf(w, "  %s: %s\n", l.Model.Name, loads)
		}
		printPlunges(w, l)
		printRemarks(w, l)
	}
	for _, l := range r.Layers {
		for _, c := range l.Drawing.Skipped {
			if c.Missed() {
				fmt.Fprintf(w, "  %s: %d %s skipped: %s\n", l.Model.Name, c.N, c.What, c.Why)
			}
		}
	}
	printSeatings(w, r)
	printStrips(w, r.Job)
	held := 0
	for _, c := range r.Checks {
		if c.OK {
			held++
		}
	}
	fmt.Fprintf(w, "Read back: %d of %d rules hold.\n", held, len(r.Checks))
}

// printLeft prints what of a layer's shapes is left bare, and what is cut off.
func printLeft(w io.Writer, l stage.Proven) {
	if h := l.Hidden; h.Shapes > 0 {
		wholly := ""
		if h.Whole > 0 {
			wholly = fmt.Sprintf(", %d of them wholly", h.Whole)
		}
		fmt.Fprintf(w, "  %s: %s of %s left under later shapes%s\n", l.Model.Name, format.Plain.Area(h.Area), format.Count(h.Shapes, "shape"), wholly)
	}
	if cut := presenting.CutText(l.Placement, l.Model); cut != "" {
		fmt.Fprintf(w, "  %s: %s\n", l.Model.Name, cut)
	}
}

// divided says which strokes go on what the one before them began, because one
// load of ink does not last.
func divided(strokes []int) string {
	if len(strokes) == 0 {
		return ""
	}
	var parts []string
	for _, n := range strokes {
		parts = append(parts, fmt.Sprintf("%d goes on %d", n, n-1))
	}
	return "; divided, because one load does not last: stroke " + format.List(parts)
}

// printSeatings prints how the sheet lies, as its marks were read.
func printSeatings(w io.Writer, r *runner.Result) {
	var last *model.Seating
	for _, l := range r.Layers {
		for _, s := range presenting.Seatings(l.Model) {
			if s == last {
				continue
			}
			last = s
			from := ""
			if s.From > 0 {
				from = fmt.Sprintf(", from stroke %d on", s.From)
			}
			worst := s.Fit.Worst()
			fmt.Fprintf(w, "  %s%s: the sheet is %s; the mark %s is the farthest off, by %s mm\n", l.Model.Name, from, presenting.Lying(s), worst.Mark, format.Plain.Fixed(worst.Size(), 2))
		}
	}
}

// printStrips prints what the check strips measured last mean.
func printStrips(w io.Writer, job *model.Job) {
	for _, result := range slices.Backward(job.Results) {
		if len(result.Strip) == 0 {
			continue
		}
		for _, s := range checkstrip.Judge(result.Strip, job) {
			if said := s.Sentence(format.Plain); said != "" {
				fmt.Fprintf(w, "  %s, check strip of %q: %s\n", s.Layer, result.Heading, said)
			}
		}
		return
	}
}

// printPlunges prints how many strokes of a layer press the brush straight down.
func printPlunges(w io.Writer, l stage.Proven) {
	m := l.Figures
	if e := l.Motion.Entries; l.Model.Entries == model.Concealed {
		fmt.Fprintf(w, "  %s: %s and %s concealed", l.Model.Name, format.Count(e.Entries, "entry"), format.Count(e.Exits, "exit"))
		if e.Light > 0 {
			fmt.Fprintf(w, "; %d left as drawn, because the brush only just touches the paper there", e.Light)
		}
		fmt.Fprintln(w)
	}
	if m.Plunges == 0 || l.Trial != nil {
		return
	}
	fmt.Fprintf(w, "  %s: %s pressed straight down, up to %s mm; steepest press %s mm per mm of path\n",
		l.Model.Name, format.Count(m.Plunges, "stroke"), format.Plain.Fixed(m.Plunge, 2), format.Plain.Fixed(m.Steepest, 2))
}

// printRemarks prints a line for each reason why something of a layer is not
// painted as drawn.
func printRemarks(w io.Writer, l stage.Proven) {
	for _, reason := range stroke.Reasons() {
		places, bare, length := 0, 0.0, 0.0
		for _, m := range l.Remarks {
			if m.Reason == reason {
				places++
				bare += m.Area
				length += m.Length
			}
		}
		if places == 0 {
			continue
		}
		fmt.Fprintf(w, "  %s: %s in %s", l.Model.Name, reason, format.Count(places, "place"))
		if format.Printed(length) {
			fmt.Fprintf(w, ", %s", format.Plain.Length(length))
		}
		if format.Printed(bare) {
			fmt.Fprintf(w, ", %s not painted", format.Plain.Area(bare))
		}
		fmt.Fprintln(w)
	}
}

// area writes areas that are added up, in mm², to the same decimal.
func area(mm2 float64) string { return format.Plain.Fixed(mm2, 1) }

// printGoesOn prints the programs that go on where the sheet was moved within a layer,
// and what to write down of them.
func printGoesOn(w io.Writer, r *runner.Result) {
	parts := r.GoesOn
	for _, p := range parts {
		strokes := fmt.Sprintf("strokes %d to %d", p.From, p.To)
		if p.From == p.To {
			strokes = fmt.Sprintf("stroke %d", p.From)
		}
		fmt.Fprintf(w, "%s goes on with %s of the layer %q, on the sheet as it lies.\n", p.File, strokes, p.Model.Name)
	}
	if len(parts) == 0 {
		return
	}
	painted := "it is"
	if len(parts) > 1 || parts[0].From < parts[0].To {
		painted = "they are"
	}
	fmt.Fprintf(w, "When %s painted, write under Results:\n\n| layer | from | at | to | file |\n|---|---|---|---|---|\n", painted)
	for _, p := range parts {
		fmt.Fprintln(w, p.Row())
	}
	fmt.Fprintln(w)
	if now := parts[len(parts)-1]; !isPainted(r.Job, now.File) {
		toStart(w, r, now.Proven)
		fmt.Fprintln(w)
	}
}

// isPainted reports whether Results say that a program that goes on was run.
func isPainted(job *model.Job, file string) bool {
	return slices.ContainsFunc(job.Results, func(result model.Result) bool {
		return slices.ContainsFunc(result.Painted, func(row model.PaintedPart) bool { return row.File == file })
	})
}
