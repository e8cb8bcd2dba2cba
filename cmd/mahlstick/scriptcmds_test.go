package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// change FILE OLD NEW puts NEW in the place of OLD, which must be in the
// file once. \n in either is a line end.
func change(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: change FILE OLD NEW")
	}
	unescape := strings.NewReplacer(`\n`, "\n").Replace
	text := ts.ReadFile(args[0])
	old := unescape(args[1])
	if n := strings.Count(text, old); n != 1 {
		ts.Fatalf("%q is %d times in %s", old, n, args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, old, unescape(args[2]), 1)), 0o644))
}

// paste RECIPE BRUSH puts the rows of Layers that were printed last at the end of a
// recipe, each with the brush, and with an ink where it has none.
func paste(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: paste RECIPE BRUSH")
	}
	text := ts.ReadFile(args[0])
	var words []string
	for line := range strings.Lines(ts.ReadFile("stdout")) {
		if !strings.HasPrefix(line, "|") {
			continue
		}
		cells := strings.Split(strings.Trim(line, "|\n"), "|")
		for i, cell := range cells {
			switch cell := strings.TrimSpace(cell); {
			case words == nil || cell != "":
			case words[i] == "brush":
				cells[i] = args[1]
			case words[i] == "ink":
				cells[i] = "black"
			}
			cells[i] = strings.TrimSpace(cells[i])
		}
		if words == nil {
			words = cells
		}
		text += "| " + strings.Join(cells, " | ") + " |\n"
	}
	if words == nil {
		ts.Fatalf("no rows were printed")
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}

// absent NAME... wants nothing under the names.
func absent(ts *testscript.TestScript, neg bool, args []string) {
	for _, a := range args {
		if _, err := os.Lstat(ts.MkAbs(a)); err == nil {
			ts.Fatalf("%s exists", a)
		}
	}
}

// same A B wants two folders to hold the same files with the same bytes;
// ! same wants a difference.
func same(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: same A B")
	}
	a, b := files(ts, args[0]), files(ts, args[1])
	var differ []string
	for name, data := range a {
		if other, ok := b[name]; !ok || !bytes.Equal(data, other) {
			differ = append(differ, name)
		}
	}
	for name := range b {
		if _, ok := a[name]; !ok {
			differ = append(differ, name)
		}
	}
	if neg == (len(differ) == 0) {
		ts.Fatalf("%s and %s: differing files: %v", args[0], args[1], differ)
	}
	if len(a) == 0 {
		ts.Fatalf("%s is empty", args[0])
	}
}

func files(ts *testscript.TestScript, dir string) map[string][]byte {
	out := map[string][]byte{}
	root := ts.MkAbs(dir)
	ts.Check(filepath.WalkDir(root, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		out[filepath.ToSlash(rel)], err = os.ReadFile(name)
		return err
	}))
	return out
}
