// Package runner takes a recipe one way through: drawings, strokes, programs,
// proof, logbook. It writes nothing until all of it holds.
package runner

import (
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/drawing"
	"mahlstick/runner/logbook"
	"mahlstick/runner/record"
)

// Options of Run. The zero value works on all processor cores in silence.
type Options struct {
	Workers  int               // regions worked on at a time; 0 for one a core. No byte depends on it.
	Progress func(text string) // is told what is being done; may be nil
	// Impression is the impression that the page and the record are for; nil
	// for the job as it stands.
	Impression *record.Impression
}

// Result is a job as run.
type Result struct {
	Studio  string // the studio's folder on the disk
	Job     *model.Job
	Layers  []*Layer
	Checks  []logbook.Check
	Outputs []record.Output // what stands in the job's folder, the record last
	Record  *record.Record

	walk        []byte // the margin walk's text
	problems    problem.List
	drawings    *files
	attachments []*source.File // change no program: studio.md, pictures
}

// Failed says whether a program broke a rule when it was read back.
func (r *Result) Failed() bool {
	for _, c := range r.Checks {
		if !c.OK {
			return true
		}
	}
	return false
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
	tell := func(format string, args ...any) {
		if opt.Progress != nil {
			opt.Progress(fmt.Sprintf(format, args...))
		}
	}
	tell("%s: reading", name)
	job, problems := recipe.Read(studio.FS, name)
	if job == nil || problems.HasErrors() {
		return nil, problems, nil
	}
	problems = append(problems, checkName(studio.FS, job)...)
	r := &Result{Studio: studio.Dir, Job: job, drawings: &files{studio: studio.FS, read: map[string]*source.File{}}}
	tell("%s: drawings", name)
	problems = append(problems, r.place(r.drawings, opt.Workers)...)
	problems = append(problems, r.readAttachments()...)
	if problems.HasErrors() {
		return nil, problems, nil
	}
	for _, l := range r.Layers {
		tell("%s: layer %d of %d, strokes", name, l.Number, len(r.Layers))
		problems = append(problems, l.makePlan(opt)...)
	}
	if problems.HasErrors() {
		return nil, problems, nil
	}
	problems = append(problems, r.move()...)
	if problems.HasErrors() {
		return nil, problems, nil
	}
	tell("%s: programs and proof", name)
	r.writePrograms()
	if err := r.prove(); err != nil {
		return nil, problems, err
	}
	tell("%s: page", name)
	r.problems = problems
	if err := r.writePage(opt.Impression); err != nil {
		return nil, problems, err
	}
	return r, problems, nil
}

// Drawings reads the drawings of a recipe, each once, in the order of the layers,
// for a picture of them; dir is the studio's folder. What could not be read is
// left out, and Run tells why; a drawing whose lines do not close is there.
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
	r := &Result{Job: job, drawings: &files{studio: studio.FS, read: map[string]*source.File{}}}
	r.place(r.drawings, runtime.GOMAXPROCS(0))
	for _, l := range r.Layers {
		same := func(d *drawing.Drawing) bool { return d.File == l.Drawing.File && l.Model.DrawingLayer == "" }
		if l.Drawing != nil && !slices.ContainsFunc(out, same) {
			out = append(out, l.Drawing)
		}
	}
	return studio.Dir, out, nil
}

// telling is what is said of a drawing.
type telling struct {
	drawing string
	code    problem.Code
	message string
}

// place reads the drawings, so many side by side, and lays them on the sheet.
func (r *Result) place(drawings *files, workers int) problem.List {
	var problems problem.List
	found := make([]problem.List, len(r.Job.Layers))
	var wait sync.WaitGroup
	free := make(chan struct{}, workers)
	for i := range r.Job.Layers {
		l := &Layer{Number: i + 1, Model: &r.Job.Layers[i], bed: r.Job.Machine.Bed}
		r.Layers = append(r.Layers, l)
		file, missing := drawings.open(l.Model)
		problems = append(problems, missing...)
		if file != nil {
			wait.Go(func() {
				free <- struct{}{}
				found[i] = l.place(file, r.Job)
				<-free
			})
		}
	}
	wait.Wait()
	told := map[telling]int{} // by which layer; of one drawing each thing is told once
	for i, f := range found {
		for _, p := range f {
			key := telling{r.Job.Layers[i].Drawing, p.Code, p.Message}
			if first, ok := told[key]; !ok || first == i {
				told[key] = i
				problems = append(problems, p)
			}
		}
	}
	problems = append(problems, checkPlacements(r.Layers)...)
	return append(problems, unpainted(r.Layers)...)
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

// programName is the file of a layer's program: its number and its name in
// letters that every file system takes.
func programName(l *Layer) string {
	var b strings.Builder
	for _, c := range strings.ToLower(l.Model.Name) {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	name := strings.Trim(b.String(), "-")
	if name == "" {
		name = "layer"
	}
	return strconv.Itoa(l.Number) + "-" + name + programExt
}

// programExt ends the name of a program's file.
const programExt = ".nc"

// walkName is the file of the margin walk.
const walkName = "0-margin-walk.nc"
