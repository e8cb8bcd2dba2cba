package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// How much memory may be unused before it is collected, in percent of what is
// used. The less, the more time collecting takes: it is Go's default halved, and
// less still once a rich drawing needs much, as little is collected there.
const (
	garbage     = 50
	garbageRich = 20
	rich        = 100 << 20 // bytes in use
)

// limitGarbage keeps unused memory small, unless the environment says otherwise.
func limitGarbage() {
	if os.Getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(garbage)
	afterCollection(func() {
		used := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
		metrics.Read(used)
		if used[0].Value.Uint64() > rich {
			debug.SetGCPercent(garbageRich)
		} else {
			debug.SetGCPercent(garbage)
		}
	})
}

// afterCollection calls do after each collection of garbage, for the rest of the
// process: an object that nothing uses is finalized then, and makes the next one.
func afterCollection(do func()) {
	type canary struct{ _ [16]byte }
	runtime.SetFinalizer(new(canary), func(*canary) {
		do()
		afterCollection(do)
	})
}
