package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// weight is what a run of the program cost.
type weight struct {
	peak      float64 // bytes, the greatest that the process had at any time
	processor time.Duration
}

// weighed runs the program and weighs it. A process begins with the peak of the one
// that starts it, and this one is large; so a copy of this one that has done nothing
// yet starts the program.
func weighed(dir, program string, args ...string) (weight, []byte, error) {
	self, err := os.Executable()
	if err != nil {
		return weight{}, nil, err
	}
	scale := filepath.Join(dir, "weight")
	said, err := exec.Command(self, append([]string{weighing, scale, program}, args...)...).CombinedOutput()
	if err != nil {
		return weight{}, said, err
	}
	text, err := os.ReadFile(scale)
	if err != nil {
		return weight{}, said, err
	}
	var w weight
	_, err = fmt.Sscan(string(text), &w.peak, &w.processor)
	return w, said, err
}

// weighing is the first argument of that copy.
const weighing = "-weighing"

// weigh runs the program of the arguments, and writes what it cost to the first.
func weigh(args []string) error {
	cmd := exec.Command(args[1], args[2:]...)
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		return err
	}
	peak := cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss * 1024
	took := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return os.WriteFile(args[0], fmt.Append(nil, peak, " ", int64(took)), 0o600)
}
