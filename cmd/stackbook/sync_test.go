package main

import (
	"bytes"
	"encoding/pem"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cgi"
	"net/http/httptest"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// rounds is how often each bench commits and syncs in TestTwoBenches.
var rounds = flag.Int("rounds", 4, "how often each of two benches commits and syncs")

// Two benches work on one engine at once, over each way a book travels: a folder,
// git's own program behind an http and an https server, and sshd. Each writes its
// own lines of one session that both have, and changes of its own. In the end both
// hold the same, and every reading and change ever committed is in it.
func TestTwoBenches(t *testing.T) {
	t.Parallel()
	for name, serve := range map[string]func(t *testing.T, dir string) (address string, env []string){
		"folder": func(_ *testing.T, dir string) (string, []string) { return filepath.Join(dir, "between.git"), nil },
		"http": func(t *testing.T, dir string) (string, []string) {
			server := httptest.NewServer(gitOverHTTP(t, dir))
			t.Cleanup(server.Close)
			return server.URL + "/between.git", nil
		},
		"https": overHTTPS,
		"ssh":   overSSH,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			runHere(t, nil, dir, "git", "init", "-q", "--bare", "-b", "main", "between.git")
			runHere(t, nil, filepath.Join(dir, "between.git"), "git", "config", "http.receivepack", "true")
			address, env := serve(t, dir)
			twoBenches(t, dir, address, env)
		})
	}
}

// gitOverHTTP is git's own http back end.
func gitOverHTTP(t *testing.T, dir string) http.Handler {
	t.Helper()
	where, err := exec.Command("git", "--exec-path").Output()
	require.NoError(t, err)
	return &cgi.Handler{Path: filepath.Join(strings.TrimSpace(string(where)), "git-http-backend"),
		Env: []string{"GIT_PROJECT_ROOT=" + dir, "GIT_HTTP_EXPORT_ALL=1"}, Stderr: io.Discard}
}

// overHTTPS asks for a name and a password, which each bench has where git keeps
// them: in a credential helper's file.
func overHTTPS(t *testing.T, dir string) (address string, env []string) {
	books := gitOverHTTP(t, dir)
	server := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if name, password, ok := r.BasicAuth(); !ok || name != "bench" || password != "w0rd" {
			w.Header().Set("WWW-Authenticate", `Basic realm="books"`)
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		books.ServeHTTP(w, r)
	}))
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".gitconfig"), []byte("[credential]\n\thelper = store\n"), 0o666))
	known := strings.Replace(server.URL, "https://", "https://bench:w0rd@", 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".git-credentials"), []byte(known+"\n"), 0o600))
	t.Cleanup(server.Close)
	certificate := filepath.Join(dir, "known.pem")
	require.NoError(t, os.WriteFile(certificate, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: server.Certificate().Raw}), 0o666))
	return server.URL + "/between.git", []string{"GIT_SSL_CAINFO=" + certificate}
}

// overSSH starts sshd with keys of its own. Where no sshd is installed the test is
// passed over, but not where CI is set.
func overSSH(t *testing.T, dir string) (address string, env []string) {
	sshd, err := exec.LookPath("sshd")
	if err != nil {
		sshd = "/usr/sbin/sshd"
		_, err = os.Stat(sshd)
	}
	if err != nil && os.Getenv("CI") == "" {
		t.Skip("sshd is not installed here")
	}
	require.NoError(t, err)
	for _, key := range []string{"host", "person"} {
		runHere(t, nil, dir, "ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", key)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	port := listener.Addr().(*net.TCPAddr).Port
	require.NoError(t, listener.Close())
	config := fmt.Sprintf("Port %d\nListenAddress 127.0.0.1\nHostKey %s\nAuthorizedKeysFile %s\nPidFile none\nStrictModes no\nUsePAM no\nPermitRootLogin yes\nMaxStartups 100\n",
		port, filepath.Join(dir, "host"), filepath.Join(dir, "person.pub"))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sshd_config"), []byte(config), 0o666))
	if os.Getuid() == 0 {
		require.NoError(t, os.MkdirAll("/run/sshd", 0o755)) // sshd asks for it
	}
	var said bytes.Buffer
	server := exec.Command(sshd, "-D", "-e", "-f", filepath.Join(dir, "sshd_config"))
	server.Stderr = &said
	require.NoError(t, server.Start())
	t.Cleanup(func() {
		_ = server.Process.Kill()
		_ = server.Wait()
	})
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", port))
		if err == nil {
			c.Close()
		}
		return err == nil
	}, 20*time.Second, 20*time.Millisecond, "sshd does not listen")
	me, err := user.Current()
	require.NoError(t, err)
	return fmt.Sprintf("ssh://%s@127.0.0.1:%d%s/between.git", me.Username, port, dir),
		[]string{"GIT_SSH_COMMAND=ssh -F none -o StrictHostKeyChecking=no -o UserKnownHostsFile=/dev/null -o LogLevel=ERROR -i " + filepath.Join(dir, "person")}
}

// worker is one person at one copy of the book.
type worker struct {
	t        *testing.T
	by, dir  string
	env      []string
	rotors   [2]int
	readings map[string]string // what was committed last, by the line
	changes  []string
}

const (
	engineDir     = "engines/2026/SK-07/"
	sharedSession = engineDir + "measurements/2026-03-02-mock-up-KM.yaml" // both benches fill it
)

