package app

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/record/book/passing"
)

// putPages puts pages into a folder, as one run does.
func putPages(t *testing.T, dir string, pages map[string]string) (setDown, error) {
	t.Helper()
	f, err := openSite(dir, passing.New())
	if err != nil {
		return setDown{}, err
	}
	for name, text := range pages {
		if err := f.put(name, []byte(text)); err != nil {
			require.NoError(t, f.discard())
			return setDown{}, err
		}
	}
	return f.finish()
}

func filesIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
		require.NoError(t, err)
		if !d.IsDir() {
			rel, err := filepath.Rel(dir, p)
			require.NoError(t, err)
			data, err := os.ReadFile(p)
			require.NoError(t, err)
			files[filepath.ToSlash(rel)] = string(data)
		}
		return nil
	}))
	return files
}

// A page that is the same is not touched; one of a thing that is gone goes, with
// its folder; and the list is one that another program checks.
func TestSiteFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "pages")
	p, err := putPages(t, dir, map[string]string{"index.html": "one", "engines/SK-01/index.html": "two", "engines/SK-02/index.html": "three"})
	require.NoError(t, err)
	assert.Equal(t, setDown{pages: 3, written: 3}, p)
	long := time.Date(2020, 1, 2, 3, 4, 5, 0, time.UTC)
	for name := range filesIn(t, dir) {
		require.NoError(t, os.Chtimes(filepath.Join(dir, name), long, long))
	}

	p, err = putPages(t, dir, map[string]string{"index.html": "one", "engines/SK-01/index.html": "two, altered"})
	require.NoError(t, err)
	assert.Equal(t, setDown{pages: 2, written: 1, removed: 1}, p)
	files := filesIn(t, dir)
	list := files[siteListed]
	delete(files, siteListed)
	assert.Equal(t, map[string]string{"index.html": "one", "engines/SK-01/index.html": "two, altered"}, files)
	assert.NoDirExists(t, filepath.Join(dir, "engines", "SK-02"))
	for name, stays := range map[string]bool{"index.html": true, "engines/SK-01/index.html": false} {
		info, err := os.Stat(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Equal(t, stays, info.ModTime().Equal(long), name)
	}
	if program, err := exec.LookPath("sha256sum"); err == nil {
		cmd := exec.Command(program, "--check", "--strict", siteListed)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
	}

	p, err = putPages(t, dir, map[string]string{"index.html": "one", "engines/SK-01/index.html": "two, altered"})
	require.NoError(t, err)
	assert.Equal(t, setDown{pages: 2}, p)
	assert.Equal(t, list, filesIn(t, dir)[siteListed])
}

// What no run wrote is never replaced or removed.
func TestSiteFolderLeavesWhatIsNotItsOwn(t *testing.T) {
	refused := func(dir, message string) {
		t.Helper()
		before := filesIn(t, dir)
		_, err := putPages(t, dir, map[string]string{"index.html": "new", "used/R-1.html": "new"})
		var use *act.UsageError
		require.ErrorAs(t, err, &use)
		assert.Contains(t, use.Message, message)
		assert.NotEmpty(t, use.Mend)
		assert.Equal(t, before, filesIn(t, dir))
		assert.NoDirExists(t, filepath.Join(dir, sitePassing))
	}
	write := func(dir, name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	dir := t.TempDir()
	write(dir, "mine.txt", "x")
	refused(dir, "holds mine.txt, and no list of pages")

	dir = t.TempDir()
	for i, line := range []string{"nonsense", "abc  index.html", fmt.Sprintf("%064d  ../index.html", 0), fmt.Sprintf("%064d  /etc/passwd", 0)} {
		write(dir, siteListed, fmt.Sprintf("%064d  index.html\n%s\n", i, line))
		refused(dir, siteListed+":2 is no line of a list of pages")
	}

	dir = t.TempDir()
	_, err := putPages(t, dir, map[string]string{"index.html": "one", "engines/SK-01/index.html": "two"})
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "used"), 0o777))
	write(dir, "used/R-1.html", "mine")
	refused(dir, "R-1.html is there, and stackbook did not write it")
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "used")))
	outside := t.TempDir()
	write(outside, "R-1.html", "mine")
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, "used")))
	_, err = putPages(t, dir, map[string]string{"index.html": "one", "used/R-1.html": "new"})
	require.Error(t, err, "a link out of the folder is not followed")
	assert.Equal(t, map[string]string{"R-1.html": "mine"}, filesIn(t, outside))
	require.NoError(t, os.Remove(filepath.Join(dir, "used")))

	// A page of what is gone, altered by hand, stays; so does a file beside it.
	write(dir, "engines/SK-01/index.html", "altered by hand")
	write(dir, "note.txt", "mine")
	p, err := putPages(t, dir, map[string]string{"index.html": "one"})
	require.NoError(t, err)
	assert.Equal(t, []string{"engines/SK-01/index.html"}, p.left)
	files := filesIn(t, dir)
	assert.Equal(t, "altered by hand", files["engines/SK-01/index.html"])
	assert.Equal(t, "mine", files["note.txt"])
}

// A run that is broken off leaves every page as it was, and nothing beside them.
func TestSiteFolderBrokenOff(t *testing.T) {
	dir := t.TempDir()
	_, err := putPages(t, dir, map[string]string{"index.html": "one"})
	require.NoError(t, err)
	before := filesIn(t, dir)
	count := passing.New()
	f, err := openSite(dir, count)
	require.NoError(t, err)
	require.NoError(t, f.put("index.html", []byte("two")))
	require.NoError(t, f.put("used/R-1.html", []byte("three")))
	_, err = openSite(dir, passing.New())
	require.ErrorContains(t, err, "another run is writing")
	require.DirExists(t, filepath.Join(dir, sitePassing))
	count.Clear()
	assert.Equal(t, before, filesIn(t, dir))
	assert.NoDirExists(t, filepath.Join(dir, sitePassing))
}

// What a killed run left is taken away by the next; what else lies there is not.
func TestSiteFolderAfterAKill(t *testing.T) {
	dir := t.TempDir()
	kill := func() {
		f, err := openSite(dir, passing.New())
		require.NoError(t, err)
		if passing.Hold(f.held) != passing.Held {
			t.Skip("this system has no locks that end with a process")
		}
		require.NoError(t, f.put("index.html", []byte("half a run")))
		file, err := f.scratch(act.ScratchNames[0])
		require.NoError(t, err)
		require.NoError(t, file.Close())
		require.NoError(t, f.writeList(f.now)) // as far as a kill in the midst of putting pages in place
		require.NoError(t, f.root.WriteFile(sitePassing+"/"+listWaits, nil, 0o666))
		require.NoError(t, f.close()) // all that the system does when a process is gone
	}
	kill()
	kill()
	_, err := putPages(t, dir, map[string]string{"index.html": "one"})
	require.NoError(t, err)
	require.NoDirExists(t, filepath.Join(dir, sitePassing))
	require.Equal(t, "one", filesIn(t, dir)["index.html"])

	kill()
	mine := filepath.Join(dir, sitePassing, "mine.txt")
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o666))
	before := filesIn(t, dir)
	var use *act.UsageError
	_, err = putPages(t, dir, map[string]string{"index.html": "two"})
	require.ErrorAs(t, err, &use)
	require.Contains(t, use.Message, mine+" is there, and stackbook did not write it")
	require.Equal(t, before, filesIn(t, dir))
}
