package act

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// Steps is told how far a longer piece of work has come, from several goroutines
// at once: what is being done, how much of it is, of how much.
type Steps func(what string, done, of int)

// of is the progress of one piece of work.
func (s Steps) of(what string) func(done, of int) {
	return func(done, of int) { s(what, done, of) }
}

// Crash is a panic in a job, with the stack of it, brought to who gave the job.
type Crash struct {
	Value any
	Stack []byte
}

func (c *Crash) String() string { return fmt.Sprint(c.Value) }

// onAllCores does n jobs, as many at once as there are cores, and gives the
// first error by their order. step is told after each.
func onAllCores(n int, step func(done, of int), do func(i int) error) error {
	errs := make([]error, n)
	var next, done atomic.Int64
	var all sync.WaitGroup
	var crash atomic.Pointer[Crash]
	for range cores(n) {
		all.Go(func() {
			defer func() {
				if v := recover(); v != nil {
					crash.CompareAndSwap(nil, &Crash{v, debug.Stack()})
				}
			}()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = do(i)
				step(int(done.Add(1)), n)
			}
		})
	}
	all.Wait()
	if c := crash.Load(); c != nil {
		panic(c)
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// cores is how many goroutines do n jobs.
func cores(n int) int { return min(runtime.GOMAXPROCS(0), n) }

// silently is the progress of what takes no time worth telling.
func silently(int, int) {}
