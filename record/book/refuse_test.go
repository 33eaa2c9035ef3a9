package book

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refused are the states of a repository, and the edits, that Commit does not
// touch, each with a part of what it says.
var refused = map[string]struct {
	arrange func(f *fixture)
	edits   []Edit
	want    string
}{
	"merge under way":       {arrange: conflicting("merge"), want: "a merge is under way; end it first with: git merge --continue, or git merge --abort"},
	"rebase under way":      {arrange: conflicting("rebase"), want: "a rebase is under way"},
	"cherry-pick under way": {arrange: conflicting("cherry-pick"), want: "a cherry-pick is under way"},
	"revert under way": {arrange: func(f *fixture) {
		f.write("book.yaml", "two\n")
		f.git("commit", "-qam", "two")
		f.write("book.yaml", "three\n")
		f.git("commit", "-qam", "three")
		_, err := f.run("revert", "--no-edit", "HEAD~")
		require.Error(f.t, err)
	}, want: "a revert is under way"},
	"unmerged": {arrange: func(f *fixture) {
		conflicting("merge")(f)
		require.NoError(f.t, os.Remove(f.path(".git/MERGE_HEAD")))
	}, want: "book.yaml is unmerged"},
	"locked":         {arrange: func(f *fixture) { f.write(".git/index.lock", "") }, want: "index.lock is there; another git may be at work"},
	"branch locked":  {arrange: func(f *fixture) { f.write(".git/refs/heads/main.lock", "") }, want: "main.lock is there"},
	"damaged index":  {arrange: func(f *fixture) { f.write(".git/index", strings.Repeat("DIRC", 20)) }, want: "index"},
	"outside":        {edits: []Edit{{Path: "../x"}}, want: "is not a path inside the book"},
	"absolute":       {edits: []Edit{{Path: "/etc/x"}}, want: "is not a path inside the book"},
	"unclean":        {edits: []Edit{{Path: "engines//x"}}, want: "is not a path inside the book"},
	"git's own":      {edits: []Edit{{Path: "engines/.Git/config"}}, want: "lies in git's own folder"},
	"the book":       {edits: []Edit{{Path: "."}}, want: "names no file"},
	"a folder":       {edits: []Edit{{Path: "engines/2023"}}, want: "is not a regular file"},
	"named twice":    {edits: []Edit{{Path: "a"}, {Path: "a"}}, want: "named twice"},
	"too large":      {edits: []Edit{{Path: "a", Data: make([]byte, MaxFile+1)}}, want: "larger than 16 MiB"},
	"a link":         {arrange: linked, edits: []Edit{{Path: "link.yaml"}}, want: "link.yaml is a symbolic link"},
	"behind a link":  {arrange: linked, edits: []Edit{{Path: "linked/spec.yaml"}}, want: "linked is a symbolic link"},
	"a folder stays": {arrange: func(f *fixture) { f.remove("engines/2023") }, edits: []Edit{{Path: "engines/2023", Data: []byte("x"), Write: true}}, want: "engines/2023/SK-07/measurements/2024-03-02-mock-up-KM.yaml is in the way"},
	"a file stays":   {arrange: func(f *fixture) { f.remove("engines/2024/SK-16/spec.yaml") }, edits: []Edit{{Path: "engines/2024/SK-16/spec.yaml/inside", Data: []byte("x"), Write: true}}, want: "engines/2024/SK-16/spec.yaml is in the way"},
	"cannot write":   {arrange: func(f *fixture) { f.write("parts", "a file\n") }, edits: []Edit{{Path: "a", Data: []byte("x"), Write: true}, {Path: "parts/b", Data: []byte("x"), Write: true}}, want: "write parts/b: "},
}

// conflicting brings the book into the midst of git's command, by two
// branches that change one line.
func conflicting(command string) func(f *fixture) {
	return func(f *fixture) {
		f.git("checkout", "-q", "-b", "other")
		f.write("book.yaml", "theirs\n")
		f.git("commit", "-qam", "theirs")
		f.git("checkout", "-q", "main")
		f.write("book.yaml", "ours\n")
		f.git("commit", "-qam", "ours")
		_, err := f.run(command, "other")
		require.Error(f.t, err)
	}
}

func linked(f *fixture) {
	require.NoError(f.t, os.Symlink("book.yaml", f.path("link.yaml")))
	require.NoError(f.t, os.Symlink("engines/2024/SK-16", f.path("linked")))
}

