// Repeats signs the demo many times and repeats the impressions with the real
// program, on one core and on two. It prints how long that takes, how much
// faster two cores are than one, and the most memory used; it fails where the
// memory grows with the number of impressions.
//
//	go run ./.ci/repeats PROGRAM [IMPRESSIONS]
package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"

	"mahlstick/.ci/results"
	"mahlstick/notebooks"
	"mahlstick/runner/impression"
)

func main() { results.Main(try) }

func try() error {
	if len(os.Args) < 2 {
		return errors.New("usage: repeats PROGRAM [IMPRESSIONS]")
	}
	program, err := filepath.Abs(os.Args[1])
	if err != nil {
		return err
	}
	count := 100
	if len(os.Args) > 2 {
		if count, err = strconv.Atoi(os.Args[2]); err != nil {
			return err
		}
	}
	studio, err := os.MkdirTemp("", "repeats")
	if err != nil {
		return err
	}
	defer os.RemoveAll(studio)
	if err := os.CopyFS(studio, notebooks.Files); err != nil {
		return err
	}
	for i := range count + 1 {
		args := []string{"sign", "heron/heron.md"}
		if i == 0 {
			args[0] = "run"
		}
		cmd := exec.Command(program, args...)
		cmd.Dir = studio
		if out, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("%w\n%s", err, out)
		}
	}
	var wall [3]time.Duration
	for workers := 1; workers <= 2; workers++ {
		var peak [2]int64
		for i, n := range []int{min(10, count), count} {
			args := []string{"repeat", "--workers", strconv.Itoa(workers)}
			for k := range n {
				args = append(args, "heron/"+impression.Name(k+1))
			}
			cmd := exec.Command(program, args...)
			cmd.Dir = studio
			start := time.Now()
			out, err := cmd.Output()
			wall[workers] = time.Since(start)
			if err != nil || !strings.HasSuffix(string(out), fmt.Sprintf(": %d exact\n", n)) {
				return fmt.Errorf("%w\n%s", err, out)
			}
			peak[i] = cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
			fmt.Printf("%d workers, %3d impressions: %6.1f s, %6.1f s of processor time, at most %d MB of memory\n", workers, n,
				wall[workers].Seconds(), (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), peak[i]>>10)
		}
		if peak[1] > peak[0]*3/2 {
			return fmt.Errorf("%d workers: the memory grows with the number of impressions", workers)
		}
	}
	fmt.Printf("two cores are %.2f times as fast as one\n", wall[1].Seconds()/wall[2].Seconds())
	return nil
}