func twoBenches(t *testing.T, dir, address string, env []string) {
	a := &worker{t: t, by: "KM", dir: filepath.Join(dir, "a"), env: env, rotors: [2]int{1, 2}, readings: map[string]string{}}
	b := &worker{t: t, by: "JR", dir: filepath.Join(dir, "b"), env: env, rotors: [2]int{3, 4}, readings: map[string]string{}}
	a.run(dir, "stackbook", "begin", "a", "--shop", "Skarvik Rotary")
	a.run(a.dir, "stackbook", "enrol", "SK-07", "--rotors", "4", "--title", "four-rotor", "--group", "2026")
	require.NoError(t, os.MkdirAll(filepath.Join(a.dir, filepath.Dir(sharedSession)), 0o777))
	require.NoError(t, a.write(emptySession()))
	a.run(a.dir, "stackbook", "commit", "SK-07", "-m", "enrolled")
	a.run(a.dir, "git", "remote", "add", "origin", address)
	a.run(a.dir, "stackbook", "sync")
	b.run(dir, "git", "clone", "-q", address, "b")

	both := []*worker{a, b}
	done := make(chan error, len(both))
	for _, w := range both {
		go func() { done <- w.work(*rounds) }()
	}
	for range both {
		require.NoError(t, <-done)
	}
	for range 2 {
		for _, w := range both {
			w.run(w.dir, "stackbook", "sync")
		}
	}
	require.Equal(t, a.run(a.dir, "git", "rev-parse", "HEAD"), b.run(b.dir, "git", "rev-parse", "HEAD"))
	for _, w := range both {
		w.holds(a)
		w.holds(b)
		require.Empty(t, w.run(w.dir, "git", "status", "--porcelain"))
		w.run(w.dir, "git", "fsck", "--strict")
		require.NotContains(t, w.run(w.dir, "stackbook", "check", "SK-07"), "figures.yaml", "R7: figures are those of the merged records")
	}
	a.run(filepath.Join(dir, "between.git"), "git", "fsck", "--strict")
}

// corners is how many places a rotor's width is read at.
const corners = 3

// emptySession is one that both benches fill.
func emptySession() string {
	var b strings.Builder
	b.WriteString("format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2026-03-02\nby: KM\nreadings:\n  rotor_width:\n    unit: mm\n")
	for rotor := 1; rotor <= 4; rotor++ {
		for corner := 1; corner <= corners; corner++ {
			fmt.Fprintf(&b, "    rotor/%d/corner/%d:\n", rotor, corner)
		}
	}
	return b.String()
}

// work commits and syncs, a reading at a time, and now and then a change.
func (w *worker) work(n int) error {
	for i := range n {
		line := fmt.Sprintf("    rotor/%d/corner/%d:", w.rotors[i%2], 1+i/2%corners)
		value := fmt.Sprintf("77.%03d", 800+i%150)
		text, err := os.ReadFile(filepath.Join(w.dir, sharedSession))
		if err != nil {
			return err
		}
		before, after, found := strings.Cut(string(text), line)
		if !found {
			return fmt.Errorf("%s: no line %q in %s", w.by, line, text)
		}
		_, after, _ = strings.Cut(after, "\n")
		if err := w.write(before + line + " " + value + "\n" + after); err != nil {
			return err
		}
		w.readings[line] = value
		if out, err := w.try("stackbook", "commit", "SK-07", "-m", fmt.Sprintf("reading %d of %s", i, w.by)); err != nil {
			return fmt.Errorf("%s commits: %w: %s", w.by, err, out)
		}
		if i%3 == 0 {
			what := fmt.Sprintf("word %d of %s", i, w.by)
			if out, err := w.try("stackbook", "change", "SK-07", "--kind", "note", "--by", w.by, "--what", what, "--commit"); err != nil {
				return fmt.Errorf("%s writes: %w: %s", w.by, err, out)
			}
			w.changes = append(w.changes, what)
		}
		if out, err := w.try("stackbook", "sync"); err != nil {
			return fmt.Errorf("%s syncs: %w: %s", w.by, err, out)
		}
	}
	return nil
}

// holds makes sure that all a bench ever committed is here.
func (w *worker) holds(of *worker) {
	text, err := os.ReadFile(filepath.Join(w.dir, sharedSession))
	require.NoError(w.t, err)
	for line, value := range of.readings {
		require.Contains(w.t, string(text), line+" "+value+"\n", "%s: a reading of %s is lost", w.by, of.by)
	}
	files, err := filepath.Glob(filepath.Join(w.dir, engineDir, "changes", "*.yaml"))
	require.NoError(w.t, err)
	var changes strings.Builder
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(w.t, err)
		changes.Write(text)
	}
	for _, what := range of.changes {
		require.Contains(w.t, changes.String(), "what: "+what+"\n", "%s: a change of %s is lost", w.by, of.by)
	}
}

func (w *worker) write(text string) error {
	return os.WriteFile(filepath.Join(w.dir, sharedSession), []byte(text), 0o666)
}

func (w *worker) try(program string, args ...string) (string, error) {
	cmd := exec.Command(program, args...)
	cmd.Dir, cmd.Env = w.dir, append(os.Environ(), w.environment()...)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

func (w *worker) environment() []string {
	mail := strings.ToLower(w.by) + "@skarvik.example"
	return append([]string{"HOME=" + filepath.Dir(w.dir), "GIT_CONFIG_NOSYSTEM=1",
		"GIT_AUTHOR_NAME=" + w.by, "GIT_AUTHOR_EMAIL=" + mail, "GIT_COMMITTER_NAME=" + w.by, "GIT_COMMITTER_EMAIL=" + mail}, w.env...)
}

func (w *worker) run(dir, program string, args ...string) string {
	return runHere(w.t, w.environment(), dir, program, args...)
}

// runHere runs a program that must succeed, and gives what it prints.
func runHere(t *testing.T, env []string, dir, program string, args ...string) string {
	t.Helper()
	cmd := exec.Command(program, args...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), env...)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s %s: %s", program, strings.Join(args, " "), out)
	return string(out)
}
