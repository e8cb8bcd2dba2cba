package main

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"mahlstick/runner/record"
)

var update = flag.Bool("update", false, "write what the scripts expect anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"mahlstick": main})
}

// TestScripts runs the real program on the small studio of testdata/studio,
// which each script finds in its folder and changes as its story goes. A
// script may hold files of its own, which take the place of the studio's.
func TestScripts(t *testing.T) {
	studio, err := filepath.Abs("../../testdata/studio")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("ENGINE", strconv.Itoa(record.Engine))
			e.Setenv("VERSION", record.Version)
			return filepath.WalkDir(studio, func(name string, d fs.DirEntry, err error) error {
				if err != nil {
					return err
				}
				rel, err := filepath.Rel(studio, name)
				if err != nil {
					return err
				}
				to := filepath.Join(e.WorkDir, rel)
				if d.IsDir() {
					return os.MkdirAll(to, 0o755)
				}
				if _, err := os.Lstat(to); err == nil {
					return nil // the script's own
				}
				data, err := os.ReadFile(name)
				if err != nil {
					return err
				}
				return os.WriteFile(to, data, 0o644)
			})
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"change":  change,
			"paste":   paste,
			"absent":  absent,
			"same":    same,
			"reseal":  reseal,
			"scanned": scanned,
		},
	})
}
