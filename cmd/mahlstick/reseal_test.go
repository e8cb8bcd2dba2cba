package main

import (
	"os"
	"path/filepath"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"

	"mahlstick/runner/record"
)

// reseal DIR ENGINE VERSION makes the files of an impression's folder what
// was signed, as if another mahlstick had done it.
func reseal(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: reseal DIR ENGINE VERSION")
	}
	dir := ts.MkAbs(args[0])
	name := filepath.Join(dir, record.RecordName)
	data, err := os.ReadFile(name)
	ts.Check(err)
	r, err := record.Parse(data)
	ts.Check(err)
	r.Engine, err = strconv.Atoi(args[1])
	ts.Check(err)
	r.Version = args[2]
	again := func(files []record.File, below string) {
		for i, f := range files {
			data, err := os.ReadFile(filepath.Join(dir, below, f.Name))
			ts.Check(err)
			files[i] = record.NewFile(f.Name, data)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "inputs")); err == nil { // not in a job's own folder
		again(r.Inputs, "inputs")
	}
	again(r.Outputs, "")
	ts.Check(os.WriteFile(name, r.JSON(), 0o644))
}
