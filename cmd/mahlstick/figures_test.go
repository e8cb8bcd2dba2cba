package main

import (
	"bytes"
	"fmt"
	"html"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/recipe/format"
	"mahlstick/runner"
	"mahlstick/runner/record"
	"mahlstick/runner/stroke"
)

// Page, terminal, program, read, record and index state the same figures of
// each layer of each recipe of the studio, in the same words.
func TestFiguresAgree(t *testing.T) {
	studio := t.TempDir()
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		t.Fatal(err)
	}
	recipes, err := fs.Glob(notebooks.Files, "guide/[0-9]*.md")
	if err != nil || len(recipes) < 10 {
		t.Fatal(recipes, err)
	}
	for _, name := range append(recipes, "heron/heron.md") {
		r, problems, err := runner.Run(filepath.Join(studio, name), runner.Options{})
		if err != nil || problems.HasErrors() {
			t.Fatal(name, problems, err)
		}
		if _, err := r.Write(runner.LogbookOf(studio)); err != nil {
			t.Fatal(err)
		}
		index, err := os.ReadFile(filepath.Join(studio, "logbook/index.html"))
		if err != nil {
			t.Fatal(err)
		}
		job := figuresOf(t, r)
		job.readBack(t, r.Folder())
		for _, f := range job.wrong(entryOf(plain(index), r.Job.Name)) {
			t.Errorf("%s: %s", name, f)
		}
	}
}

// jobFigures are the figures of a job as it was written, in the words of the
// terminal.
type jobFigures struct {
	layers            []layerFigures
	page, card        string
	terminal          string
	strokes, marks    int
	crosses           int
	painted, duration float64
}

type layerFigures struct {
	record.Program
	name    string
	lag     bool
	head    string // of the program
	reading string // what read prints
}

// readBack reads the programs as they were written.
func (j *jobFigures) readBack(t *testing.T, folder string) {
	t.Helper()
	for i := range j.layers {
		l := &j.layers[i]
		file := filepath.Join(folder, l.File)
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		head, _, _ := strings.Cut(string(text), "\nG21")
		l.head = strings.ReplaceAll(head, ")\n(- ", " ") // comments that go on
		var out bytes.Buffer
		read := readCommand()
		read.SetOut(&out)
		read.SetArgs([]string{file})
		if err := read.Execute(); err != nil {
			t.Fatal(err)
		}
		l.reading = out.String()
	}
}

func figuresOf(t *testing.T, r *runner.Result) jobFigures {
	t.Helper()
	var out jobFigures
	var terminal bytes.Buffer
	summary(&terminal, r)
	out.terminal = terminal.String()
	for _, o := range r.Outputs {
		switch o.Name {
		case "index.html":
			out.page = plain(o.Data)
		case "card.html":
			out.card = plain(o.Data)
		}
	}
	if len(r.Record.Programs) != len(r.Layers) {
		t.Fatalf("the record has %d programs of %d layers", len(r.Record.Programs), len(r.Layers))
	}
	for i, p := range r.Record.Programs {
		out.layers = append(out.layers, layerFigures{Program: p, name: r.Layers[i].Model.Name, lag: r.Layers[i].Model.Brush.Lag.At(1) > 0})
		out.strokes, out.marks = out.strokes+p.Strokes, out.marks+p.CheckMarks
		out.crosses += p.RegisterMarks
		out.painted, out.duration = out.painted+p.Length, out.duration+p.Seconds
	}
	return out
}

// wrong lists what one of the places states otherwise than the record.
func (j jobFigures) wrong(index string) (list []string) {
	want := func(where, text string, words ...string) {
		for _, w := range words {
			if !strings.Contains(text, w) {
				list = append(list, fmt.Sprintf("the %s does not say %q:\n%s", where, w, text))
			}
		}
	}
	lines := strings.Split(j.terminal, "\n")
	for i, l := range j.layers {
		strokes, length, seconds := format.Strokes(l.Strokes, l.CheckMarks, l.RegisterMarks), format.Plain.Length(l.Length), format.Plain.Duration(l.Seconds)
		want("terminal", lines[i+1], " "+strokes+" ", " "+length+" ", " "+seconds+" ")
		want("program's head", l.head, "(about "+seconds+", "+strokes+", "+length+" of marks)")
		want("reading", l.reading, " moves, "+strokes+"\n", "\ntime     "+seconds+", of it ")
		if !l.lag { // else the marks are elsewhere than the axis
			want("reading", l.reading, "\ncontact  "+length+" along the path of the axis, ")
		}
		section := between(j.page, fmt.Sprintf("|%d. %s|", i+1, l.name), "|program|", 1)
		want("page", section, "|strokes|"+strokes, "|"+length+" (the length of the marks)", "|"+seconds+", without pauses|")
		all := l.Strokes + l.CheckMarks + l.RegisterMarks*stroke.CrossArms
		want("job card", j.card, fmt.Sprintf("|%d to %d, %s|", all-l.Strokes+1, all, seconds))
	}
	strokes, length, seconds := format.Strokes(j.strokes, j.marks, j.crosses), format.Plain.Length(j.painted), format.Plain.Duration(j.duration)
	want("page", j.page, format.Count(len(j.layers), "layer")+", "+strokes+", "+length+" painted, about "+seconds+" of machine time")
	want("index", index, format.Count(len(j.layers), "layer")+", "+strokes+", "+length+" painted, about "+seconds)
	return list
}

// plain is the text of a page, a bar for each run of tags.
func plain(page []byte) string {
	text := regexp.MustCompile(`(?:\s*<[^>]*>\s*)+`).ReplaceAllString(string(page), "|")
	return strings.ReplaceAll(html.UnescapeString(text), "\u00a0", " ")
}

// between is the nth text that begins and ends so.
func between(text, from, to string, n int) string {
	for ; n > 0; n-- {
		_, text, _ = strings.Cut(text, from)
	}
	out, _, _ := strings.Cut(text, to)
	return out
}

// entryOf is the entry of a job in the index.
func entryOf(index, job string) string {
	_, entry, _ := strings.Cut(index, "|"+job+", ")
	out, _, _ := strings.Cut(entry, "|")
	return out
}
