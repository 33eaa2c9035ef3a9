//go:build unix

package book

import (
	"fmt"
	"os/signal"
	"strconv"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func init() {
	limitFiles = func(bytes string) {
		n, err := strconv.ParseUint(bytes, 10, 64)
		if err != nil {
			panic(err)
		}
		signal.Ignore(syscall.SIGXFSZ) // a write beyond the limit fails, as on a full disk
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n}); err != nil {
			panic(err)
		}
	}
}

// When the disk is full just as the index is written, the book is as before:
// the new file is gone again, the replaced one is back, and nothing lies about.
func TestDiskFull(t *testing.T) {
	t.Parallel()
	for name, arrange := range map[string]func(f *fixture){
		"new file": func(f *fixture) {},
		"replaced": func(f *fixture) {
			f.write("engines/2024/SK-30/changes/0.yaml", "as it was\n")
			f.git("add", "engines")
			f.git("commit", "-qm", "as it was")
			f.write("engines/2024/SK-30/changes/0.yaml", "edited by hand\n")
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			for i := range 60 { // an index of some 16 kB
				f.write(fmt.Sprintf("parts/%0180d.yaml", i), "lot: L-2304\n")
			}
			f.git("add", ".")
			f.git("commit", "-qm", "many parts")
			arrange(f)
			before, files := f.git("rev-parse", "HEAD")+f.status(), f.files()
			cmd := f.start("SK-30 1")
			cmd.Env = append(cmd.Env, "BOOK_TEST_LIMIT=12000")
			out, err := cmd.CombinedOutput()
			require.Error(t, err)
			require.Contains(t, string(out), ": file too large")
			assert.Equal(t, before, f.git("rev-parse", "HEAD")+f.status())
			assert.Equal(t, files, f.files())
			if name == "replaced" {
				assert.Equal(t, "edited by hand\n", f.read("engines/2024/SK-30/changes/0.yaml"))
			}
			f.sound()

			cmd = f.start("SK-30 1")
			cmd.Env = append(cmd.Env, "BOOK_TEST_LIMIT="+strconv.Itoa(1<<20))
			out, err = cmd.CombinedOutput()
			require.NoError(t, err, string(out))
			assert.Empty(t, f.status())
			f.sound()
		})
	}
}
