package main

import (
	"os"
	"os/exec"
	"path/filepath"
)

// program gives the path of this program as it was called, links and all: a link
// stays where it is when the program behind it is replaced by a newer one. It is
// empty where nobody can tell.
func program() string {
	found, err := exec.LookPath(os.Args[0])
	if err != nil {
		found, err = os.Executable()
	}
	if err != nil {
		return ""
	}
	path, err := filepath.Abs(found)
	if err != nil {
		return ""
	}
	return path
}
