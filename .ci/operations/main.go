// Operations runs and signs a job over and over, and each time kills the program
// at one system call on a file (SIGKILL), or lets that call fail. It goes through
// all calls in turn. Each time the old result or the new one must be there, or
// each file as in one of them if a new result is decided; every impression must
// be whole, an error be printed, and the next command must work and remove what
// is left. It needs strace.
//
//	go run ./.ci/operations PROGRAM STUDIO RECIPE
package main

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"mahlstick/.ci/results"
	"mahlstick/recipe"
	"mahlstick/runner/impression"
)

// calls are the system calls by which the program reaches files.
var calls = []string{"mkdirat", "openat", "write", "fsync", "renameat", "renameat2", "unlinkat", "flock", "getdents64"}

func main() { results.Main(try) }

type trial struct {
	program, recipe   string
	log               string // of strace
	original, current results.Job
	old, new          map[string]string
}

func try() error {
	if len(os.Args) != 4 {
		return errors.New("usage: operations PROGRAM STUDIO RECIPE")
	}
	dir, err := os.MkdirTemp("", "operations")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	program, err := filepath.Abs(os.Args[1])
	if err != nil {
		return err
	}
	name := os.Args[3]
	t := &trial{program: program, recipe: name, log: filepath.Join(dir, "log"),
		original: results.Job{Studio: filepath.Join(dir, "original"), Name: recipe.JobName(name)},
		current:  results.Job{Studio: filepath.Join(dir, "studio"), Name: recipe.JobName(name)}}
	if err := t.prepare(os.Args[2]); err != nil {
		return err
	}
	for _, command := range []string{"run", "sign"} {
		for _, fault := range []string{"signal=KILL", "error=EIO"} {
			if err := t.each(command, fault); err != nil {
				return err
			}
		}
	}
	return nil
}

// prepare makes the old result with an impression, and a recipe with a word
// more.
func (t *trial) prepare(studio string) error {
	if err := os.CopyFS(t.original.Studio, os.DirFS(studio)); err != nil {
		return err
	}
	if err := t.plain(t.original.Studio, "run", "sign"); err != nil {
		return err
	}
	var err error
	if t.old, err = t.original.Files(); err != nil {
		return err
	}
	file := filepath.Join(t.original.Studio, filepath.FromSlash(t.recipe))
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
	if err := t.plain(t.current.Studio, "run"); err != nil {
		return err
	}
	t.new, err = t.current.Files()
	return err
}

// each plants a fault in each system call of a command in turn.
func (t *trial) each(command, fault string) error {
	var n, olds, news, mixed, silent int
	var counts []string
	for _, call := range calls {
		reached := 0
		// Each thread is counted by itself, so a number may be missed.
		for at, missed := 1, 0; missed < 3; at++ {
			o, err := t.once(command, call, fault, at)
			if err != nil {
				return fmt.Errorf("%s, %s at %s %d: %w", command, fault, call, at, err)
			}
			if !o.hit {
				missed++
				continue
			}
			missed = 0
			reached++
			switch {
			case o.mixed:
				mixed++
			case o.isNew:
				news++
			default:
				olds++
			}
			if o.code == 0 {
				silent++
			}
		}
		n += reached
		if reached > 0 {
			counts = append(counts, fmt.Sprintf("%s %d", call, reached))
		}
	}
	fmt.Printf("%s, %s: %d system calls (%s): %d times the old state, %d times the new, %d times a part of the new, completed by the next command",
		command, fault, n, strings.Join(counts, ", "), olds, news, mixed)
	if fault != "signal=KILL" {
		fmt.Printf("; %d times it did not matter", silent)
	}
	fmt.Println()
	if olds == 0 || news == 0 {
		return errors.New("the faults did not reach both sides")
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
	return errors.Join(os.RemoveAll(t.current.Studio), os.CopyFS(t.current.Studio, os.DirFS(t.original.Studio)))
}

// outcome is what came of a command with a fault.
type outcome struct {
	hit   bool // the fault was reached
	isNew bool // the new state is there
	mixed bool // a part of it is there
	code  int
}

// once runs a command with a fault, checks what is left, and runs the next one.
func (t *trial) once(command, call, fault string, at int) (o outcome, err error) {
	if err := t.fresh(); err != nil {
		return o, err
	}
	out, err := t.disturbed(&o, command, call, fault, at)
	if err != nil {
		return o, err
	}
	numbers, err := impression.List(t.current.Folder())
	if err != nil {
		return o, err
	}
	if err := t.state(&o, command, numbers); err != nil {
		return o, fmt.Errorf("%w\n%s", err, out)
	}
	if err := t.current.Whole(numbers); err != nil {
		return o, err
	}
	return o, t.next(numbers)
}

// disturbed runs the command under strace.
func (t *trial) disturbed(o *outcome, command, call, fault string, at int) (out []byte, err error) {
	inject := fmt.Sprintf("inject=%s:%s:when=%d", call, fault, at)
	cmd := exec.Command("strace", "-f", "-qq", "-o", t.log, "-e", "trace="+call, "-e", inject, t.program, command, "--workers", "1", t.recipe)
	cmd.Dir = t.current.Studio
	cmd.Env = append(os.Environ(), "GOMAXPROCS=1")
	out, err = cmd.CombinedOutput()
	if err != nil && !errors.As(err, new(*exec.ExitError)) {
		return out, err
	}
	o.code = cmd.ProcessState.ExitCode()
	log, err := os.ReadFile(t.log)
	if err != nil {
		return out, fmt.Errorf("%w\n%s", err, out)
	}
	o.hit = bytes.Contains(log, []byte("INJECTED")) || bytes.Contains(log, []byte("killed by SIGKILL"))
	return out, nil
}

// state compares what is there with the old and the new state.
func (t *trial) state(o *outcome, command string, numbers []int) error {
	files, err := t.current.Files()
	if err != nil {
		return err
	}
	_, decided, err := t.current.Unfinished()
	if err != nil {
		return err
	}
	switch {
	case command == "run" && maps.Equal(files, t.new):
		o.isNew = true
	case maps.Equal(files, t.old):
	case command != "run" || !decided:
		return errors.New("neither the old result nor the new one")
	default:
		o.mixed = true
		if name := results.Mixed(files, t.old, t.new); name != "" {
			return fmt.Errorf("%s is neither the old file nor the new one", name)
		}
	}
	if command == "sign" {
		o.isNew = len(numbers) == 2
	}
	switch {
	case len(numbers) < 1, command == "run" && len(numbers) != 1, len(numbers) > 2:
		return fmt.Errorf("impressions %v", numbers)
	case o.code == 0 && !o.isNew:
		return errors.New("it failed without a word")
	}
	return nil
}

// next wants the next commands to put everything right.
func (t *trial) next(numbers []int) error {
	if err := t.plain(t.current.Studio, "run", "sign"); err != nil {
		return fmt.Errorf("the next one: %w", err)
	}
	left, _, err := t.current.Unfinished()
	if err != nil || len(left) > 0 {
		return fmt.Errorf("the next one left %v: %w", left, err)
	}
	if now, err := t.current.Files(); err != nil || !maps.Equal(now, t.new) {
		return fmt.Errorf("the next one makes something else: %w", err)
	}
	after, err := impression.List(t.current.Folder())
	if err != nil || !slices.Equal(after[:len(after)-1], numbers) {
		return fmt.Errorf("impressions %v, then %v: %w", numbers, after, err)
	}
	return t.current.Whole(after)
}
