// Package runner takes a recipe all the way to its results: drawings, strokes,
// moves, programs, proof, page and record. Each stage is a value made from the
// one before it; nothing is written to the disk until all of them are there.
package runner

import (
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/intake"
	"mahlstick/runner/motion"
	"mahlstick/runner/presenting"
	"mahlstick/runner/proof"
	"mahlstick/runner/proving"
	"mahlstick/runner/record"
	"mahlstick/runner/stage"
)

// Options of Run. The zero value works on all processor cores in silence.
type Options struct {
	Workers  int               // regions, drawings and programs worked on at a time; 0 for one a core. No byte depends on it.
	Progress func(text string) // is called with what is being done; may be nil
	// Impression is the impression that the page and the record are for; nil
	// for the job as it stands.
	Impression *record.Impression
}

// Result is a job as run.
type Result struct {
	Studio  string // the studio's folder on the disk
	Job     *model.Job
	Layers  []stage.Proven
	GoesOn  []presenting.GoesOn // programs that go on where the sheet was moved within a layer
	Checks  []stage.Check       // of the layers' programs in their order, then of the margin walk and of those over the marks
	Outputs []record.Output     // the files of the job's folder, the record last
	Record  *record.Record

	walk     presenting.Program
	air      []presenting.Program
	resumed  []*Resumed // of the impression
	marks    []presenting.MarksProgram
	heights  *presenting.HeightsProgram // nil if heights are not touched
	problems problem.List
	inputs   []*source.File // all files that were read, the recipe first, the others by name
}

// Failed says whether a program broke a rule when it was read back.
func (r *Result) Failed() bool {
	return slices.ContainsFunc(r.Checks, func(c stage.Check) bool { return !c.OK })
}

// Run evaluates a recipe file and makes the job's programs, page and record.
// Where the list holds an error the result is nil. The error is about the
// disk, never about what the recipe says.
func Run(file string, opt Options) (*Result, problem.List, error) {
	studio, name, err := recipe.Open(file)
	if err != nil {
		return nil, nil, err
	}
	defer studio.Close()
	return RunIn(studio, name, opt)
}

// RunIn is Run for a recipe of a studio that is open; name is its path below
// the studio.
func RunIn(studio *recipe.Studio, name string, opt Options) (*Result, problem.List, error) {
	if opt.Workers <= 0 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	progress := func(format string, args ...any) {
		if opt.Progress != nil {
			opt.Progress(name + ": " + fmt.Sprintf(format, args...))
		}
	}
	progress("reading")
	job, problems := recipe.Read(studio.FS, name)
	if job == nil || problems.HasErrors() {
		return nil, problems, nil
	}
	problems = append(problems, checkName(studio.FS, job)...)
	t := task{studio: studio.FS, job: job, workers: opt.Workers, progress: progress}
	moved, found := t.moved()
	problems = append(problems, found...)
	if problems.HasErrors() {
		return nil, problems, nil
	}
	progress("programs and proof")
	written, err := write(moved, job, opt.Workers)
	if err != nil {
		return nil, problems, err
	}
	proven, err := proving.Layers(written, job, opt.Workers)
	if err != nil {
		return nil, problems, err
	}
	problems = append(problems, proving.CheckBare(proven)...)
	if problems.HasErrors() {
		return nil, problems, nil
	}
	progress("page")
	r := &Result{Studio: studio.Dir, Job: job, Layers: proven, walk: writeWalk(moved, job), marks: writeMarks(moved, job), heights: writeHeights(moved, job)}
	problems = append(problems, checkPainted(r)...)
	air, checks := airRuns(proven, job) // of whole layers
	parted, err := partMoved(r)
	problems = append(problems, parted...)
	if err != nil || problems.HasErrors() {
		return nil, problems, err
	}
	r.problems = problems
	r.inputs = inputFiles(job.Files, t.drawings, t.attachments)
	r.Checks = r.checks(proving.Walk(r.walk.File, r.walk.Text, walked(moved)[0].Model.Brush, job))
	r.air, r.Checks = air, append(r.Checks, checks...)
	if found := checkLines(job, textsOf(r)...); len(found) > 0 {
		return nil, append(problems, found...), nil
	}
	if opt.Impression != nil {
		for _, name := range opt.Impression.Resumed {
			if err := addResumed(r, name); err != nil {
				return nil, problems, err
			}
		}
	}
	if err := r.present(opt.Impression); err != nil {
		return nil, problems, err
	}
	return r, problems, nil
}

// stops are the marks over which a program waits.
func (r *Result) stops(m presenting.MarksProgram) []model.Mark {
	return slices.DeleteFunc(slices.Clone(r.Job.Marks), func(k model.Mark) bool {
		return !slices.ContainsFunc(m.Tour.Stops, func(s motion.TourStop) bool { return s.Mark == k.Name })
	})
}

func (r *Result) checks(walk []proof.Outcome) []stage.Check {
	var out []stage.Check
	for _, l := range r.Layers {
		for _, o := range l.Outcomes {
			out = append(out, stage.Check{Program: l.File, Outcome: o})
		}
	}
	for _, p := range r.GoesOn {
		for _, o := range p.Outcomes {
			out = append(out, stage.Check{Program: p.File, Outcome: o})
		}
	}
	for _, o := range walk {
		out = append(out, stage.Check{Program: r.walk.File, Outcome: o})
	}
	if h := r.heights; h != nil {
		for _, o := range proving.Marks(h.File, h.Text, h.Layer, h.Stops(), r.Job) {
			out = append(out, stage.Check{Program: h.File, Outcome: o})
		}
	}
	for _, m := range r.marks {
		for _, o := range proving.Marks(m.File, m.Text, m.Layer, r.stops(m), r.Job) {
			out = append(out, stage.Check{Program: m.File, Outcome: o})
		}
	}
	return out
}

// Drawings reads the drawings of a recipe, each once, in the order of the
// layers, for a picture of them; dir is the studio's folder. What could not be
// read is left out, and Run tells why; a drawing whose lines do not close is
// there.
func Drawings(file string) (dir string, out []*drawing.Drawing, err error) {
	studio, name, err := recipe.Open(file)
	if err != nil {
		return "", nil, err
	}
	defer studio.Close()
	job, problems := recipe.Read(studio.FS, name)
	if job == nil || problems.HasErrors() {
		return studio.Dir, nil, nil
	}
	drawings, _ := intake.Read(studio.FS, job, runtime.GOMAXPROCS(0)) // Run reports the problems
	return studio.Dir, drawings.Distinct(), nil
}

// Folder is the job's folder as a person would type it.
func (r *Result) Folder() string {
	dir := filepath.Join(r.Studio, "logbook", filepath.FromSlash(r.Job.Name))
	if here, err := filepath.Abs("."); err == nil {
		if rel, err := filepath.Rel(here, dir); err == nil && !strings.HasPrefix(rel, ".."+string(filepath.Separator)+"..") {
			return rel
		}
	}
	return dir
}
