package impression

import (
	"fmt"
	"slices"

	"mahlstick/runner/record"
)

// OutOfDate lists how the programs and values of a run differ from those that the
// recipe makes now. It is empty if the run is up to date. Prose and Results change
// neither.
func OutOfDate(run *Frozen, outputs []record.Output, now *record.Record) []string {
	c := &Comparison{Programs: Exact, Values: Exact, Checks: Exact, Page: Exact}
	files := map[string][]byte{}
	for _, o := range outputs {
		if isProgram(o.Name) {
			files[o.Name] = o.Data
		}
	}
	programs := &Frozen{Outputs: run.Outputs, Record: &record.Record{}}
	for _, o := range run.Record.Outputs {
		if isProgram(o.Name) {
			programs.Record.Outputs = append(programs.Record.Outputs, o)
		}
	}
	c.files(programs, files)
	out := valueChanges(run.Record.Values, now.Values, c.Programs == Exact)
	for _, d := range c.FirstDifferences {
		if d.Line == 0 {
			out = append(out, d.String())
		} else {
			out = append(out, fmt.Sprintf("%s differs from line %d on", d.File, d.Line))
		}
	}
	if run.Record.Engine != now.Engine {
		out = append(out, Why(run.Record, now.Engine, now.Version))
	}
	return out
}

// valueChanges lists how values differ. If order is set and nothing else differs, a
// change of their order counts too.
func valueChanges(before, after []record.Value, order bool) (out []string) {
	values := map[string]record.Value{}
	had, has := withoutText(before), withoutText(after)
	for _, v := range had {
		values[v.Name] = v
	}
	for _, v := range has {
		was, there := values[v.Name]
		delete(values, v.Name)
		switch {
		case !there:
			out = append(out, fmt.Sprintf("%s is new: %s", v.Name, v.Value))
		case was.Value != v.Value:
			out = append(out, fmt.Sprintf("%s was %s and is %s", v.Name, was.Value, v.Value))
		case was.Formula != v.Formula:
			out = append(out, fmt.Sprintf("%s was %q and is %q", v.Name, was.Formula, v.Formula))
		}
	}
	for _, v := range had {
		if _, left := values[v.Name]; left {
			out = append(out, fmt.Sprintf("%s is gone", v.Name))
		}
	}
	if len(out) == 0 && order && !slices.Equal(had, has) {
		out = append(out, "the order of the values has changed")
	}
	return out
}

// withoutText leaves out the values in the page's text.
func withoutText(values []record.Value) (out []record.Value) {
	for _, v := range values {
		if v.Name != record.InText {
			out = append(out, v)
		}
	}
	return out
}
