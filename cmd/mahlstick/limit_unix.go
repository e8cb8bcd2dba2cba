//go:build unix

package main

import (
	"os/signal"
	"syscall"
)

// A write beyond the limit of a file's size must be an error, like that of a full
// disk, and not end the program.
func init() { signal.Ignore(syscall.SIGXFSZ) }
