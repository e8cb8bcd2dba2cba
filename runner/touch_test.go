package runner_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/recipe/model"
	"mahlstick/runner"
	"mahlstick/runner/proof"
)

// Corner touches are painted as they always were: where the recipe says touch,
// each stroke is one of those of engine 5, move by move, or the same from its other
// end. Their order is newer. The files in programs were written by that engine
// and are never renewed.
func TestTouchKeepsItsStrokes(t *testing.T) {
	const kept = "../testdata/touch"
	studio := studioOf(t, os.DirFS(kept))
	for _, job := range []string{"shapes", "character"} {
		r := mustRun(t, filepath.Join(studio, job, job+".md"), runner.Options{})
		if r.Failed() {
			t.Errorf("%s: a check fails", job)
		}
		programs := 0
		for _, o := range r.Outputs {
			if path.Ext(o.Name) != ".nc" {
				continue
			}
			programs++
			want, err := os.ReadFile(filepath.Join(kept, "programs", job, o.Name))
			if err != nil {
				t.Error(err)
				continue
			}
			if strings.HasPrefix(o.Name, "0-") && !bytes.Equal(want, o.Data) {
				t.Errorf("%s/%s is not as engine 5 wrote it: %s", job, o.Name, firstLine(want, o.Data))
			}
			was, is := paintedPaths(want), paintedPaths(o.Data)
			slices.Sort(was)
			slices.Sort(is)
			if !slices.Equal(was, is) {
				t.Errorf("%s/%s does not hold the %d strokes that engine 5 wrote, but %d", job, o.Name, len(was), len(is))
			}
		}
		if files, err := os.ReadDir(filepath.Join(kept, "programs", job)); err != nil || len(files) != programs {
			t.Errorf("%s: %d programs, %d are kept, %v", job, programs, len(files), err)
		}
	}
}

// paintedPaths are the paths that a program paints, as text: all positions at or
// below the paper, from the end that comes first in the alphabet.
func paintedPaths(text []byte) []string {
	read, _ := proof.Read("", text)
	var out, positions []string
	for _, m := range read.Moves {
		switch {
		case m.To.Z <= 0:
			positions = append(positions, fmt.Sprintf("%.4f %.4f %.4f", m.To.X, m.To.Y, m.To.Z))
		case len(positions) > 0:
			forwards := strings.Join(positions, ", ")
			slices.Reverse(positions)
			out = append(out, min(forwards, strings.Join(positions, ", ")))
			positions = nil
		}
	}
	return out
}

// The same jobs with their corners joined: one contact a shape, as well painted,
// in less time, with a brush that lags and with one that does not.
func TestJoinedInOneContact(t *testing.T) {
	for _, job := range []string{"shapes", "character"} {
		recipe := filepath.Join(studioOf(t, os.DirFS("../testdata/touch")), job, job+".md")
		touched := mustRun(t, recipe, runner.Options{})
		rewrite(t, recipe, func(line string) string { return strings.Replace(line, "| touch ", "| joined ", 1) })
		joined := mustRun(t, recipe, runner.Options{})
		if joined.Failed() {
			t.Errorf("%s: a check fails", job)
		}
		for i, l := range joined.Layers {
			was := touched.Layers[i]
			if n := len(l.Motion.Strokes); n != l.Plan.Shapes {
				t.Errorf("%s: %d strokes for %d shapes", l.Model.Name, n, l.Plan.Shapes)
			}
			if l.Cover.Coverage < was.Cover.Coverage-0.0002 || l.Cover.Excess > was.Cover.Excess+0.0002 {
				t.Errorf("%s: covers %.3f %%, spills %.3f %%; with touches %.3f and %.3f %%", l.Model.Name,
					100*l.Cover.Coverage, 100*l.Cover.Excess, 100*was.Cover.Coverage, 100*was.Cover.Excess)
			}
			if l.Figures.Seconds >= was.Figures.Seconds || l.Measures.Travel >= was.Measures.Travel {
				t.Errorf("%s: %.1f s and %.0f mm of travel, with touches %.1f s and %.0f mm", l.Model.Name,
					l.Figures.Seconds, l.Measures.Travel, was.Figures.Seconds, was.Measures.Travel)
			}
			if math.Abs(l.Plan.Drawn-l.Painted-l.Refused) > 1e-6 || l.Plan.Twice <= 0 {
				t.Errorf("%s: drawn %g, painted %g, refused %g, twice %g mm²", l.Model.Name, l.Plan.Drawn, l.Painted, l.Refused, l.Plan.Twice)
			}
		}
	}
}

// Longer entries of joined corners leave no more bare than those of corners that
// are touched: they end with the corner.
func TestLongerEntriesOfJoinedCorners(t *testing.T) {
	recipe := filepath.Join(studioOf(t, notebooks.Files), "guide", "09-an-edition.md")
	joined := mustRun(t, recipe, runner.Options{})
	rewrite(t, recipe, func(line string) string {
		for was, is := range map[string]string{"| check strip |": "| check strip | corners |", "|-------------|": "|---|---|", "| yes         |": "| yes | touch |", "| no          |": "| no | touch |"} {
			if strings.HasSuffix(line, was) {
				return strings.TrimSuffix(line, was) + is
			}
		}
		return line
	})
	for i, touched := range mustRun(t, recipe, runner.Options{}).Layers {
		l := joined.Layers[i]
		t.Logf("%s: %d strokes, %.3f mm² bare; with touches %d, %.3f mm²", l.Model.Name, l.Figures.Strokes, l.Refused, touched.Figures.Strokes, touched.Refused)
		if l.Model.Entries == model.Longer && (touched.Figures.Strokes <= l.Figures.Strokes || l.Refused > touched.Refused+0.01) {
			t.Errorf("%s: %d strokes, %.3f mm² bare; with touches %d, %.3f mm²", l.Model.Name, l.Figures.Strokes, l.Refused, touched.Figures.Strokes, touched.Refused)
		}
	}
}
