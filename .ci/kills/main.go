// Kills runs and signs a job over and over, kills the process at random
// moments (SIGKILL), and wants the old result or the new one each time, and
// every impression whole.
//
//	go run ./.ci/kills PROGRAM COUNT [SEED]
package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

func main() {
	if err := try(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

type trial struct {
	program, studio string
	*rand.Rand
	recipes [2][]byte            // two recipes of one job
	results [2]map[string]string // and what each gives
	typical time.Duration        // of a run
	count   struct{ kills, finished, old, fresh, leftovers, impressions int }
}

func try() error {
	if len(os.Args) < 3 {
		return errors.New("usage: kills PROGRAM COUNT [SEED]")
	}
	count, err := strconv.Atoi(os.Args[2])
	if err != nil {
		return err
	}
	seed := uint64(time.Now().UnixNano())
	if len(os.Args) > 3 {
		if seed, err = strconv.ParseUint(os.Args[3], 10, 64); err != nil {
			return err
		}
	}
	program, err := filepath.Abs(os.Args[1])
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "kills")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	t := &trial{program: program, studio: dir, Rand: rand.New(rand.NewPCG(seed, 0))}
	fmt.Printf("seed %d\n", seed)
	if err := t.prepare(); err != nil {
		return err
	}
	for i := range count {
		if err := t.kill(i); err != nil {
			return fmt.Errorf("trial %d: %w", i, err)
		}
	}
	out, err := t.command("repeat").CombinedOutput()
	if err != nil {
		return fmt.Errorf("repeat at the end: %w\n%s", err, out)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	c := t.count
	fmt.Printf("%d kills and %d that came too late: %d times the old result, %d times the new, %d times something half made was left and cleared away\n",
		c.kills, c.finished, c.old, c.fresh, c.leftovers)
	fmt.Printf("%d impressions signed, none lost: %s\n", c.impressions, lines[len(lines)-1])
	if c.old == 0 || c.fresh == 0 || c.leftovers == 0 {
		return errors.New("the kills did not reach all of these")
	}
	return nil
}

func (t *trial) command(args ...string) *exec.Cmd {
	cmd := exec.Command(t.program, args...)
	cmd.Dir = t.studio
	return cmd
}

func (t *trial) recipe() string { return filepath.Join(t.studio, "pond", "pond.md") }
func (t *trial) job() string    { return filepath.Join(t.studio, "logbook", "pond") }

func (t *trial) prepare() error {
	if err := os.CopyFS(t.studio, os.DirFS("testdata/studio")); err != nil {
		return err
	}
	text, err := os.ReadFile(t.recipe())
	if err != nil {
		return err
	}
	t.recipes = [2][]byte{bytes.Replace(text, []byte("0.8 * 750"), []byte("0.6 * 750"), 1), text}
	for i, r := range t.recipes {
		if err := os.WriteFile(t.recipe(), r, 0o644); err != nil {
			return err
		}
		start := time.Now()
		if out, err := t.command("run", "pond/pond.md").CombinedOutput(); err != nil {
			return fmt.Errorf("%w\n%s", err, out)
		}
		t.typical = max(t.typical, time.Since(start))
		if t.results[i], err = t.stands(); err != nil {
			return err
		}
	}
	if maps.Equal(t.results[0], t.results[1]) {
		return errors.New("the two recipes give the same")
	}
	return nil
}

// stands is what is in the job's folder, impressions left out.
func (t *trial) stands() (map[string]string, error) {
	files := map[string]string{}
	err := filepath.WalkDir(t.job(), func(name string, e fs.DirEntry, err error) error {
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
		files[name] = record.Hash(data)
		return err
	})
	return files, err
}

// kill starts a run or a signing, kills it, and looks at what is left.
func (t *trial) kill(i int) error {
	before, err := t.stands()
	if err != nil {
		return err
	}
	stands := 0
	if maps.Equal(before, t.results[1]) {
		stands = 1
	}
	signing := i%4 == 3
	wanted := 1 - stands
	args := []string{"run", "pond/pond.md"}
	if signing {
		wanted, args[0] = stands, "sign"
	}
	if err := os.WriteFile(t.recipe(), t.recipes[wanted], 0o644); err != nil {
		return err
	}
	moment := t.moments(signing)[t.IntN(3)]
	leftover, _ := os.Lstat(moment)
	cmd := t.command(args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	ended, err := t.moment(done, moment, leftover)
	if err != nil {
		return err
	}
	if ended {
		t.count.finished++
	} else {
		if err := cmd.Process.Kill(); err == nil {
			t.count.kills++
		}
		<-done
	}
	after, err := t.stands()
	if err != nil {
		return err
	}
	switch {
	case maps.Equal(after, before):
		t.count.old++
	case maps.Equal(after, t.results[wanted]):
		t.count.fresh++
	default:
		return fmt.Errorf("neither the old result nor the new one: %v", after)
	}
	left, err := filepath.Glob(filepath.Join(t.studio, "logbook", ".mahlstick", "pond.[mno]*"))
	if err != nil {
		return err
	}
	if len(left) > 0 {
		t.count.leftovers++
	}
	if err := t.impressions(signing); err != nil {
		return err
	}
	if i%5 != 0 {
		return nil
	}
	// The next command goes through and clears away what is left.
	if out, err := t.command("run", "pond/pond.md").CombinedOutput(); err != nil {
		return fmt.Errorf("the next run: %w\n%s", err, out)
	}
	if left, _ := filepath.Glob(filepath.Join(t.studio, "logbook", ".mahlstick", "pond.[mno]*")); len(left) > 0 {
		return fmt.Errorf("the next run left %v", left)
	}
	if now, err := t.stands(); err != nil || !maps.Equal(now, t.results[wanted]) {
		return fmt.Errorf("the next run gives something else: %v", err)
	}
	return t.impressions(false)
}

// moments are what is waited for before the time of a kill is drawn: nothing,
// the folder that a new result grows in, and what stands when it is whole.
func (t *trial) moments(signing bool) []string {
	works := filepath.Join(t.studio, "logbook", ".mahlstick")
	whole := filepath.Join(works, "pond.new")
	if signing {
		whole = filepath.Join(t.job(), record.Impressions, impression.Name(t.count.impressions+1))
	}
	return []string{"", filepath.Join(works, "pond.making"), whole}
}

// moment waits for the moment to kill. ended says that the process came to
// its end before. leftover is what an earlier kill left under the name.
func (t *trial) moment(done chan error, name string, leftover fs.FileInfo) (ended bool, err error) {
	for name != "" {
		select {
		case err := <-done:
			return true, err
		default:
		}
		info, err := os.Lstat(name)
		if err == nil && (leftover == nil || !info.ModTime().Equal(leftover.ModTime())) {
			break
		}
		time.Sleep(20 * time.Microsecond)
	}
	wait := time.Duration(t.Float64() * 1.2 * float64(t.typical))
	if name != "" {
		wait /= 4
	}
	select {
	case err := <-done:
		return true, err
	case <-time.After(wait):
		return false, nil
	}
}

// impressions wants every impression that there was to be there and whole,
// and at most one more.
func (t *trial) impressions(more bool) error {
	numbers, err := impression.List(t.job())
	if err != nil {
		return err
	}
	if len(numbers) != t.count.impressions && !(more && len(numbers) == t.count.impressions+1) {
		return fmt.Errorf("%d impressions where %d were", len(numbers), t.count.impressions)
	}
	t.count.impressions = len(numbers)
	for _, n := range numbers {
		frozen, err := impression.Load(filepath.Join(t.job(), record.Impressions, impression.Name(n)))
		if err != nil {
			return err
		}
		if !frozen.Whole() {
			return fmt.Errorf("impression %d: %v", n, frozen.Changed)
		}
	}
	return nil
}
