// Package presenting makes the view of a proven job that the logbook prints.
// All that it shows about a program was read back from the program's text.
package presenting

import (
	"bytes"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/working"
	"mahlstick/runner/impression"
	"mahlstick/runner/logbook"
	"mahlstick/runner/motion"
	"mahlstick/runner/record"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// Job is all that a page presents.
type Job struct {
	*model.Job
	Layers   []stage.Proven
	Walk     Program        // the margin walk
	Tours    []MarksProgram // over the register marks
	Heights  *HeightsProgram
	Moved    []GoesOn // in the order of their layers
	Checks   []stage.Check
	Problems problem.List
	Inputs   []record.File
	// WalkSeconds is the time in s that the margin walk takes.
	WalkSeconds float64
	// Signed is the impression that the page shows; nil for the current job.
	Signed *record.Impression
}

// Program is a machine program.
type Program struct {
	File string
	Text []byte
}

func (p Program) view() logbook.Program {
	return logbook.Program{File: p.File, Lines: bytes.Count(p.Text, []byte("\n"))}
}

// Page is the view of a job, without the list of its outputs.
func Page(j Job) *logbook.Page {
	walk := j.Walk.view()
	p := &logbook.Page{
		Title: j.Title, Job: j.Name, Recipe: j.Files[0].Name, RecipeHash: record.Hash(j.Files[0].Data),
		Engine: record.Engine, Edition: j.Signed.String(),
		Sheet: sheetView(&j.Sheet, j.Marks), Machine: machineView(&j.Machine),
		Workings: map[string]working.Working{}, Walk: &walk, Checks: checkViews(j.Checks),
		Notes: noteViews(j), Inputs: inputViews(j.Inputs, j.Signed),
	}
	for _, w := range j.Workings {
		p.Workings[w.Name] = w
	}
	links := newLinks(j.Job, j.Signed)
	p.Index, p.Current = links.index, links.current
	p.Blocks, p.Derived = viewBlocks(j.Job)
	for i := range p.Blocks {
		p.Blocks[i].HTML = links.fromPage(p.Blocks[i].HTML)
	}
	for _, l := range j.Layers {
		p.Layers = append(p.Layers, layerView(l, j.Job))
	}
	p.Seatings, p.WalkPath, p.Sheet.Lies = seatingViews(j), walkPath(j), lies(j)
	p.Wells, p.Sheet.Clamps = wellViews(j.Layers), clampsView(j, p.Sheet.Lies)
	registers, cards := registerViews(j)
	p.Registers = registers
	for i := range cards {
		p.Layers[i].Register = cards[i]
	}
	addMarking(p, j)
	addMoved(p, j)
	p.Heights = heightsView(j.Heights)
	p.Swatch = swatchView(j)
	p.Day = dayView(j)
	p.People = peopleViews(j.Job)
	if len(j.Layers) > 1 && !slices.ContainsFunc(j.Marks, func(m model.Mark) bool { return m.Painted != "" }) {
		p.Sheet.FirstLayer, p.Sheet.Free = j.Layers[0].Model.Name, freeMarks(j)
	}
	for _, res := range j.Results {
		p.Results = append(p.Results, logbook.Result{Heading: res.Heading, HTML: links.fromPage(res.HTML), Strips: stripViews(res.Strip, j.Job), Painted: paintedViews(res.Painted, j.Layers), Charted: len(res.Widths) > 0})
	}
	p.Widths = widthViews(j.Results, j.Layers)
	return p
}

// freeMarks are places where register marks could be painted.
func freeMarks(j Job) []logbook.Mark {
	var painted []stroke.Gesture
	for _, l := range j.Layers {
		painted = append(painted, l.Gestures...)
	}
	var out []logbook.Mark
	for _, m := range motion.ProposeMarks(j.Layers[0].Model.Brush, &j.Sheet, &j.Machine, painted) {
		out = append(out, logbook.Mark{Name: m.Name, X: m.X, Y: m.Y, Size: m.Size})
	}
	return out
}

// Outputs lists the files in the folder of the page.
func Outputs(files []record.Output) []logbook.FileHash {
	var out []logbook.FileHash
	for _, o := range files {
		f := record.NewFile(o.Name, o.Data)
		out = append(out, logbook.FileHash{Name: f.Name, Link: f.Name, Size: f.Size, Hash: f.SHA256})
	}
	return out
}

func sheetView(s *model.Sheet, marks []model.Mark) logbook.Sheet {
	v := logbook.Sheet{Size: s.Size, Width: s.Width, Height: s.Height, Margin: s.Margin, Paper: s.Paper, Grain: s.Grain, Lay: s.Lay, Turned: s.Turned}
	v.Flatness = flatnessView(s)
	for _, m := range marks {
		v.Marks = append(v.Marks, logbook.Mark{Name: m.Name, X: m.X, Y: m.Y, Size: m.Size, Painted: m.Painted})
	}
	return v
}

func machineView(m *model.Machine) logbook.Machine {
	return logbook.Machine{Title: m.Title, AirRun: m.AirRun > 0, OptionalStop: m.Text.Pause == 1, ReachX: m.ReachX, ReachY: m.ReachY, SafeHeight: m.SafeHeight, Clear: clearUnder(m.SafeHeight),
		LowestZ: m.SafeHeight - m.ReachZ, HighestZ: m.RestZ, RestX: m.RestX, RestY: m.RestY}
}

// clearUnder is the height (mm) below which everything on the bed must stay, if
// the brush travels at the given safe height.
func clearUnder(safe float64) float64 { return max(safe-2, safe/2) }

func checkViews(checks []stage.Check) []logbook.Check {
	var out []logbook.Check
	for _, c := range checks {
		v := logbook.Check{Program: c.Program, Name: c.Name, OK: c.OK, Found: c.Found, Allowed: c.Allowed}
		if c.Line > 0 {
			v.Where = "line " + strconv.Itoa(c.Line)
		}
		out = append(out, v)
	}
	return out
}

// noteViews are the warnings of a job.
func noteViews(j Job) []logbook.Note {
	var out []logbook.Note
	for _, p := range j.Problems.Sorted() {
		if p.Severity == problem.Warning {
			out = append(out, logbook.Note{Severity: p.Severity.String(), Where: p.Place.String(), Text: p.Message, Fix: p.Fix.Advice})
		}
	}
	if s := j.Signed; s != nil && len(s.Because) > 0 {
		because := strings.Join(s.Because, "; ")
		note := logbook.Note{Severity: problem.Warning.String(), Where: j.Files[0].Name,
			Text: "Changed by hand after the run, before signing: " + because, Fix: "see the files in " + impression.AsRun + "/"}
		if s.Despite != "" {
			note.Text, note.Fix = "Signed despite this: "+because, "the reason given was: "+s.Despite
		}
		out = append(out, note)
	}
	return out
}

func inputViews(files []record.File, signed *record.Impression) []logbook.FileHash {
	var out []logbook.FileHash
	for _, f := range files {
		in := logbook.FileHash{Name: f.Name, Size: f.Size, Hash: f.SHA256}
		// A browser shows these as text; others might be run by it.
		if ext := path.Ext(f.Name); signed != nil && (ext == ".md" || ext == ".dxf") {
			in.Link = (&url.URL{Path: path.Join(impression.Inputs, f.Name)}).String()
		}
		out = append(out, in)
	}
	return out
}
