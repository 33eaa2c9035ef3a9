package book

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var firstFiles = map[string][]byte{
	"book.yaml":      []byte("format: book/1\n"),
	".gitattributes": []byte("* -text\n"),
	".gitignore":     []byte("private/\n"),
}

// begin is Init as the tests use it.
func begin(root string) (*Book, error) {
	return Init(root, firstFiles, km, "begin the book", WithEnv(os.Getenv))
}

// A new book is a whole repository to git, with its first commit on main.
func TestInit(t *testing.T) {
	t.Parallel()
	f := &fixture{t, filepath.Join(t.TempDir(), "far", "book")}
	b, err := begin(f.root)
	require.NoError(t, err)
	defer b.Close()
	assert.Equal(t, "main", f.git("branch", "--show-current"))
	assert.Equal(t, "begin the book", f.git("log", "--format=%s"))
	assert.Equal(t, ".gitattributes\n.gitignore\nbook.yaml", f.git("ls-tree", "-r", "--name-only", "HEAD"))
	assert.Empty(t, f.status())
	f.sound()

	f.write("book.yaml", "format: book/2\n")
	f.git("commit", "-qam", "by git")
	_, err = begin(f.root)
	assert.ErrorContains(t, err, "is a book already")
	_, err = begin(f.path("engines"))
	assert.ErrorContains(t, err, "is a book already")
	assert.NoDirExists(t, f.path("engines"))
}

// A repository that is there is used, also one above, and what is staged in
// it is left.
func TestInitInRepository(t *testing.T) {
	t.Parallel()
	for _, below := range []string{".", "shop/book"} {
		f := newFixture(t)
		f.git("rm", "-q", "book.yaml")
		f.git("commit", "-qm", "no book")
		f.write("staged.txt", "x\n")
		f.git("add", "staged.txt")
		b, err := begin(f.path(below))
		require.NoError(t, err)
		assert.Equal(t, f.path(below), b.Root())
		require.NoError(t, b.Close())
		assert.Equal(t, "A  staged.txt", f.status())
		assert.Equal(t, "begin the book", f.git("log", "-1", "--format=%s"))
		f.sound()
	}
}

// Where something is in the way, or the first commit fails, nothing is left.
func TestInitRefuses(t *testing.T) {
	t.Parallel()
	full := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(full, "diary.txt"), nil, 0o644))
	_, err := begin(full)
	require.ErrorContains(t, err, "is not empty")
	assert.NoDirExists(t, filepath.Join(full, ".git"))

	f := newFixture(t)
	f.git("rm", "-q", "--cached", "book.yaml")
	f.remove("book.yaml")
	f.write(".gitignore", "x\n")
	_, err = begin(f.root)
	require.ErrorContains(t, err, "holds a file .gitignore already")

	fresh := filepath.Join(t.TempDir(), "a", "b")
	_, err = Init(fresh, firstFiles, Signature{}, "begin")
	require.ErrorIs(t, err, ErrNoAuthor)
	assert.NoDirExists(t, filepath.Dir(fresh))
	empty := t.TempDir()
	_, err = Init(empty, firstFiles, Signature{}, "begin")
	require.ErrorIs(t, err, ErrNoAuthor)
	left, err := os.ReadDir(empty)
	require.NoError(t, err)
	assert.Empty(t, left)
	_, err = Init(empty, map[string][]byte{"x": nil}, km, "begin")
	assert.ErrorContains(t, err, "needs a book.yaml")
}

// Who commits: variables before settings, the particular before the general,
// included files too; and where nobody is named, what to type.
func TestAuthor(t *testing.T) {
	t.Parallel()
	f := newFixture(t)
	ask := func(env map[string]string) (Signature, Signature, error) {
		b, err := Open(f.root, WithEnv(func(key string) string { return env[key] }))
		require.NoError(t, err)
		defer b.Close()
		author, err := b.Author(km.When)
		if err != nil {
			return author, author, err
		}
		committer, err := b.Committer(km.When)
		return author, committer, err
	}
	_, _, err := ask(nil)
	require.ErrorIs(t, err, ErrNoAuthor)
	require.ErrorContains(t, err, `git config --global user.name "Your Name" && git config --global user.email you@example.org`)
	f.git("config", "user.name", "N B")
	_, _, err = ask(nil)
	require.ErrorContains(t, err, "git config --global user.email you@example.org")
	f.write("extra.config", "[user]\n\temail = nb@skarvik.example\n")
	f.git("config", "include.path", f.path("extra.config"))
	f.git("config", "committer.name", "Bench Two")
	author, committer, err := ask(nil)
	require.NoError(t, err)
	assert.Equal(t, Signature{"N B", "nb@skarvik.example", km.When}, author)
	assert.Equal(t, Signature{"Bench Two", "nb@skarvik.example", km.When}, committer)
	author, _, err = ask(map[string]string{"GIT_AUTHOR_NAME": "K M", "GIT_AUTHOR_EMAIL": "km@skarvik.example"})
	require.NoError(t, err)
	assert.Equal(t, km, author)
}

// Before there is a book, git's word counts from the nearest folder that is
// there; without the git program, the user's own file is read.
func TestAuthorFor(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", "")
	require.NoError(t, os.WriteFile(filepath.Join(home, ".gitconfig"), []byte("[user]\n\tname = N B\n\temail = nb@skarvik.example\n[core]\n\tbare\n"), 0o644))
	env := WithEnv(func(key string) string { return map[string]string{"HOME": home}[key] })
	for _, path := range []string{os.Getenv("PATH"), t.TempDir()} {
		t.Setenv("PATH", path)
		who, err := AuthorFor(filepath.Join(t.TempDir(), "not", "yet"), time.Time{}, env)
		require.NoError(t, err)
		assert.Equal(t, Signature{Name: "N B", Email: "nb@skarvik.example"}, who)
	}
}
