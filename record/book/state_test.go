package book

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// commitAt makes an empty-handed commit with a committer time of its own.
func (f *fixture) commitAt(when, message string) string {
	f.t.Helper()
	f.write("parts/L-2304.yaml", message+"\n")
	f.git("add", "parts")
	f.git("-c", "core.hooksPath=/dev/null", "commit", "-qm", message)
	tree := f.git("rev-parse", "HEAD^{tree}")
	parent := f.git("rev-parse", "HEAD~")
	f.git("reset", "-q", "--hard", f.commitTree(when, message, tree, parent))
	return f.git("rev-parse", "HEAD")
}

// commitTree makes a commit object; when is seconds and zone, or any date git reads.
func (f *fixture) commitTree(when, message, tree string, parents ...string) string {
	f.t.Helper()
	args := []string{"commit-tree", "-m", message, tree}
	for _, p := range parents {
		args = append(args, "-p", p)
	}
	cmd := f.command(args...)
	cmd.Env = append(os.Environ(), "GIT_COMMITTER_DATE="+when, "GIT_AUTHOR_DATE="+when)
	out, err := cmd.Output()
	require.NoError(f.t, err)
	return strings.TrimSpace(string(out))
}

// Whatever a person may type for a commit, git and the book mean the same.
func TestResolve(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	for i := range 3 {
		f.write("book.yaml", fmt.Sprint(i))
		f.git("commit", "-qam", fmt.Sprint("change ", i))
	}
	f.git("tag", "-a", "-m", "sealed", "build/SK-07/1", "HEAD~")
	f.git("tag", "plain", "HEAD~2")
	f.git("branch", "bench/two", "HEAD~3")
	f.git("update-ref", "refs/remotes/origin/main", "HEAD~")
	f.git("symbolic-ref", "refs/remotes/origin/HEAD", "refs/remotes/origin/main")
	f.git("repack", "-adq")
	f.git("pack-refs", "--all")
	f.write("book.yaml", "loose")
	f.git("commit", "-qam", "loose")
	b := f.open()
	hash := f.git("rev-parse", "HEAD~2")
	for _, rev := range []string{
		"HEAD", "main", "heads/main", "refs/heads/main", "bench/two", "plain", "build/SK-07/1", "tags/build/SK-07/1",
		"origin", "origin/main", "HEAD~2", "HEAD^", "main@{1}", ":/change 1", "build/SK-07/1^{}", "@",
		hash, hash[:4], hash[:7], hash[:12], strings.ToUpper(hash), strings.ToUpper(hash[:9]), f.git("rev-parse", "HEAD"), f.git("rev-parse", "--short", "HEAD"),
	} {
		want, err := f.run("rev-parse", "--verify", "-q", rev+"^{commit}")
		if strings.HasPrefix(rev, ":/") {
			want, err = f.run("rev-parse", "--verify", "-q", rev)
		}
		require.NoError(t, err, rev)
		got, err := b.Resolve(rev)
		require.NoError(t, err, rev)
		assert.Equal(t, strings.TrimSpace(want), got.Hash, rev)
	}
	for rev, want := range map[string]string{
		"nowhere": "the book knows no revision nowhere; a commit's hash", "HEAD~99": "knows no revision HEAD~99; ", "HEAD@{99}": "knows no revision", "HEAD:../../../x": "knows no revision", "": "not a revision", "--all": "not a revision", "a\nb": "not a revision",
		strings.Repeat("0", 40): "knows no revision 0000", "HEAD:book.yaml": "does not name a commit", "..": "knows no revision ..;", "../../x": "knows no revision ../../x;",
	} {
		_, err := b.Resolve(rev)
		assert.ErrorContains(t, err, want, "%q", rev)
		assert.NotContains(t, err.Error(), f.root)
	}
	for _, long := range []int{300, 3000, 200_000} { // a file name, a path, an argument that the system refuses
		_, err := b.Resolve(strings.Repeat("ä", long))
		assert.EqualError(t, err, "the book knows no revision "+strings.Repeat("ä", 60)+"…; "+revForms)
	}
}

