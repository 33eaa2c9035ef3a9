// Stackbook keeps the build records of rotary engines.
package main

import (
	"fmt"
	"os"
	"os/signal"
	"time"

	"stackbook/cmd/internal/app"
)

func main() {
	dir, err := os.Getwd()
	if err != nil {
		fmt.Fprintln(os.Stderr, "stackbook:", err)
		os.Exit(3)
	}
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, os.Interrupt)
	go func() {
		<-interrupted
		os.Exit(130) // whatever was half done in a book is as if never begun
	}()
	os.Exit(app.Run(os.Args[1:], app.Surroundings{
		Out: os.Stdout, Err: os.Stderr, In: os.Stdin, Env: os.Getenv, Dir: dir, Now: time.Now,
	}))
}
