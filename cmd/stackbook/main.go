// Stackbook keeps the build records of rotary engines.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"stackbook/cmd/internal/app"
)

func main() {
	spareCollector()
	dir, err := os.Getwd()
	if err != nil {
		fmt.Fprintln(os.Stderr, "stackbook:", err)
		os.Exit(3)
	}
	interrupted, stop := signal.NotifyContext(context.Background(), heeded()...)
	context.AfterFunc(interrupted, stop) // a second signal ends the program as it stands
	os.Exit(app.Run(os.Args[1:], app.Surroundings{
		Out: os.Stdout, Err: os.Stderr, In: os.Stdin, Env: os.Getenv, Dir: dir, Program: program(), Now: time.Now, Interrupted: interrupted.Done(),
	}))
}

// heeded are the signals that end a run. A hangup that whoever started the
// program had it ignore, as nohup does, stays ignored, and so does Ctrl-C.
func heeded() []os.Signal {
	signals := []os.Signal{syscall.SIGTERM}
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGHUP} {
		if !signal.Ignored(s) {
			signals = append(signals, s)
		}
	}
	return signals
}