// The beginning of a hash that several objects share: the one commit among
// them is meant, as git has it; of two commits, neither.
func TestResolveAmbiguous(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	tree := f.git("rev-parse", "HEAD^{tree}")
	var lines strings.Builder
	for i := range 700 { // enough for two names alike in four digits, whatever the trees
		fmt.Fprintf(&lines, "commit refs/many/%d\ncommitter K M <km@skarvik.example> %d +0000\ndata 1\nx\n", i, 1700000000+i)
	}
	cmd := f.command("fast-import", "--quiet")
	cmd.Stdin = strings.NewReader(lines.String())
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	seen := map[string]int{}
	for _, h := range strings.Fields(f.git("for-each-ref", "--format=%(objectname)", "refs/many")) {
		seen[h[:4]]++
	}
	b := f.open()
	several := 0
	for digits, n := range seen {
		if n == 1 || strings.HasPrefix(tree, digits) {
			continue
		}
		several++
		_, err := b.Resolve(digits)
		assert.ErrorContains(t, err, "type more digits")
	}
	assert.NotZero(t, several)
}

// A date means the day as it was in the zone of the committer, on HEAD's
// first-parent line, and a clock that went wrong is named (R16).
func TestOnOrBefore(t *testing.T) {
	t.Parallel()
	f := newFixture(t) // begins on 2024-03-02
	hash := map[string]string{"begin": f.git("rev-parse", "HEAD")}
	// Half past midnight at +0900 is still the day before in UTC.
	hash["east"] = f.commitAt("2024-03-05T00:30:00+0900", "east")
	hash["west"] = f.commitAt("2024-03-05T23:30:00-0800", "west")
	side := f.commitTree("2024-03-06T12:00:00+0000", "side", f.git("rev-parse", "HEAD^{tree}"), hash["begin"])
	hash["merge"] = f.commitTree("2024-03-07T12:00:00+0000", "merge", f.git("rev-parse", "HEAD^{tree}"), hash["west"], side)
	f.git("reset", "-q", "--hard", hash["merge"])
	hash["fast"] = f.commitAt("2024-03-20T12:00:00+0000", "fast")
	hash["right"] = f.commitAt("2024-03-10T12:00:00+0000", "right")
	hash["last"] = f.commitAt("2024-03-21T12:00:00+0000", "last")
	b := f.open()
	for _, c := range []struct{ day, want, remark string }{
		{"2024-03-02", "begin", ""},
		{"2024-03-04", "begin", ""},
		{"2024-03-05", "west", ""},
		{"2024-03-06", "west", ""}, // the side branch is not on the line
		{"2024-03-09", "merge", ""},
		{"2024-03-15", "merge", "is dated 2024-03-10 but follows one of 2024-03-20 and was left out"},
		{"2024-03-20", "right", "is dated 2024-03-10, before a commit it follows, of 2024-03-20"},
		{"2030-01-01", "last", ""},
	} {
		got, remark, err := b.OnOrBefore(c.day)
		require.NoError(t, err, c.day)
		assert.Equal(t, hash[c.want], got.Hash, c.day)
		if c.remark == "" {
			assert.Empty(t, remark, c.day)
		}
		assert.Contains(t, remark, c.remark, c.day)
	}
	_, _, err := b.OnOrBefore("2024-03-01")
	require.ErrorContains(t, err, "first commit is of 2024-03-02")
	_, _, err = b.OnOrBefore("2024-3-1")
	assert.ErrorContains(t, err, "2024-06-01 would be")
}

// The history of one folder over branches and merges: the commits in which,
// by git's word, it differs from that of every parent.
func TestLogAsGitSays(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	rng := rand.New(rand.NewPCG(5, 5))
	tips := []string{f.git("rev-parse", "HEAD")}
	at := km.When
	for i := range 60 {
		at = at.Add(time.Duration(rng.IntN(3)) * time.Second)
		when := fmt.Sprintf("@%d +0100", at.Unix())
		parents := []string{tips[rng.IntN(len(tips))]}
		if i%5 == 4 {
			parents = append(parents, tips[rng.IntN(len(tips))])
		}
		f.git("read-tree", "--reset", "-u", parents[0])
		name := []string{"engines/2023/SK-07/spec.yaml", "engines/2024/SK-16/spec.yaml", "engines/2023/SK-07/x/y", "book.yaml"}[rng.IntN(4)]
		if len(parents) == 1 || rng.IntN(2) == 0 {
			f.write(name, fmt.Sprint(rng.IntN(3)))
		}
		f.git("add", "-A")
		tips = append(tips, f.commitTree(when, fmt.Sprint(i), f.git("write-tree"), parents...))
	}
	tip := f.commitTree(fmt.Sprintf("@%d +0100", at.Unix()+5), "tip", f.git("write-tree"), tips[1:]...)
	f.git("reset", "-q", "--hard", tip)
	b := f.open()
	for _, prefix := range []string{".", "engines/2023/SK-07", "engines/2023/SK-07/spec.yaml", "engines/2024", "never/there"} {
		got := strings.Fields(hashes(t, b, prefix))
		assert.ElementsMatch(t, f.changing(prefix), got, prefix)
		assertChildrenFirst(t, f, got)
	}
}