// What cannot be done safely is refused in one clear line, and folder, index
// and branch are as they were.
func TestRefused(t *testing.T) {
	t.Parallel()
	for name, c := range refused {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := newFixture(t)
			if c.arrange != nil {
				c.arrange(f)
			}
			edits := c.edits
			if edits == nil {
				edits = []Edit{{Path: "engines/2023/SK-07/figures.yaml", Data: []byte("x\n"), Write: true}}
			}
			b := f.open()
			index, _ := os.ReadFile(f.path(".git/index"))
			head, files := f.git("rev-parse", "HEAD"), f.files()
			opts := CommitOptions{Message: "x", Author: km, Expect: head}
			_, err := b.Commit(edits, opts)
			require.ErrorContains(t, err, c.want)
			assert.NotContains(t, err.Error(), "\n")
			after, _ := os.ReadFile(f.path(".git/index"))
			assert.Equal(t, index, after)
			assert.Equal(t, head, f.git("rev-parse", "HEAD"))
			assert.Equal(t, files, f.files())
		})
	}
}

// The book went on after the edits were computed: the commit is not made.
func TestMoved(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	opts := f.options(b)
	f.write("book.yaml", "format: book/2\n")
	f.git("commit", "-qam", "meanwhile")
	_, err := b.Commit([]Edit{{Path: "engines/2023/SK-07/figures.yaml", Data: []byte("x\n"), Write: true}}, opts)
	require.ErrorIs(t, err, ErrMoved)
	assert.Empty(t, f.status())

	// The same between the plan and the locks.
	p, err := b.plan([]Edit{{Path: "engines/2023/SK-07/figures.yaml", Data: []byte("x\n"), Write: true}}, f.options(b))
	require.NoError(t, err)
	_, err = p.needsGit()
	require.NoError(t, err)
	require.NoError(t, p.build())
	p.folder, err = b.stage(p.edits)
	require.NoError(t, err)
	f.git("checkout", "-q", "-b", "elsewhere")
	assert.ErrorIs(t, p.finish(), ErrMoved)
	p.drop()
	assert.Empty(t, f.status())
	f.sound()
}

// The person stages something else between the plan and the locks: it stays
// staged, and the commit is made.
func TestIndexMoves(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	p, err := b.plan([]Edit{{Path: "engines/2023/SK-07/figures.yaml", Data: []byte("x\n"), Write: true}}, f.options(b))
	require.NoError(t, err)
	_, err = p.needsGit()
	require.NoError(t, err)
	require.NoError(t, p.build())
	p.folder, err = b.stage(p.edits)
	require.NoError(t, err)
	f.write("other.yaml", "x\n")
	f.git("add", "other.yaml")
	require.NoError(t, p.finish())
	assert.Equal(t, "A  other.yaml", f.status())
	f.sound()
}

// Nothing to commit is said as such; a file that the tool made is brought in
// line all the same.
func TestNothing(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	f.write("book.yaml", "by hand\n")
	_, err := b.Commit([]Edit{
		{Path: "book.yaml", Data: []byte("format: book/1\n"), Write: true},
		{Path: "never/was.yaml", Delete: true},
	}, f.options(b))
	require.ErrorIs(t, err, ErrNothing)
	assert.Equal(t, "format: book/1\n", f.read("book.yaml"))
	assert.Empty(t, f.status())
	_, err = b.Commit(nil, f.options(b))
	assert.ErrorIs(t, err, ErrNothing)
	f.sound()
}

// A file that changes after it was read is committed as it was read, and git
// sees the change as one still to be committed.
func TestChangedSinceRead(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	f.write("book.yaml", "format: book/8\n")
	edits := f.edits("book.yaml")
	f.write("book.yaml", "format: book/9\n")
	_, err := b.Commit(edits, f.options(b))
	require.NoError(t, err)
	assert.Equal(t, "format: book/8", f.git("show", "HEAD:book.yaml"))
	assert.Equal(t, " M book.yaml", f.status())
	f.sound()
}

// A message, an author: what a commit cannot do without.
func TestOptionsRefused(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	b := f.open()
	for want, spoil := range map[string]func(*CommitOptions){
		"needs a message":    func(o *CommitOptions) { o.Message = " \n" },
		"not UTF-8":          func(o *CommitOptions) { o.Message = "\xff" },
		ErrNoAuthor.Error():  func(o *CommitOptions) { o.Author.Name = "<>" },
		ErrMoved.Error():     func(o *CommitOptions) { o.Expect = "" },
		"the message is not": func(o *CommitOptions) { o.Message = "a\x00b" },
	} {
		opts := f.options(b)
		spoil(&opts)
		_, err := b.Commit([]Edit{{Path: "a", Data: []byte("a")}}, opts)
		assert.ErrorContains(t, err, want)
	}
}
