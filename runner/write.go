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
	"mahlstick/recipe/section"
	"mahlstick/runner/impression"
	"mahlstick/runner/logbook"
	"mahlstick/runner/record"
)

// Write puts the result into the studio's logbook, whole or not at all, and
// renews the logbook's own page. A *record.Unsettled says that the result
// stands all the same.
func (r *Result) Write(store record.Store) error {
	locked, err := store.Lock(r.Job.Name)
	if err != nil {
		return err
	}
	err = locked.Replace(r.Outputs)
	if err := errors.Join(err, locked.Unlock()); err != nil {
		return err
	}
	return renewIndex(store, r.Studio)
}

// renewIndex renews the page of all jobs after a job was written.
func renewIndex(store record.Store, studio string) error {
	if err := WriteIndex(store, studio); err != nil {
		return &record.Unsettled{Err: fmt.Errorf("the logbook's own page could not be renewed: %w", err)}
	}
	return nil
}

// WriteIndex renews the page of all jobs. It belongs to no job and is made
// from what stands in the logbook.
func WriteIndex(store record.Store, studio string) error {
	page := &logbook.Studio{Title: studioTitle(studio)}
	err := filepath.WalkDir(store.Dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() && (strings.HasPrefix(e.Name(), ".") || e.Name() == record.Impressions) {
			return fs.SkipDir
		}
		if e.Name() != record.RecordName || !e.Type().IsRegular() {
			return nil
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		rec, err := record.Parse(data)
		if err != nil {
			return nil // another's file; repeat tells of it
		}
		folder := path.Dir(filepath.ToSlash(relative(store.Dir, name)))
		job := logbook.Job{Name: rec.Job, Title: rec.Title, Link: folder + "/" + pageName}
		for _, o := range rec.Outputs {
			if o.Name == pictureName {
				job.Picture = folder + "/" + pictureName
			}
			if strings.HasSuffix(o.Name, ".nc") && o.Name != walkName {
				job.Layers++
			}
		}
		numbers, err := impression.List(filepath.Dir(name))
		if err != nil {
			return err
		}
		for _, n := range numbers {
			dir := filepath.Join(filepath.Dir(name), record.Impressions, impression.Name(n))
			if info, err := os.Lstat(dir); err != nil || !info.IsDir() {
				continue
			}
			job.Impressions = append(job.Impressions, logbook.Impression{
				Number: strconv.Itoa(n), Link: path.Join(folder, record.Impressions, impression.Name(n), pageName),
			})
		}
		page.Jobs = append(page.Jobs, job)
		return nil
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

func relative(dir, name string) string {
	rel, err := filepath.Rel(dir, name)
	if err != nil {
		return name
	}
	return rel
}

// studioTitle is the first heading of studio.md, else a plain word.
func studioTitle(dir string) string {
	const title = "Studio"
	root, err := os.OpenRoot(dir)
	if err != nil {
		return title
	}
	defer root.Close()
	data, err := recipe.ReadFile(root.FS(), recipe.StudioFile, section.MaxBytes)
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
