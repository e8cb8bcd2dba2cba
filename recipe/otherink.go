package recipe

import (
	"fmt"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/format"
	"mahlstick/recipe/problem"
)

// named is what a cell names.
func named(nb *binding.Notebook, c *binding.Cell) calibrate.Named {
	n := calibrate.Named{Text: c.Source.String}
	if len(c.Source.Links) > 0 {
		n.Text = c.Source.Links[0].Label
	}
	if linked := nb.LinkedBy(c); linked != nil {
		n.File = linked.File.Name
	}
	return n
}

// checkMeasuredWith warns where a brush paints another paper or in another ink than
// those that it was measured with, unless it pools all.
func checkMeasuredWith(l *layerReader, d *binding.Definition) {
	measured := l.a.values.Calibration(d)
	if pool, _ := d.Find("pool"); measured == nil || pool != nil && pool.Word == calibrate.Pools[calibrate.All] {
		return
	}
	warn := func(c *binding.Cell, what, with, now string, p *calibrate.Painted) {
		l.a.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.SheetsDiffer, Place: c.Source.Place,
			Fix:     problem.Advise("measure it with this " + what + ", or state in its notebook that both are alike: pool | all"),
			Message: fmt.Sprintf("%s was measured with the %s %s, and this is %s: its widths may differ", d.Title, what, with, now),
			Related: []problem.Related{{Place: p.Place, Note: "the readings of " + p.Sheet}}})
	}
	recipe := l.a.recipe
	if recipe.Sheet != nil && !l.a.paperChecked[d] {
		if c, _ := recipe.Sheet.Find("paper"); c != nil {
			now := named(recipe.Sheet.Notebook, c)
			if p := measured.OtherPaper(now); p != nil {
				warn(c, "paper", p.Paper.Text, now.Text, p)
			}
		}
		l.a.paperChecked[d] = true
	}
	if c := l.record.Cells["ink"]; c != nil {
		now := named(recipe.Notebook, c)
		if p := measured.OtherInk(now); p != nil {
			warn(c, "ink", format.List(p.Words()), now.Text, p)
		}
	}
}