// changing asks git what each commit holds at prefix, and gives the commits
// that hold something else than each of their parents.
func (f *fixture) changing(prefix string) []string {
	f.t.Helper()
	lines := strings.Split(f.git("rev-list", "--parents", "HEAD"), "\n")
	var ask strings.Builder
	for _, line := range lines {
		fmt.Fprintf(&ask, "%s:%s\n", strings.Fields(line)[0], strings.TrimPrefix(prefix, "."))
	}
	cmd := f.command("cat-file", "--batch-check=%(objectname)")
	cmd.Stdin = strings.NewReader(ask.String())
	out, err := cmd.Output()
	require.NoError(f.t, err)
	holds := map[string]string{}
	for i, answer := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		if !strings.HasSuffix(answer, " missing") {
			holds[strings.Fields(lines[i])[0]] = answer
		}
	}
	var changed []string
	for _, line := range lines {
		names := strings.Fields(line)
		differs := len(names) > 1 || holds[names[0]] != ""
		for _, parent := range names[1:] {
			differs = differs && holds[names[0]] != holds[parent]
		}
		if differs {
			changed = append(changed, names[0])
		}
	}
	return changed
}

// assertChildrenFirst checks that no commit stands before one that comes from it.
func assertChildrenFirst(t *testing.T, f *fixture, order []string) {
	place := map[string]int{}
	for i, h := range order {
		place[h] = i
	}
	for _, line := range strings.Split(f.git("rev-list", "--parents", "HEAD"), "\n") {
		names := strings.Fields(line)
		child, ok := place[names[0]]
		for _, parent := range names[1:] {
			if at, both := place[parent]; ok && both {
				assert.Less(t, child, at)
			}
		}
	}
}

// Tags: plain, annotated, of tags, packed and loose, and one that is no
// commit's.
func TestTags(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	head := f.git("rev-parse", "HEAD")
	f.git("tag", "-a", "-m", "sealed by hand", "build/SK-07/1")
	f.git("tag", "build/SK-07/2")
	f.git("pack-refs", "--all")
	f.git("tag", "-a", "-m", "outer", "build/SK-16/1", "build/SK-07/1")
	f.git("tag", "other")
	b := f.open()
	tags, err := b.Tags("")
	require.NoError(t, err)
	assert.Equal(t, []Tag{
		{"build/SK-07/1", head, km, "sealed by hand\n"},
		{"build/SK-07/2", head, Signature{}, ""},
		{"build/SK-16/1", head, km, "outer\n"},
	}, sameZone(tags))
	c, ok, err := b.ResolveTag("build/SK-16/1")
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Equal(t, head, c.Hash)
	_, ok, err = b.ResolveTag("build/SK-07/3")
	require.NoError(t, err)
	assert.False(t, ok)
	f.git("tag", "build/SK-07/4", "HEAD:book.yaml")
	_, _, err = b.ResolveTag("build/SK-07/4")
	assert.ErrorContains(t, err, "names a blob, not a commit")
}

// sameZone gives times the location value that they are compared with.
func sameZone(tags []Tag) []Tag {
	for i, tag := range tags {
		if tag.Tagger.When.Equal(km.When) {
			tags[i].Tagger.When = km.When
		}
	}
	return tags
}

