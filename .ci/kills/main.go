// Kills runs and signs a job over and over and kills the process at random
// moments (SIGKILL). Each time the old result or the new one must be there, or
// each file as in one of them if a new result is decided, which the next command
// then completes; and every impression must be whole.
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

	"mahlstick/.ci/results"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

func main() { results.Main(try) }

type trial struct {
	program string
	results.Job
	*rand.Rand
	recipes [2][]byte            // two recipes of one job
	gives   [2]map[string]string // the files of each
	typical time.Duration        // of a run
	count   struct{ kills, finished, old, fresh, mixed, leftovers, impressions int }
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
	t := &trial{program: program, Job: results.Job{Studio: dir, Name: "pond"}, Rand: rand.New(rand.NewPCG(seed, 0))}
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
	fmt.Printf("%d kills and %d that came too late: %d times the old result, %d times the new, %d times the new decided and completed by the next command; %d times something unfinished was left and removed\n",
		c.kills, c.finished, c.old, c.fresh, c.mixed, c.leftovers)
	fmt.Printf("%d impressions signed, none lost: %s\n", c.impressions, lines[len(lines)-1])
	if c.old == 0 || c.fresh == 0 || c.leftovers == 0 {
		return errors.New("the kills did not reach all of these")
	}
	return nil
}

func (t *trial) command(args ...string) *exec.Cmd {
	cmd := exec.Command(t.program, args...)
	cmd.Dir = t.Studio
	return cmd
}

func (t *trial) recipe() string { return filepath.Join(t.Studio, "pond", "pond.md") }

func (t *trial) prepare() error {
	if err := os.CopyFS(t.Studio, os.DirFS("testdata/studio")); err != nil {
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
		if t.gives[i], err = t.Files(); err != nil {
			return err
		}
	}
	if maps.Equal(t.gives[0], t.gives[1]) {
		return errors.New("the two recipes make the same files")
	}
	return nil
}

// kill starts a run or a signing, kills it, and checks what is left.
func (t *trial) kill(i int) error {
	before, err := t.Files()
	if err != nil {
		return err
	}
	current := 0
	if maps.Equal(before, t.gives[1]) {
		current = 1
	}
	signing := i%4 == 3
	wanted := 1 - current
	args := []string{"run", "pond/pond.md"}
	if signing {
		wanted, args[0] = current, "sign"
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
	if err := t.look(before, t.gives[wanted]); err != nil {
		return err
	}
	if err := t.impressions(signing); err != nil {
		return err
	}
	if i%5 != 0 {
		return nil
	}
	// The next command works and removes what is left.
	if out, err := t.command("run", "pond/pond.md").CombinedOutput(); err != nil {
		return fmt.Errorf("the next run: %w\n%s", err, out)
	}
	if left, _, err := t.Unfinished(); err != nil || len(left) > 0 {
		return fmt.Errorf("the next run left %v: %w", left, err)
	}
	if now, err := t.Files(); err != nil || !maps.Equal(now, t.gives[wanted]) {
		return fmt.Errorf("the next run makes something else: %w", err)
	}
	return t.impressions(false)
}

// look wants the files from before or the new ones. If a new result is decided
// and not yet in its place, even a command that only reads must complete it.
func (t *trial) look(before, fresh map[string]string) error {
	left, decided, err := t.Unfinished()
	if err != nil {
		return err
	}
	if len(left) > 0 {
		t.count.leftovers++
	}
	after, err := t.Files()
	if err != nil {
		return err
	}
	isOld, isNew := maps.Equal(after, before), maps.Equal(after, fresh)
	switch {
	case !decided && isOld:
		t.count.old++
	case !decided && isNew:
		t.count.fresh++
	case !decided:
		return fmt.Errorf("neither the old result nor the new one: %v", after)
	}
	if !decided {
		return nil
	}
	t.count.mixed++
	if name := results.Mixed(after, before, fresh); name != "" {
		return fmt.Errorf("%s is neither the old file nor the new one", name)
	}
	if out, err := t.command("repeat").CombinedOutput(); err != nil {
		return fmt.Errorf("repeat: %w\n%s", err, out)
	}
	if after, err = t.Files(); err != nil || !maps.Equal(after, fresh) {
		return fmt.Errorf("the next command did not complete the new result: %w", err)
	}
	return nil
}

// moments are what must exist before the time of a kill is chosen: nothing, the
// folder of a new result while it is written, or what exists when it is whole.
func (t *trial) moments(signing bool) []string {
	works := filepath.Join(t.Studio, "logbook", ".mahlstick")
	whole := filepath.Join(works, "pond.next")
	if signing {
		whole = filepath.Join(t.Folder(), record.Impressions, impression.Name(t.count.impressions+1))
	}
	return []string{"", filepath.Join(works, "pond.making"), whole}
}

// moment waits for the moment to kill. ended is true where the process ended
// before it. leftover is what an earlier kill left under the name.
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

// impressions wants every earlier impression to be there and whole, and at most
// one more.
func (t *trial) impressions(more bool) error {
	numbers, err := impression.List(t.Folder())
	if err != nil {
		return err
	}
	if len(numbers) != t.count.impressions && !(more && len(numbers) == t.count.impressions+1) {
		return fmt.Errorf("%d impressions where %d were", len(numbers), t.count.impressions)
	}
	t.count.impressions = len(numbers)
	return t.Whole(numbers)
}
