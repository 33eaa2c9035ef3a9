package book

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/go-git/go-git/v5/plumbing/format/config"

	"stackbook/record/book/objects"
)

// repository says where git keeps its things for one work tree.
type repository struct {
	dir    string // of this work tree: HEAD, index
	common string // shared by all work trees: objects, refs, config
	work   string // the work tree's root; empty when bare
	prefix string // from there to the book, ending in a slash unless empty
	bare   bool
	format objects.Format

	partial bool // objects may have been left out when it was cloned
}

// findRepository looks for the repository of a book: .git in the book's root
// or above it, or the root itself when that is a bare repository.
func findRepository(root string) (repository, error) {
	for at := root; ; at = filepath.Dir(at) {
		dir, err := gitDirOf(at)
		if err != nil {
			return repository{}, err
		}
		if dir != "" {
			prefix, err := filepath.Rel(at, root)
			if err != nil {
				return repository{}, err
			}
			r := repository{dir: dir, work: at, prefix: filepath.ToSlash(prefix) + "/"}
			if prefix == "." {
				r.prefix = ""
			}
			return r.complete()
		}
		if at == root && isGitDir(at) {
			return repository{dir: at, bare: true}.complete()
		}
		if at == filepath.Dir(at) {
			return repository{}, fmt.Errorf("%w: %s lies in no git repository; make a book with: stackbook begin DIR, or type: git init %s",
				ErrNoBook, root, root)
		}
	}
}

// gitDirOf gives the git directory that the work tree rooted at dir names by
// its .git, a folder or a file with the line "gitdir: PATH"; empty if none.
func gitDirOf(dir string) (string, error) {
	dot := filepath.Join(dir, ".git")
	info, err := os.Stat(dot)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	if info.IsDir() {
		if isGitDir(dot) {
			return dot, nil
		}
		return "", nil // git, too, goes on looking above
	}
	text, err := os.ReadFile(dot)
	if err != nil {
		return "", err
	}
	to, ok := strings.CutPrefix(strings.TrimRight(string(text), "\r\n"), "gitdir: ")
	if !ok {
		return "", fmt.Errorf("%s should be a folder or hold the line \"gitdir: PATH\"", dot)
	}
	if to = absIn(dir, to); !isGitDir(to) {
		return "", fmt.Errorf("%s points to %s, which is not a git repository", dot, to)
	}
	return to, nil
}

// isGitDir says whether dir has what git asks of its directory.
func isGitDir(dir string) bool {
	if _, err := os.Lstat(filepath.Join(dir, "HEAD")); err != nil {
		return false
	}
	common := commonDir(dir)
	return isDir(filepath.Join(common, "objects")) && isDir(filepath.Join(common, "refs"))
}

// commonDir gives the folder shared by all work trees of a repository: dir
// itself, or what its file "commondir" names.
func commonDir(dir string) string {
	text, err := os.ReadFile(filepath.Join(dir, "commondir"))
	if err != nil {
		return dir
	}
	return absIn(dir, strings.TrimRight(string(text), "\r\n"))
}

// complete fills in the shared folder and what the repository's own
// configuration says of its format.
func (r repository) complete() (repository, error) {
	r.common = commonDir(r.dir)
	r.format = objects.SHA1
	text, err := readIfThere(filepath.Join(r.common, "config"))
	if err != nil {
		return r, err
	}
	cfg := config.New()
	if err := config.NewDecoder(bytes.NewReader(text)).Decode(cfg); err != nil {
		return r, fmt.Errorf("%s: %w", filepath.Join(r.common, "config"), err)
	}
	if tree := cfg.Section("core").Option("worktree"); tree != "" && r.dir == r.common && absIn(r.dir, tree) != r.work {
		return r, fmt.Errorf("%s: core.worktree moves the work tree to %s, which stackbook does not follow; a linked work tree (git worktree add) does the same",
			r.dir, tree)
	}
	for _, remote := range cfg.Section("remote").Subsections {
		r.partial = r.partial || strings.EqualFold(remote.Option("promisor"), "true")
	}
	switch version := cfg.Section("core").Option("repositoryformatversion"); version {
	case "1":
	case "", "0":
		if o := cfg.Section("extensions").Option("objectformat"); o != "" && o != "sha1" {
			return r, fmt.Errorf("%s: extensions.objectFormat = %s needs core.repositoryformatversion = 1; git refuses this repository too", r.dir, o)
		}
		return r, nil
	default:
		return r, fmt.Errorf("%s: the repository has format %s, and stackbook reads up to 1; use a newer stackbook", r.dir, version)
	}
	for _, o := range cfg.Section("extensions").Options {
		if err := r.extend(strings.ToLower(o.Key), strings.ToLower(o.Value)); err != nil {
			return r, err
		}
	}
	return r, nil
}

// extend takes in one repository extension. As git does, it refuses those it
// does not know: such a repository may keep its things elsewhere.
func (r *repository) extend(key, value string) error {
	switch key {
	case "noop", "preciousobjects", "partialclone", "worktreeconfig":
		return nil
	case "objectformat":
		if value == "sha256" {
			r.format = objects.SHA256
		}
		if value == "sha1" || value == "sha256" {
			return nil
		}
	case "refstorage":
		if value == "files" {
			return nil
		}
	}
	return fmt.Errorf("%s: the repository uses extensions.%s = %s, which stackbook does not know; keep the book in a repository without it",
		r.dir, key, value)
}

// checkOwner refuses a repository that belongs to someone else, unless git's
// own safe.directory setting allows it: its configuration can name programs
// to run. git is asked only where the owner differs.
func (b *Book) checkOwner() error {
	own := true
	for _, path := range []string{b.repo.work, b.repo.dir} {
		own = own && (path == "" || ownedByUser(path))
	}
	if own {
		return nil
	}
	if _, err := b.Git("rev-parse", "--git-dir"); err != nil {
		return fmt.Errorf("%s belongs to another user: %w", b.root, err)
	}
	return nil
}

// readIfThere reads a file; nil stands for one that is not there. A pipe, from
// which nothing may ever come, is none.
func readIfThere(name string) ([]byte, error) {
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, nil
	}
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		return nil, nil
	}
	return text, err
}

// absIn gives path as seen from dir.
func absIn(dir, path string) string {
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(dir, filepath.FromSlash(path))
}

func isDir(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}
