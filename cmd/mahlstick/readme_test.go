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

// What the README tells a newcomer to write runs as it stands there.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	studio := t.TempDir()
	if err := os.CopyFS(studio, os.DirFS("../../testdata/studio")); err != nil {
		t.Fatal(err)
	}
	written := 0
	for _, block := range indented(string(text)) {
		name := map[bool]string{strings.HasPrefix(block, "# Sable"): "brushes/sable.md", strings.HasPrefix(block, "# Pond"): "pond/pond.md"}[true]
		if name == "" {
			continue
		}
		written++
		if err := os.WriteFile(filepath.Join(studio, name), []byte(block), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if written != 2 {
		t.Fatalf("the README shows %d notebooks, want a brush and a recipe", written)
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
