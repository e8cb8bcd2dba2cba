package runner_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner"
)

// The drawings of a job are bounded together, not each alone. Where the bound
// is crossed is told at the layer; files of nothing take no room on the disk.
func TestDrawingsTogether(t *testing.T) {
	studio, recipe := pond(t)
	text, err := os.ReadFile(recipe)
	if err != nil {
		t.Fatal(err)
	}
	var rows strings.Builder
	for i := range 5 {
		name := filepath.Join(studio, "pond", fmt.Sprintf("empty%d.dxf", i))
		if err := errors.Join(os.WriteFile(name, nil, 0o644), os.Truncate(name, 60<<20)); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&rows, "| l%d | [l](empty%d.dxf) | | [sable](../brushes/sable.md) | moss #6c7a45 | 750 mm/min |\n", i, i)
	}
	text = bytes.Replace(text, []byte("| bird "), []byte(rows.String()+"| bird "), 1)
	if err := os.WriteFile(recipe, text, 0o644); err != nil {
		t.Fatal(err)
	}
	_, problems, err := runner.Run(recipe, runner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for _, p := range problems {
		if strings.Contains(p.Message, "at most 256 MB together") {
			told++
			if !strings.Contains(p.Message, "empty4.dxf") || !p.Place.Known() {
				t.Errorf("told at %v: %s", p.Place, p.Message)
			}
		}
	}
	if told != 1 {
		t.Errorf("told %d times in %v", told, problems)
	}
}
