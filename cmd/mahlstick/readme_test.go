package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// indented gives the indented blocks of a Markdown text, without the indent.
func indented(text string) (blocks []string) {
	var block []string
	flush := func() {
		if joined := strings.TrimSpace(strings.Join(block, "\n")); joined != "" {
			blocks = append(blocks, joined+"\n")
		}
		block = nil
	}
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		switch rest, ok := strings.CutPrefix(line, "    "); {
		case ok:
			block = append(block, rest)
		case line == "":
			block = append(block, "")
		default:
			flush()
		}
	}
	flush()
	return blocks
}

// What a newcomer writes by the README runs as it is.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	studio := t.TempDir()
	// From nothing: only the drawings are taken from elsewhere.
	for _, dir := range []string{"brushes", "machines", "pond"} {
		if err := os.Mkdir(filepath.Join(studio, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, drawing := range []string{"pond/reeds.dxf", "pond/bird.dxf"} {
		data, err := os.ReadFile(filepath.Join("../../testdata/studio", drawing))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(studio, drawing), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if !strings.Contains(string(text), "`# Our studio`") {
		t.Error("the README does not show studio.md")
	}
	if err := os.WriteFile(filepath.Join(studio, "studio.md"), []byte("# Our studio\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	written := 0
	for _, block := range indented(string(text)) {
		name := map[string]string{"# Bench": "machines/bench.md", "# Sable": "brushes/sable.md", "# Pond": "pond/pond.md"}[strings.SplitN(block, "\n", 2)[0]]
		if name == "" {
			continue
		}
		written++
		if err := os.WriteFile(filepath.Join(studio, name), []byte(block), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if written != 3 {
		t.Fatalf("the README shows %d notebooks, want a machine, a brush and a recipe", written)
	}
	var out, errs bytes.Buffer
	if code := run([]string{"run", filepath.Join(studio, "pond", "pond.md")}, &out, &errs); code != exitDone || errs.Len() > 0 {
		t.Errorf("code %d\n%s%s", code, &out, &errs)
	}
	for _, command := range []string{"    go run ./cmd/mahlstick run notebooks/heron/heron.md\n", "    go test ./...\n"} {
		if !strings.Contains(string(text), command) {
			t.Errorf("the README does not show %q", command)
		}
	}
	if _, err := os.Stat("../../notebooks/heron/heron.md"); err != nil {
		t.Error(err)
	}
}
