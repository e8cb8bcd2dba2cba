// Operations runs and signs a job over and over, and each time lets one system
// call on a file be the last that the program does (SIGKILL), or lets it fail.
// It goes through all calls in turn, and wants the old result or the new one
// each time, every impression whole, an error that is told, and a next run that
// goes through and clears away what is left. It needs strace.
//
//	go run ./.ci/operations PROGRAM STUDIO RECIPE
package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"mahlstick/recipe"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// calls are the system calls by which the program reaches files.
var calls = []string{"mkdirat", "openat", "write", "fsync", "linkat", "renameat", "renameat2", "unlinkat", "flock", "getdents64"}

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "usage: operations PROGRAM STUDIO RECIPE")
		os.Exit(2)
	}
	dir, err := os.MkdirTemp("", "operations")
	if err == nil {
		defer os.RemoveAll(dir)
		err = try(dir, os.Args[1], os.Args[2], os.Args[3])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.RemoveAll(dir)
		os.Exit(1)
	}
}

type trial struct {
	program, template, studio, recipe, job string

	log      string
	old, new map[string]string
}

func try(dir, program, studio, name string) error {
	program, err := filepath.Abs(program)
	if err != nil {
		return err
	}
	t := &trial{program: program, recipe: name, job: recipe.JobName(name),
		template: filepath.Join(dir, "template"), studio: filepath.Join(dir, "studio"), log: filepath.Join(dir, "log")}
	if err := os.CopyFS(t.template, os.DirFS(studio)); err != nil {
		return err
	}
	// The old result with an impression, and a word more in the recipe.
	if err := t.plain(t.template, "run", "sign"); err != nil {
		return err
	}
	if t.old, err = t.stands(t.template); err != nil {
		return err
	}
	file := filepath.Join(t.template, filepath.FromSlash(name))
	text, err := os.ReadFile(file)
	if err == nil {
		err = os.WriteFile(file, append(text, "\nA word more.\n"...), 0o644)
	}
	if err != nil {
		return err
	}
	if err := t.fresh(); err != nil {
		return err
	}
	if err := t.plain(t.studio, "run"); err != nil {
		return err
	}
	if t.new, err = t.stands(t.studio); err != nil {
		return err
	}
	for _, command := range []string{"run", "sign"} {
		for _, fault := range []string{"signal=KILL", "error=EIO"} {
			var n, olds, news, silent int
			var counts []string
			for _, call := range calls {
				reached := 0
				// Each thread is counted by itself, so a number may be missed.
				for at, missed := 1, 0; missed < 3; at++ {
					hit, isNew, code, err := t.once(command, call, fault, at)
					if err != nil {
						return fmt.Errorf("%s, %s at %s %d: %w", command, fault, call, at, err)
					}
					if !hit {
						missed++
						continue
					}
					missed = 0
					reached++
					if isNew {
						news++
					} else {
						olds++
					}
					if code == 0 {
						silent++
					}
				}
				n += reached
				if reached > 0 {
					counts = append(counts, fmt.Sprintf("%s %d", call, reached))
				}
			}
			fmt.Printf("%s, %s: %d system calls (%s): %d times the old state, %d times the new", command, fault, n, strings.Join(counts, ", "), olds, news)
			if fault != "signal=KILL" {
				fmt.Printf("; %d times it did not matter", silent)
			}
			fmt.Println()
			if olds == 0 || news == 0 {
				return errors.New("the faults did not reach both sides")
			}
		}
	}
	return nil
}

// plain runs commands without a fault.
func (t *trial) plain(studio string, commands ...string) error {
	for _, c := range commands {
		cmd := exec.Command(t.program, c, t.recipe)
		cmd.Dir = studio
		if out, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w\n%s", c, err, out)
		}
	}
	return nil
}

func (t *trial) fresh() error {
	return errors.Join(os.RemoveAll(t.studio), os.CopyFS(t.studio, os.DirFS(t.template)))
}

