package main

import (
	"os"
	"runtime"
	"runtime/debug"
)

// firstCollection is how large the heap may grow, in bytes, before unused memory
// is first looked for.
const firstCollection = 20 << 20

// spareCollector puts off the search for unused memory until there is some worth
// finding: most runs are over before, and a third of their work would be the
// search. From the first time on it goes its usual way, and memory stays bound to
// what is in use. Whoever sets GOGC decides it themselves.
func spareCollector() {
	if os.Getenv("GOGC") != "" {
		return
	}
	const usual = 100          // per cent, and of a heap of
	const least = 4 << 20      // bytes at the least (package runtime, GOGC)
	mark := new([1 << 10]byte) // found unused by the first search
	const spare = firstCollection / least * usual
	runtime.SetFinalizer(mark, func(*[1 << 10]byte) {
		if was := debug.SetGCPercent(usual); was != spare {
			debug.SetGCPercent(was) // a command has its own measure by now
		}
	})
	debug.SetGCPercent(spare)
}
