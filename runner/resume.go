package runner

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/impression"
	"mahlstick/runner/ink"
	"mahlstick/runner/motion"
	"mahlstick/runner/part"
	"mahlstick/runner/presenting"
	"mahlstick/runner/program"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// reload is what the painter does before a resumed program paints.
const reload = "load the brush, pull it on scrap until its mark is even, then resume"

// reloadText is what the painter does; "" where the program loads the brush in its
// well.
func reloadText(l *model.Layer) string {
	if l.Well != nil {
		return ""
	}
	return reload
}

// Resumed is a part of a layer as a program of its own, read back and checked.
type Resumed struct {
	part.Part
	Layer string
	Last  int // number of the layer's last stroke
	stage.Proven
}

// Failed says whether the program broke a rule when it was read back.
func (r *Resumed) Failed() bool { return !proof.Passed(r.Outcomes) }

// Output is the program as a file.
func (r *Resumed) Output() record.Output { return record.Output{Name: r.File, Data: r.Program} }

// ErrPart is the error of a part that a job does not have; its text says why.
type ErrPart struct{ Text string }

func (e *ErrPart) Error() string { return e.Text }

// Resume makes the program of a part of a layer. A To of 0 is the last stroke.
func Resume(r *Result, layer string, p part.Part) (*Resumed, error) {
	at := slices.IndexFunc(r.Layers, func(l stage.Proven) bool { return strings.EqualFold(l.Model.Name, layer) })
	if at < 0 {
		var names []string
		for _, l := range r.Layers {
			names = append(names, l.Model.Name)
		}
		text := fmt.Sprintf("the job has no layer %q; its layers are %s", layer, strings.Join(names, ", "))
		if near, ok := problem.Nearest(layer, names); ok {
			text = fmt.Sprintf("the job has no layer %q; did you mean %q?", layer, near)
		}
		return nil, &ErrPart{text}
	}
	whole := r.Layers[at]
	if whole.Trial != nil {
		return nil, &ErrPart{"a swatch sheet cannot be resumed: its marks are compared with each other; paint it again on another sheet"}
	}
	last := len(whole.Motion.Strokes)
	if p.To == 0 {
		p.To = last
	}
	switch {
	case p.From < 1 || p.From > last:
		return nil, &ErrPart{fmt.Sprintf("the layer %q has the strokes 1 to %d, and no stroke %d", whole.Model.Name, last, p.From)}
	case p.To < p.From || p.To > last:
		return nil, &ErrPart{fmt.Sprintf("from stroke %d, the last stroke can be %d to %d, not %d", p.From, p.From, last, p.To)}
	case !p.Valid(last):
		return nil, &ErrPart{fmt.Sprintf("the layer %q cannot be resumed there", whole.Model.Name)}
	}
	return resumeLayer(r, whole, p)
}

// gesturesPainted are the gestures of a layer, one for each stroke of its program.
func gesturesPainted(l stage.Moved) []stroke.Gesture {
	return slices.DeleteFunc(slices.Clone(l.Gestures), func(g stroke.Gesture) bool { return len(g.Points) == 0 })
}

func resumeLayer(r *Result, whole stage.Proven, p part.Part) (*Resumed, error) {
	job, last := r.Job, len(whole.Motion.Strokes)
	m := stage.Moved{Partial: true, Gestures: p.Of(gesturesPainted(whole.Moved))}
	m.Number, m.Model = whole.Number, onSheetAsItLies(whole.Model, p, last)
	m.Lie = motion.NewLie(m.Model.Seating)
	m.Drawing, m.Regions, m.Plan = &drawing.Drawing{}, &region.Result{}, &stroke.Plan{Drawn: whole.Plan.Drawn}
	m.Ink = ink.Again(m.Gestures, m.Model)
	moves, problems := motion.Make(m.Gestures, m.Model, &job.Sheet, &job.Machine, m.Lie)
	if problems.HasErrors() && m.Gestures[0].Begun {
		// Near the edge of the reach there is no room for the holder to turn round
		// the mark: the stroke goes on straight down.
		m.Gestures[0].Begun = false
		moves, problems = motion.Make(m.Gestures, m.Model, &job.Sheet, &job.Machine, m.Lie)
	}
	if problems.HasErrors() {
		return nil, problems[0] // of a sheet that was moved; the layer as a whole has none
	}
	m.Motion = moves.Resumed(p.From, reloadText(whole.Model))
	file := p.FileName(whole.File, last)
	head := programHead(job, m.Model.Name, m.Model.Brush.Title, m.Model.Ink.Name)
	head.Number, head.Of, head.Strip, head.Crosses = whole.Number, len(r.Layers), whole.Strip, whole.Crosses
	head.Resumes, head.Seated = describe(p, last), presenting.Seated(m.Model.Seating)
	inkHead(&head, m.Ink, p.From)
	figures, err := proving.Figures(m, file, program.Layer(head, m.Motion), job)
	if err != nil {
		return nil, err
	}
	head.Figures.Strokes, head.Figures.Length, head.Figures.Seconds = figures.Strokes, figures.Length, figures.Seconds
	head.Hash = record.Hash(program.Layer(head, m.Motion))
	w := stage.Written{Moved: m, File: file, Program: program.Layer(head, m.Motion), Hash: head.Hash}
	if found := checkLines(job, presenting.Program{File: file, Text: w.Program}); len(found) > 0 {
		return nil, found[0]
	}
	proven, err := proving.Part(w, whole.Written, job)
	if err != nil {
		return nil, err
	}
	return &Resumed{Part: p, Layer: m.Model.Name, Last: last, Proven: proven}, nil
}