// A seal is what git tag -a makes; the same again changes nothing, another
// commit never gets it.
func TestSeal(t *testing.T) {
	t.Parallel()
	for name, setup := range map[string][]string{"here": nil, "by git": {"reference-transaction", "exit 0"}} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			if setup != nil {
				f.hook(setup[0], setup[1])
			}
			b := f.open()
			head := f.git("rev-parse", "HEAD")
			tag := Tag{Name: "build/SK-07/1", Commit: head, Tagger: km, Message: "delivered\n\ncode 1ABC"}
			require.NoError(t, b.Seal(tag))
			require.NoError(t, b.Seal(tag))
			f.git("tag", "-a", "-m", "delivered\n\ncode 1ABC", "judge")
			want := strings.Replace(f.git("cat-file", "-p", "judge"), "tag judge", "tag build/SK-07/1", 1)
			assert.Equal(t, want, f.git("cat-file", "-p", "build/SK-07/1"))

			f.write("book.yaml", "x")
			f.git("commit", "-qam", "later")
			tag.Commit = f.git("rev-parse", "HEAD")
			require.ErrorContains(t, b.Seal(tag), "is never moved")
			assert.Equal(t, head, f.git("rev-parse", "build/SK-07/1^{commit}"))
			tag.Name = "build/../x"
			require.ErrorContains(t, b.Seal(tag), "cannot be the name of a tag")
			f.sound()
		})
	}
}

// A damaged ref is named, not taken for a missing one.
func TestDamagedRef(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	require.NoError(t, os.WriteFile(filepath.Join(f.root, ".git", "refs", "heads", "main"), nil, 0o644))
	_, _, err := f.open().Head()
	assert.ErrorContains(t, err, "refs/heads/main is damaged")
}

// Signatures as old or careless programs wrote them are read as far as they
// go, and what we write has nothing in it that would end a part early.
func TestSignatures(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ line, name, email, when string }{
		{"K M <km@skarvik.example> 1709368200 +0100", "K M", "km@skarvik.example", "2024-03-02T09:30:00+01:00"},
		{"K M <a@b> 1709368200 -0230", "K M", "a@b", "2024-03-02T06:00:00-02:30"},
		{"<a@b> 5 -0000", "", "a@b", "1970-01-01T00:00:05Z"},
		{"K M <a@b> 1709368200 east", "K M", "a@b", "2024-03-02T08:30:00Z"},
		{"K M <a@b> never", "K M", "a@b", "0001-01-01T00:00:00Z"},
		{"nobody", "nobody", "", "0001-01-01T00:00:00Z"},
	} {
		s := parseSignature(c.line)
		assert.Equal(t, c.name, s.Name, c.line)
		assert.Equal(t, c.email, s.Email, c.line)
		assert.Equal(t, c.when, s.When.Format(time.RFC3339), c.line)
	}
	odd := Signature{"K\n<M>.", " a@b>\n", km.When}
	assert.Equal(t, "KM <a@b> 1709368200 +0100", odd.String())
}

// In a shallow clone the past ends at a commit that has parents: dates before
// it are not told, and the commit says so (R16).
func TestCutOff(t *testing.T) {
	t.Parallel()
	f := newFixture(t) // begins on 2024-03-02
	f.commitAt("2024-03-05T12:00:00+0000", "second")
	f.commitAt("2024-03-07T12:00:00+0000", "third")
	clone := filepath.Join(filepath.Dir(f.root), "clone")
	f.git("clone", "-q", "--depth", "2", "file://"+f.root, clone)
	f.root = clone
	b := f.open()
	log, err := b.Log(".")
	require.NoError(t, err)
	require.Len(t, log, 2)
	assert.False(t, log[0].Cut)
	assert.True(t, log[1].Cut)
	assert.Empty(t, log[1].Parents)

	c, remark, err := b.OnOrBefore("2024-03-06")
	require.NoError(t, err)
	assert.Equal(t, log[1].Hash, c.Hash)
	assert.Contains(t, remark, "history is cut off before commit "+c.Short()+" of 2024-03-05")
	_, _, err = b.OnOrBefore("2024-03-04")
	var cut *CutOffError
	require.ErrorAs(t, err, &cut)
	assert.Equal(t, c.Hash, cut.At.Hash)
	assert.ErrorContains(t, err, "; type: git fetch --unshallow")

	f.git("fetch", "-q", "--unshallow")
	b = f.open()
	_, remark, err = b.OnOrBefore("2024-03-06")
	require.NoError(t, err)
	assert.Empty(t, remark)
	_, _, err = b.OnOrBefore("2024-03-01")
	assert.ErrorContains(t, err, "first commit is of 2024-03-02")
}
