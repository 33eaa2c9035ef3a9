package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"stackbook/cmd/internal/app"
)

// TestMain lets the scripts run the program as a program, with a clock that
// stands still, and other tests as it is.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"stackbook": func() {
			dir, err := os.Getwd()
			if err != nil {
				panic(err)
			}
			os.Exit(app.Run(os.Args[1:], app.Surroundings{
				Out: os.Stdout, Err: os.Stderr, In: os.Stdin, Env: os.Getenv, Dir: dir, Program: program(), Now: scriptNow,
			}))
		},
		"interruptible": main,
	})
}

// scriptNow is the clock of the scripts: what they print never changes.
func scriptNow() time.Time {
	return time.Date(2026, 3, 2, 10, 0, 0, 0, time.FixedZone("", 3600))
}

// TestScripts runs the program with every script of testdata: each command,
// its success and its mistakes, and what git says of it afterwards.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			home := filepath.Join(e.WorkDir, "home")
			if err := os.MkdirAll(home, 0o777); err != nil {
				return err
			}
			config := "[user]\n\tname = KM\n\temail = km@skarvik.example\n[init]\n\tdefaultBranch = main\n"
			if err := os.WriteFile(filepath.Join(home, ".gitconfig"), []byte(config), 0o666); err != nil {
				return err
			}
			e.Setenv("HOME", home)
			e.Setenv("GIT_CONFIG_NOSYSTEM", "1")
			e.Setenv("COLUMNS", "200")
			e.Values[notedKey{}] = map[string]map[string]string{}
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"edit":      edit,
			"hashes":    hashes,
			"json":      jsonValue,
			"picture":   picture,
			"remember":  remember,
			"status":    status,
			"unchanged": unchanged,
			"undeliver": undeliver,
		},
	})
}

// edit replaces one text in a file, the way a person's editor would, and fails
// unless it stands there once: edit FILE OLD NEW. \n and \r are line ends, \e is
// escape and \ufeff a byte order mark.
func edit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: edit FILE OLD NEW")
	}
	unescape := strings.NewReplacer(`\n`, "\n", `\r`, "\r", `\t`, "\t", `\e`, "\x1b", `\ufeff`, "\ufeff").Replace
	file := ts.MkAbs(args[0])
	text, err := os.ReadFile(file)
	ts.Check(err)
	old := unescape(args[1])
	if n := strings.Count(string(text), old); n != 1 {
		ts.Fatalf("%q stands %d times in %s", old, n, args[0])
	}
	ts.Check(os.WriteFile(file, []byte(strings.Replace(string(text), old, unescape(args[2]), 1)), 0o666))
}

// status runs the program and wants a certain exit status: status 2 stackbook
// figures SK-99.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND ...")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		got = strings.TrimPrefix(err.Error(), "exit status ")
	}
	if got != args[0] {
		ts.Fatalf("exit status %s, want %s", got, args[0])
	}
}