// once lets a command meet a fault. hit says whether it did, isNew whether the
// new state stands after it.
func (t *trial) once(command, call, fault string, at int) (hit, isNew bool, code int, err error) {
	if err := t.fresh(); err != nil {
		return false, false, 0, err
	}
	inject := fmt.Sprintf("inject=%s:%s:when=%d", call, fault, at)
	cmd := exec.Command("strace", "-f", "-qq", "-o", t.log, "-e", "trace="+call, "-e", inject, t.program, command, "--workers", "1", t.recipe)
	cmd.Dir = t.studio
	cmd.Env = append(os.Environ(), "GOMAXPROCS=1")
	out, err := cmd.CombinedOutput()
	if err != nil && !errors.As(err, new(*exec.ExitError)) {
		return false, false, 0, err
	}
	code = cmd.ProcessState.ExitCode()
	log, err := os.ReadFile(t.log)
	if err != nil {
		return false, false, 0, fmt.Errorf("%w\n%s", err, out)
	}
	hit = bytes.Contains(log, []byte("INJECTED")) || bytes.Contains(log, []byte("killed by SIGKILL"))
	state, err := t.stands(t.studio)
	if err != nil {
		return hit, false, code, err
	}
	numbers, err := impression.List(filepath.Join(t.studio, "logbook", filepath.FromSlash(t.job)))
	if err != nil {
		return hit, false, code, err
	}
	switch {
	case command == "run" && maps.Equal(state, t.new):
		isNew = true
	case !maps.Equal(state, t.old):
		return hit, false, code, fmt.Errorf("neither the old result nor the new one:\n%s", out)
	}
	if command == "sign" {
		isNew = len(numbers) == 2
	}
	switch {
	case len(numbers) < 1, command == "run" && len(numbers) != 1, len(numbers) > 2:
		return hit, isNew, code, fmt.Errorf("impressions %v:\n%s", numbers, out)
	case code == 0 && !isNew:
		return hit, isNew, code, fmt.Errorf("it failed without a word:\n%s", out)
	}
	if err := t.whole(numbers); err != nil {
		return hit, isNew, code, err
	}
	// The next command puts things right.
	if err := t.plain(t.studio, "run", "sign"); err != nil {
		return hit, isNew, code, fmt.Errorf("the next one: %w", err)
	}
	left, err := filepath.Glob(filepath.Join(t.studio, "logbook", ".mahlstick", "*.[mnof]*"))
	if err != nil || len(left) > 0 {
		return hit, isNew, code, fmt.Errorf("the next one left %v", left)
	}
	if now, err := t.stands(t.studio); err != nil || !maps.Equal(now, t.new) {
		return hit, isNew, code, fmt.Errorf("the next one gave something else: %w", err)
	}
	after, err := impression.List(filepath.Join(t.studio, "logbook", filepath.FromSlash(t.job)))
	if err != nil || !slices.Equal(after[:len(after)-1], numbers) {
		return hit, isNew, code, fmt.Errorf("impressions %v, then %v: %w", numbers, after, err)
	}
	return hit, isNew, code, t.whole(after)
}

func (t *trial) whole(numbers []int) error {
	for _, n := range numbers {
		frozen, err := impression.Load(filepath.Join(t.studio, "logbook", filepath.FromSlash(impression.ID{Job: t.job, Number: n}.Folder())))
		if err == nil && !frozen.Whole() {
			err = fmt.Errorf("%v", frozen.Changed)
		}
		if err != nil {
			return fmt.Errorf("impression %d: %w", n, err)
		}
	}
	return nil
}

// stands is what is in the job's folder, impressions left out.
func (t *trial) stands(studio string) (map[string]string, error) {
	files := map[string]string{}
	dir := filepath.Join(studio, "logbook", filepath.FromSlash(t.job))
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() {
			if e.Name() == record.Impressions {
				return fs.SkipDir
			}
			return nil
		}
		data, err := os.ReadFile(name)
		files[name[len(dir):]] = record.Hash(data)
		return err
	})
	return files, err
}
