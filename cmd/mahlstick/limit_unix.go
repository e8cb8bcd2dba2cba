//go:build unix

package main

import (
	"os/signal"
	"syscall"
)

// A write beyond the limit of a file's size is an error like that of a full
// disk, to be told and cleaned up after, no reason to die.
func init() { signal.Ignore(syscall.SIGXFSZ) }
