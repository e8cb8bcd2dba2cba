package logbook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
)

//go:embed index.tmpl
var indexTemplate string

// Studio is the page of all jobs.
type Studio struct {
	Title string
	Jobs  []Job
}

// Job is a line of the studio's page.
type Job struct {
	Name, Title string
	Link        string // relative to the page
	Picture     string // likewise, "" for none
	Layers      int
	// Sums over its programs; Strokes is 0 if they are not known.
	Strokes, CheckMarks int
	Crosses             int     // painted register marks
	Painted, Seconds    float64 // mm, s
	Impressions         []Impression
}

// Anchor is the id of the job on the studio's page.
func (j Job) Anchor() string { return JobAnchor(j.Name) }

// JobAnchor is the id of a job, by its name, on the studio's page.
func JobAnchor(name string) string { return "job-" + anchorOf(name) }

// Impression is a signed sheet.
type Impression struct{ Number, Link string }

// Render returns the studio's page as one HTML file. Its pictures are in the
// folders of the jobs' pages.
func (s *Studio) Render() ([]byte, error) {
	var out bytes.Buffer
	if err := index.Execute(&out, s); err != nil {
		return nil, fmt.Errorf("the studio's page: %w", err)
	}
	return out.Bytes(), nil
}

var index = template.Must(template.Must(pages.Clone()).New("index").Parse(indexTemplate))
