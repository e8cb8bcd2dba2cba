package runner

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"mahlstick/recipe"
	"mahlstick/recipe/notebook"
	"mahlstick/recipe/section"
	"mahlstick/runner/impression"
	"mahlstick/runner/logbook"
	"mahlstick/runner/record"
)

// Write writes the result into the studio's logbook, whole or not at all, and
// updates the logbook's index. kept lists files that were changed by hand and
// now have another name. After a *record.PostCommitError the result is written
// all the same.
func (r *Result) Write(store record.Store) (kept []record.Kept, err error) {
	locked, err := store.Lock(r.Job.Name)
	if err != nil {
		return nil, err
	}
	kept, err = locked.Replace(r.Outputs)
	if err := errors.Join(err, locked.Unlock()); err != nil {
		return kept, err
	}
	return kept, updateIndex(store, r.Studio)
}

// updateIndex is WriteIndex after a job was written.
func updateIndex(store record.Store, studio string) error {
	if err := WriteIndex(store, studio); err != nil {
		return &record.PostCommitError{Err: fmt.Errorf("the logbook's index could not be updated: %w", err)}
	}
	return nil
}

// WriteIndex writes the index, the page of all jobs. It belongs to no job and is made
// from what is in the logbook.
func WriteIndex(store record.Store, studio string) error {
	page := &logbook.Studio{Title: studioTitle(studio)}
	err := filepath.WalkDir(store.Dir, func(name string, e fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && name != store.Dir {
			return nil // somebody removed a folder meanwhile
		}
		if err != nil {
			return err
		}
		if e.IsDir() && (strings.HasPrefix(e.Name(), ".") || e.Name() == record.Impressions) {
			return fs.SkipDir
		}
		if e.Name() != record.RecordName || !e.Type().IsRegular() {
			return nil
		}
		job, err := indexJob(store.Dir, name)
		if job != nil {
			page.Jobs = append(page.Jobs, *job)
		}
		return err
	})
	if err != nil {
		return err
	}
	slices.SortFunc(page.Jobs, func(a, b logbook.Job) int { return strings.Compare(a.Name, b.Name) })
	html, err := page.Render()
	if err != nil {
		return err
	}
	return store.WriteShared(pageName, html)
}

// indexJob is the job of a record as the index shows it; nil where the record
// is not one of ours, which repeat reports.
func indexJob(dir, recordFile string) (*logbook.Job, error) {
	data, err := os.ReadFile(recordFile)
	if err != nil {
		return nil, err
	}
	rec, err := record.Parse(data)
	if err != nil {
		return nil, nil
	}
	folder := path.Dir(filepath.ToSlash(relative(dir, recordFile)))
	job := &logbook.Job{Name: rec.Job, Title: rec.Title, Link: folder + "/" + pageName}
	for _, o := range rec.Outputs {
		if o.Name == pictureName {
			job.Picture = folder + "/" + pictureName
		}
		if len(rec.Programs) == 0 && strings.HasSuffix(o.Name, programExt) && o.Name != walkName { // of a record without figures
			job.Layers++
		}
	}
	job.Layers = max(job.Layers, len(rec.Programs))
	for _, p := range rec.Programs {
		job.Strokes, job.CheckMarks, job.Crosses = job.Strokes+p.Strokes, job.CheckMarks+p.CheckMarks, job.Crosses+p.RegisterMarks
		job.Painted, job.Seconds = job.Painted+p.Length, job.Seconds+p.Seconds
	}
	numbers, err := impression.List(filepath.Dir(recordFile))
	for _, n := range numbers {
		name := path.Join(record.Impressions, impression.Name(n))
		if info, err := os.Lstat(filepath.Join(filepath.Dir(recordFile), filepath.FromSlash(name))); err != nil || !info.IsDir() {
			continue
		}
		job.Impressions = append(job.Impressions, logbook.Impression{Number: strconv.Itoa(n), Link: path.Join(folder, name, pageName)})
	}
	return job, err
}

func relative(dir, name string) string {
	rel, err := filepath.Rel(dir, name)
	if err != nil {
		return name
	}
	return rel
}

// studioTitle is the first heading of studio.md, "Studio" where it has none.
func studioTitle(dir string) string {
	const title = "Studio"
	root, err := os.OpenRoot(dir)
	if err != nil {
		return title
	}
	defer root.Close()
	data, err := notebook.ReadFile(root.FS(), recipe.StudioFile, section.MaxBytes)
	if err != nil {
		return title
	}
	for line := range strings.Lines(string(data)) {
		if heading, ok := strings.CutPrefix(strings.TrimSpace(line), "# "); ok {
			return strings.TrimSpace(heading)
		}
	}
	return title
}
