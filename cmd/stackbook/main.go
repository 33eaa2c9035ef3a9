// Stackbook keeps the build records of rotary engines.
package main

import (
	"fmt"
	"os"
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
	os.Exit(app.Run(os.Args[1:], app.Surroundings{
		Out: os.Stdout, Err: os.Stderr, In: os.Stdin, Env: os.Getenv, Dir: dir, Program: program(), Now: time.Now, Interrupted: interruption(),
	}))
}
