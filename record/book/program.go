package book

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"syscall"
	"time"

	"stackbook/record/book/objects"
)

// Git runs the git program in the book's folder on the book's own repository
// and gives what it prints. The error holds what it said on its error output;
// a missing program is exec.ErrNotFound. It inherits the process's
// environment, but not a repository or index named there.
func (b *Book) Git(args ...string) (string, error) {
	return b.runGit(context.Background(), nil, "", args...)
}

// gitPatience is how long git may take to end once it is told to, and how long
// a program that it has left running may hold on to its output.
const gitPatience = 5 * time.Second

// runGit is Git with further variables (KEY=VALUE) and text for its input.
// When ctx is done, git is told to end.
func (b *Book) runGit(ctx context.Context, env []string, input string, args ...string) (string, error) {
	cmd := exec.CommandContext(ctx, "git", args...)
	cmd.Cancel = func() error { return cmd.Process.Signal(syscall.SIGTERM) }
	cmd.WaitDelay = gitPatience
	if cmd.Err != nil {
		return "", fmt.Errorf("the git program is needed for this and was not found; install git: %w", exec.ErrNotFound)
	}
	cmd.Dir = b.root
	for _, v := range cmd.Environ() {
		if !namesRepository(v) {
			cmd.Env = append(cmd.Env, v)
		}
	}
	cmd.Env = append(cmd.Env, "GIT_LITERAL_PATHSPECS=1")
	cmd.Env = append(cmd.Env, env...)
	cmd.Stdin = strings.NewReader(input)
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	err := cmd.Run()
	if errors.Is(err, exec.ErrWaitDelay) {
		err = nil // git itself is done, and all is well
	}
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		return out.String(), fmt.Errorf("git %s: %s: %w", subcommand(args), oneLine(said.String()), err)
	}
	return out.String(), err
}

// subcommand gives the word after git's own options.
func subcommand(args []string) string {
	for len(args) > 2 && (args[0] == "-c" || args[0] == "-C") {
		args = args[2:]
	}
	return args[0]
}

// fetchObject lets git bring in an object that a partial clone (git clone
// --filter) has left out: git does so by itself when it is asked for one.
func (b *Book) fetchObject(id objects.ID) error {
	_, err := b.Git("cat-file", "-e", string(id))
	return err
}

// namesRepository says whether a variable (KEY=VALUE) would lead git to
// another repository, index or object store than the book's, as those that a
// hook is run with do.
func namesRepository(variable string) bool {
	key, _, _ := strings.Cut(variable, "=")
	switch key {
	case "GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_COMMON_DIR", "GIT_PREFIX", "GIT_NAMESPACE",
		"GIT_OBJECT_DIRECTORY", "GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_QUARANTINE_PATH":
		return true
	}
	return false
}

// oneLine joins what a program said into one line for an error.
func oneLine(text string) string {
	var lines []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "; ")
}
