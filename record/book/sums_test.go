package book

import (
	"bytes"
	"crypto/sha1"
	"encoding/binary"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// sumsOf opens the book anew and names the contents of its folder.
func (f *fixture) sumsOf() (*Book, Sums) {
	f.t.Helper()
	b, err := Open(f.root, WithEnv(os.Getenv))
	require.NoError(f.t, err)
	f.t.Cleanup(func() { _ = b.Close() })
	sums, err := SumsOf(b.Folder())
	require.NoError(f.t, err)
	return b, sums
}

const sumFolder = "engines/2023/SK-07"

// staleIndex has git's index say that a file, as it lies in the folder now, is
// what was staged before: its stat values are put into the entry. The index itself
// is as old as is asked.
func (f *fixture) staleIndex(name string, when time.Time) {
	f.t.Helper()
	file := f.path(".git/index")
	raw, err := os.ReadFile(file)
	require.NoError(f.t, err)
	at := bytes.Index(raw, []byte(name+"\x00"))
	require.Positive(f.t, at)
	info, err := os.Lstat(f.path(name))
	require.NoError(f.t, err)
	s, entry := statOf(info), raw[at-62:]
	for i, n := range []uint32{s.CtimeSec, s.CtimeNsec, s.MtimeSec, s.MtimeNsec, s.Dev, s.Ino} {
		binary.BigEndian.PutUint32(entry[4*i:], n)
	}
	for i, n := range []uint32{s.UID, s.GID, s.Size} {
		binary.BigEndian.PutUint32(entry[28+4*i:], n)
	}
	body := raw[:len(raw)-sha1.Size]
	sum := sha1.Sum(body)
	require.NoError(f.t, os.WriteFile(file, append(body, sum[:]...), 0o644))
	require.NoError(f.t, os.Chtimes(file, when, when))
}

// Where nothing was altered, a folder is named as git names it, in the folder and
// in the commit; files that git holds otherwise are named by what lies there.
func TestSumsAreGitsNames(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("parts/L-2304.yaml", "lot: L-2304\n")
	f.write(sumFolder+"/changes/a.yaml", "kind: note\n")
	require.NoError(t, os.Chmod(f.path(sumFolder+"/spec.yaml"), 0o755))
	f.git("add", "-A")
	f.git("commit", "-qm", "more")
	for _, config := range []string{"", "core.autocrlf"} {
		if config != "" {
			f.git("config", config, "true")
		}
		b, folder := f.sumsOf()
		head, _, err := b.Head()
		require.NoError(t, err)
		past, err := SumsOf(b.At(head))
		require.NoError(t, err)
		for _, sums := range []Sums{folder, past} {
			require.Equal(t, f.git("rev-parse", "HEAD:"+sumFolder), sums.Folder(sumFolder))
			require.Empty(t, sums.Folder("engines/2023/SK-99"))
			files, all, ok := sums.Parts()
			require.True(t, ok)
			require.Equal(t, f.git("rev-parse", "HEAD:parts"), all)
			require.Equal(t, map[string]string{"L-2304.yaml": f.git("rev-parse", "HEAD:parts/L-2304.yaml")}, files)
		}
	}
	f.git("rm", "-rqf", "parts")
	_, sums := f.sumsOf()
	_, all, ok := sums.Parts()
	require.True(t, ok)
	require.Equal(t, "none", all)
}

// git's index is believed of a file that it was older than when it was written,
// and of no other (R9: as git itself takes it).
func TestSumsTrustNoRacyEntry(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	want := f.git("rev-parse", "HEAD:"+sumFolder)
	old := time.Date(2024, 3, 2, 9, 30, 0, 0, time.UTC)
	name := sumFolder + "/spec.yaml"
	f.write(name, "engine: SK-70\n") // as long as before
	require.NoError(t, os.Chtimes(f.path(name), old, old))
	_, sums := f.sumsOf()
	real := sums.Folder(sumFolder)
	require.NotEqual(t, want, real)
	for after, believed := range map[time.Duration]bool{-time.Second: false, 0: false, time.Second / 2: false, time.Second: true, time.Hour: true} {
		f.staleIndex(name, old.Add(after))
		_, sums := f.sumsOf()
		if believed {
			require.Equal(t, want, sums.Folder(sumFolder), "the index written %s later is believed", after)
		} else {
			require.Equal(t, real, sums.Folder(sumFolder), "the index written %s later proves nothing", after)
		}
	}
	f.staleIndex(name, old.Add(time.Hour)) // which is believed
	for _, attributes := range []string{".gitattributes", "engines/.gitattributes", "engines/2023/.gitattributes", sumFolder + "/.gitattributes", ".git/info/attributes"} {
		f.write(attributes, "*.yaml text\n")
		_, sums := f.sumsOf()
		require.NotEqual(t, want, sums.Folder(sumFolder), attributes)
		require.NoError(t, os.Remove(f.path(attributes)))
	}
	_, sums = f.sumsOf()
	require.Equal(t, want, sums.Folder(sumFolder))
}

// What is no content of a book leaves a folder without a name; what the book does
// not list leaves no trace in it, and an empty folder does.
func TestSumsOfOddFolders(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	want := f.git("rev-parse", "HEAD:"+sumFolder)
	named := func() string {
		_, sums := f.sumsOf()
		return sums.Folder(sumFolder)
	}
	require.NoError(t, os.Mkdir(f.path(sumFolder+"/.git"), 0o755))
	f.write(sumFolder+"/"+tempPrefix+"1", "half written")
	require.Equal(t, want, named())
	require.NoError(t, os.Mkdir(f.path(sumFolder+"/measurements/deeper"), 0o755))
	require.NotContains(t, []string{want, ""}, named())
	require.NoError(t, os.Remove(f.path(sumFolder+"/measurements/deeper")))
	require.NoError(t, os.Symlink("spec.yaml", f.path(sumFolder+"/measurements/a.yaml")))
	require.Empty(t, named())
	require.NoError(t, os.Remove(f.path(sumFolder+"/measurements/a.yaml")))
	f.write(sumFolder+"/photo.jpg", "")
	require.NoError(t, os.Truncate(f.path(sumFolder+"/photo.jpg"), MaxFile+1))
	require.Empty(t, named())
	require.NoError(t, os.Remove(f.path(sumFolder+"/photo.jpg")))
	require.Equal(t, want, named())
}

// A witness that reads anything else than the names say, or misses it, tells.
func TestWitness(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	f.write("parts/L-1.yaml", "lot: L-1\n")
	spec, part := sumFolder+"/spec.yaml", "parts/L-1.yaml"
	for what, c := range map[string]struct {
		do   func(tree Tree)
		sure bool
	}{
		"nothing altered": {func(Tree) {}, true},
		"a file altered":  {func(Tree) { f.write(spec, "engine: SK-70\n") }, false},
		"a file gone":     {func(Tree) { require.NoError(t, os.Remove(f.path(spec))) }, false},
		"a file more":     {func(Tree) { f.write(sumFolder+"/changes/x.yaml", "") }, false},
		"a file altered back": {func(tree Tree) {
			f.write(spec, "engine: SK-70\n")
			_, _ = tree.Read(spec)
			f.write(spec, "engine: SK-07\n")
		}, false},
		"a part altered":       {func(Tree) { f.write(part, "lot: L-2\n") }, false},
		"a part gone":          {func(Tree) { require.NoError(t, os.Remove(f.path(part))) }, false},
		"a part more":          {func(Tree) { f.write("parts/L-2.yaml", "lot: L-2\n") }, false},
		"a file of no concern": {func(Tree) { f.write("engines/2024/SK-16/spec.yaml", "engine: SK-61\n") }, true},
	} {
		f.write(spec, "engine: SK-07\n")
		f.write(part, "lot: L-1\n")
		for _, name := range []string{sumFolder + "/changes", "parts/L-2.yaml"} {
			require.NoError(t, os.RemoveAll(f.path(name)))
		}
		_, sums := f.sumsOf()
		tree, sure := sums.Witness(sumFolder, sums.Folder(sumFolder))
		c.do(tree)
		for _, dir := range []string{sumFolder, sumFolder + "/measurements", sumFolder + "/changes", "parts", "engines"} {
			_, _ = tree.List(dir)
		}
		for _, name := range []string{spec, sumFolder + "/figures.yaml", part, "parts/L-3.yaml", "book.yaml", "engines/2024/SK-16/spec.yaml"} {
			_, _ = tree.Read(name)
		}
		require.Equal(t, c.sure, sure(), what)
		_, sure = sums.Witness(sumFolder, "another name")
		require.False(t, sure(), what)
	}
	f.git("fsck", "--strict")
}

// Results are found again by the program that put them in, and by no other; two
// that write at once lose nothing but time.
func TestResultsOfPrograms(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	open := func(program string) *Results {
		b, err := Open(f.root, WithEnv(os.Getenv), WithProgram(func() (string, bool) { return program, true }))
		require.NoError(t, err)
		t.Cleanup(func() { _ = b.Close() })
		return b.Results("test")
	}
	put := func(r *Results, kind string) { r.Put(r.Key(kind, "a", "b"), kind+" of "+r.program) }
	one, two, other := open("one"), open("one"), open("other")
	for _, r := range []*Results{one, two, other} {
		_, ok := r.Find(r.Key("first", "a", "b"))
		require.False(t, ok)
	}
	put(one, "first")
	put(two, "second")
	put(other, "first")
	for _, r := range []*Results{one, two, other} {
		r.Save()
	}
	again, others := open("one"), open("other")
	for _, kind := range []string{"first", "second"} {
		text, ok := again.Find(again.Key(kind, "a", "b"))
		require.True(t, ok, kind)
		require.Equal(t, kind+" of one", text)
	}
	text, ok := others.Find(others.Key("first", "a", "b"))
	require.True(t, ok)
	require.Equal(t, "first of other", text)
	for _, key := range []ResultKey{others.Key("second", "a", "b"), others.Key("first", "ab"), others.Key("first", "a", "b", ""), others.Key("", "first", "a", "b")} {
		_, ok := others.Find(key)
		require.False(t, ok)
	}
	var none *Results
	none.Put(none.Key("x"), "x")
	none.Save()
	_, ok = none.Find(none.Key("x"))
	require.False(t, ok)
	require.NoFileExists(t, f.path(fmt.Sprintf(".git/%s/%s", sideDir, "test")))
	require.FileExists(t, f.path(fmt.Sprintf(".git/%s/kept-test", sideDir)))
	f.git("fsck", "--strict")
	require.Empty(t, f.git("status", "--porcelain"))
}
