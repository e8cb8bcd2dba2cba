package scribble_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"mahlstick/runner/scribble"
)

// One number is one job, and the jobs are of many kinds.
func TestJobs(t *testing.T) {
	seen := map[string]bool{}
	kinds := map[string]int{}
	for n := 1; n <= 60; n++ {
		files := scribble.Job(n)
		if !reflect.DeepEqual(files, scribble.Job(n)) {
			t.Fatalf("job %d is two", n)
		}
		var all bytes.Buffer
		for _, f := range files {
			if !strings.HasPrefix(f.Name, scribble.Name(n)+"/") {
				t.Errorf("%s is no file of job %d", f.Name, n)
			}
			all.Write(f.Data)
		}
		text := all.String()
		if seen[text] {
			t.Errorf("job %d is another's", n)
		}
		seen[text] = true
		for _, word := range []string{"CIRCLE", "SPLINE", "LWPOLYLINE", "<svg", "## Registration", "## Swatch", "along", "tremor(", "| strokes |", "270°", "upper right", "not as the file says", "tip offset x", "| lag |", "| straight |", "| both |", "| first |"} {
			if strings.Contains(text, word) {
				kinds[word]++
			}
		}
	}
	if len(kinds) != 17 {
		t.Errorf("some kinds never came: %v", kinds)
	}
}
