package recipe

import (
	"fmt"

	"mahlstick/recipe/binding"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
)

// machineReader reads the machine of a job.
type machineReader struct {
	a *assembler
	d *binding.Definition
	m *model.Machine
}

func (r *machineReader) read() {
	m, length := r.m, func(word string) float64 { return r.a.values.Length(r.d, word) }
	m.Title, m.Place = r.d.Title, r.d.Place
	m.ReachX, m.ReachY, m.ReachZ = length("reach x"), length("reach y"), length("reach z")
	m.SafeHeight, m.Bed = length("safe height"), length("bed")
	r.feeds()
	if q, ok := r.a.values.Row(r.d, "acceleration"); ok {
		m.Acceleration = q.In(quantity.MMPerS2)
	}
	m.Decimals = 3
	if c, _ := r.d.Find("decimals"); c != nil && c.Known {
		m.Decimals = c.Count
	}
	r.a.facts.rows(r.d)
}

// leastFastest is the fastest feed (mm/min) of a machine that states neither
// that nor a greater travel feed.
const leastFastest = 3000

// feeds reads the feeds. The brush is never lowered faster than Z can move.
func (r *machineReader) feeds() {
	m, feed := r.m, func(word string) float64 {
		q, ok := r.a.values.Row(r.d, word)
		if !ok {
			return 0
		}
		return q.In(quantity.MMPerMin)
	}
	m.TravelFeed, m.LoweringFeed, m.ZFeed = feed("travel feed"), feed("lowering feed"), feed("z feed")
	if m.FastestFeed = feed("fastest feed"); !r.stated("fastest feed") {
		m.FastestFeed = max(m.TravelFeed, leastFastest)
		r.derive("fastest feed", quantity.New(m.FastestFeed, quantity.MMPerMin))
	}
	if !(m.LoweringFeed > m.ZFeed) || m.ZFeed == 0 {
		return
	}
	zFeed := quantity.New(m.ZFeed, quantity.MMPerMin)
	if c, _ := r.d.Find("lowering feed"); c != nil {
		lowering, _ := r.a.values.Quantity(c)
		r.a.problems.Add(problem.Problem{Severity: problem.Warning, Code: problem.TooFast, Place: c.Source.Place,
			Message: fmt.Sprintf("Z moves at most at %s, so the brush is lowered at that and not at %s", zFeed.Short(), lowering.Short()),
			Fix:     problem.Advise("write at most " + zFeed.Short() + ", or correct the z feed")})
	} else {
		r.derive("lowering feed", zFeed)
	}
	m.LoweringFeed = m.ZFeed
}

// stated reports whether the recipe or a notebook states a row.
func (r *machineReader) stated(word string) bool {
	c, _ := r.d.Find(word)
	return c != nil
}

// derive sets the default of a row that depends on other rows, for the page.
func (r *machineReader) derive(word string, q quantity.Quantity) {
	r.a.facts.derived[r.d.Schema.Find(word)] = q.String()
}

// checkFeed reports a layer's feed that the machine cannot move at; the cell is
// nil where none is stated.
func checkFeed(layer *model.Layer, c *binding.Cell, m *model.Machine) problem.List {
	if m.FastestFeed == 0 || layer.Feed <= m.FastestFeed { // 0 where the machine has problems
		return nil
	}
	place := layer.Place
	if c != nil {
		place = c.Source.Place
	}
	fastest := quantity.New(m.FastestFeed, quantity.MMPerMin).Short()
	return problem.List{{Code: problem.TooFast, Place: place,
		Message: fmt.Sprintf("the layer %q would be painted at %s, and the machine moves at most at %s", layer.Name, quantity.New(layer.Feed, quantity.MMPerMin).Short(), fastest),
		Fix:     problem.Advise("write at most " + fastest + ", or state the machine's fastest feed"),
		Related: []problem.Related{{Place: m.Place, Note: "the machine"}}}}
}
