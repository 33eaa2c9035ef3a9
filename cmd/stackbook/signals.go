package main

import (
	"os"
	"os/signal"
	"syscall"
)

// interruption is closed by the first signal that ends a run. A second one ends
// the program as it stands.
func interruption() <-chan struct{} {
	interrupted, signals := make(chan struct{}), make(chan os.Signal, 1)
	signal.Notify(signals, heeded()...)
	go func() {
		<-signals
		signal.Stop(signals)
		close(interrupted)
	}()
	return interrupted
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
