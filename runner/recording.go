package runner

import (
	"cmp"
	"errors"
	"html/template"
	"io/fs"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"

	"mahlstick/recipe"
	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/source"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// inputs are the files that were read, byte for byte: the recipe first, the
// others by name.
func (r *Result) inputs() []record.Output {
	var in []record.Output
	for _, f := range slices.Concat(r.Job.Files, r.drawings.list, r.attachments) {
		in = append(in, record.Output{Name: f.Name, Data: f.Data})
	}
	slices.SortFunc(in[1:], func(a, b record.Output) int { return cmp.Compare(a.Name, b.Name) })
	return in
}

// maxAttachments bounds the bytes of all attachments of a job.
const maxAttachments = 256 << 20

// readAttachments reads what changes no program and still belongs to the job:
// the studio's own notebook, which makes its folder the root, and the pictures
// in the prose.
func (r *Result) readAttachments() problem.List {
	var problems problem.List
	have := map[string]bool{}
	for _, f := range slices.Concat(r.Job.Files, r.drawings.list) {
		have[f.Name] = true
	}
	at := r.Job.Files[0].Place(0, 0)
	room := int64(maxAttachments)
	for _, name := range slices.Concat([]string{recipe.StudioFile}, r.Job.Pictures) {
		if have[name] {
			continue
		}
		have[name] = true
		data, err := recipe.ReadFile(r.drawings.studio, name, room)
		if name == recipe.StudioFile && errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			problems.Errorf(problem.Unreadable, at, problem.Advise("make the file readable"), "%s cannot be read: %v", name, plainCause(err))
			continue
		}
		room -= int64(len(data))
		r.attachments = append(r.attachments, source.New(name, data))
	}
	return problems
}

// relink changes the links and pictures of prose, which are relative to the
// recipe, so that they work from the page.
func (r *Result) relink(html string, signed *record.Impression) string {
	to := strings.Repeat("../", 2+strings.Count(r.Job.Name, "/"))
	if signed != nil {
		to = impression.Inputs + "/"
	}
	for part := range strings.SplitSeq(path.Dir(r.Job.Files[0].Name), "/") {
		if part != "." {
			to += template.HTMLEscapeString(url.PathEscape(part)) + "/"
		}
	}
	var out strings.Builder
	from := 0
	for _, at := range linkTags.FindAllStringIndex(html, -1) {
		out.WriteString(html[from:at[1]])
		from = at[1]
		if i := strings.IndexAny(html[from:], `:/?#"`); i < 0 || html[from+i] != ':' && (html[from+i] != '#' || i > 0) {
			out.WriteString(to)
		}
	}
	out.WriteString(html[from:])
	return out.String()
}

var linkTags = regexp.MustCompile(`<(?:img src|a href)="`)

// newRecord is the record without its outputs.
func (r *Result) newRecord(signed *record.Impression) *record.Record {
	rec := &record.Record{
		Engine: record.Engine, Version: record.Version, Job: r.Job.Name, Title: r.Job.Title, Recipe: r.Job.Files[0].Name, Impression: signed,
	}
	for _, in := range r.inputs() {
		rec.Inputs = append(rec.Inputs, record.NewFile(in.Name, in.Data))
	}
	rec.Values = r.values()
	for _, c := range r.Checks {
		rec.Checks = append(rec.Checks, record.Check{Program: c.Program, Rule: c.Name, OK: c.OK, Found: c.Found, Allowed: c.Allowed})
	}
	return rec
}

// values are the rows and cells that have an effect, then the formulas, then
// the values in the text. A row with a formula is listed once, with its
// formula. A row that no formula can name is listed by section and word.
func (r *Result) values() []record.Value {
	workings := map[string]string{}
	for _, w := range r.Job.Workings {
		workings[w.Name] = w.Formula
	}
	var out []record.Value
	listed := map[string]bool{}
	for _, f := range r.Job.Facts {
		v := record.Value{Name: f.Name, Formula: workings[f.Name], Value: f.Value, Default: f.Default}
		if f.Name == "" {
			v.Name = f.Section.String() + ", " + f.Word
		} else {
			listed[f.Name] = true
		}
		out = append(out, v)
	}
	for _, w := range r.Job.Workings {
		if !listed[w.Name] {
			out = append(out, record.Value{Name: w.Name, Formula: w.Formula, Value: w.Result})
		}
	}
	for _, f := range r.Job.InText {
		out = append(out, record.Value{Name: record.InText, Formula: f.Formula, Value: f.Value})
	}
	return out
}

// checkName refuses a recipe whose folder in the logbook is taken: by another
// recipe, or by the logbook itself.
func checkName(studio fs.FS, job *model.Job) problem.List {
	var problems problem.List
	file := job.Files[0]
	at := file.Place(0, 0)
	if record.Reserved(job.Name) {
		problems.Errorf(problem.ReservedJob, at, problem.Advise("give the recipe or its folder another name"),
			"the job would be called %s, a name that the logbook uses itself", job.Name)
	}
	// heron.md and heron/heron.md are both the job heron.
	other := job.Name + ".md"
	if other == file.Name {
		other = path.Join(job.Name, path.Base(job.Name)+".md")
	}
	if info, err := fs.Stat(studio, other); err == nil && info.Mode().IsRegular() && strings.EqualFold(recipe.JobName(other), job.Name) {
		problems.Errorf(problem.SameJob, at, problem.Advise("give one of the two another name"), "%s and %s would both be the job %s", file.Name, other, job.Name)
	}
	return problems
}
