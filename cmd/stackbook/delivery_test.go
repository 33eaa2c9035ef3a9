package main

import (
	"github.com/rogpeppe/go-internal/testscript"
)

// undeliver takes a demo book back to the day before build 2 was delivered:
// undeliver book. From a delivery on, a build takes next to nothing more (R18).
func undeliver(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: undeliver BOOK")
	}
	dir := ts.MkAbs(args[0])
	ts.Check(ts.Exec("git", "-C", dir, "tag", "-d", "build/SK-01/2"))
	ts.Check(ts.Exec("git", "-C", dir, "reset", "-q", "--hard", "HEAD~1"))
}