// describe says which part of a layer a program paints.
func describe(p part.Part, last int) string {
	text := fmt.Sprintf("from stroke %d", p.From)
	if p.At > 0 {
		text += ", of which " + strings.TrimSuffix(p.Share(), " %") + " percent is painted,"
	}
	text += fmt.Sprintf(" to stroke %d", p.To)
	if p.To == last {
		text += ", the last"
	}
	return text
}

// ChangedSince lists why the strokes that a resumed program follows on would be
// painted otherwise now than the run in the logbook painted them; none if they
// would not. The error is ErrNotRun if there is no run of this layer.
func ChangedSince(r *Result, store record.Store, resumed *Resumed) ([]string, error) {
	run, err := impression.LoadRun(store.Folder(r.Job.Name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, ErrNotRun
	}
	if err != nil {
		return nil, err
	}
	if run.Record == nil {
		if _, err := os.Lstat(filepath.Join(store.Folder(r.Job.Name), record.RecordName)); errors.Is(err, fs.ErrNotExist) {
			return nil, ErrNotRun
		}
		return []string{record.RecordName + " was changed by hand, so it is not known what was painted"}, nil
	}
	whole := r.Layers[resumed.Number-1]
	at := slices.IndexFunc(run.Record.Programs, func(p record.Program) bool { return p.File == whole.File })
	if at < 0 {
		return nil, ErrNotRun
	}
	painted := resumed.From - 1
	if resumed.At > 0 {
		painted++
	}
	was, now := run.Record.Programs[at].OnSheet, onSheet(whole.Gestures)
	for n := 1; n <= painted; n++ {
		one, two := strokeHash(was, n), strokeHash(now, n)
		if one == two {
			continue
		}
		because := []string{fmt.Sprintf("stroke %d of the layer %q is painted otherwise now than by the run in the logbook", n, whole.Model.Name)}
		return append(because, changedInputs(r, run.Record)...), nil
	}
	return nil, nil
}

// changedInputs lists the files that are no longer as the run read them.
func changedInputs(r *Result, was *record.Record) (out []string) {
	before := map[string]string{}
	for _, in := range was.Inputs {
		before[in.Name] = in.SHA256
	}
	for _, in := range r.Record.Inputs {
		if hash, known := before[in.Name]; !known {
			out = append(out, in.Name+" is new since then")
		} else if hash != in.SHA256 {
			out = append(out, in.Name+" was changed since then")
		}
	}
	if was.Engine != record.Engine {
		out = append(out, impression.Why(was, record.Engine, record.Version))
	}
	return out
}

// hashDigits is how many digits of a stroke's hash the record keeps.
const hashDigits = 8

// onSheet is record.Program.OnSheet of a layer's gestures.
func onSheet(gestures []stroke.Gesture) string {
	var out strings.Builder
	var text []byte
	for _, g := range gestures {
		if len(g.Points) == 0 {
			continue
		}
		text = text[:0]
		for _, p := range g.Points {
			text = fmt.Appendf(text, "%d %d %x\n", p.X, p.Y, math.Float64bits(p.Press))
		}
		out.WriteString(record.Hash(text)[:hashDigits])
	}
	return out.String()
}

func strokeHash(hashes string, number int) string {
	if end := number * hashDigits; end <= len(hashes) {
		return hashes[end-hashDigits : end]
	}
	return ""
}

// WriteResumed writes a resumed program into the job's folder. kept lists a file
// of that name that was there and has another name now.
func WriteResumed(r *Result, store record.Store, resumed *Resumed) (kept []record.Kept, err error) {
	locked, err := store.Lock(r.Job.Name)
	if err != nil {
		return nil, err
	}
	kept, err = locked.Put(resumed.Output())
	return kept, errors.Join(err, locked.Unlock())
}

// resumedIn makes the resumed programs again that are in a job's folder. changed
// are those that are not what the recipe makes now, as they are.
func resumedIn(r *Result, folder string) (made []*Resumed, changed []record.Output, err error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range entries {
		if slices.ContainsFunc(r.GoesOn, func(p presenting.GoesOn) bool { return p.File == e.Name() }) {
			continue // the run writes it
		}
		resumed, err := resumedAs(r, e.Name())
		if err != nil || resumed == nil || !e.Type().IsRegular() {
			if err != nil {
				return nil, nil, err
			}
			continue
		}
		data, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, nil, err
		}
		if bytes.Equal(data, resumed.Program) {
			made = append(made, resumed)
		} else {
			changed = append(changed, record.Output{Name: e.Name(), Data: data})
		}
	}
	return made, changed, nil
}

// addResumed makes the resumed program of a file's name one of the result, if the
// job still has such a part.
func addResumed(r *Result, name string) error {
	resumed, err := resumedAs(r, name)
	if err == nil && resumed != nil {
		addPart(r, resumed)
	}
	return err
}

func addPart(r *Result, resumed *Resumed) {
	r.resumed = append(r.resumed, resumed)
	for _, o := range resumed.Outcomes {
		r.Checks = append(r.Checks, stage.Check{Program: resumed.File, Outcome: o})
	}
}

// resumedAs makes the resumed program of a file's name; nil for any other name.
func resumedAs(r *Result, name string) (*Resumed, error) {
	for _, l := range r.Layers {
		if p, ok := part.ParseFile(name, l.File, len(l.Motion.Strokes)); ok && l.Trial == nil {
			return resumeLayer(r, l, p)
		}
	}
	return nil, nil
}
