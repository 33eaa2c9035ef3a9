package book

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// Edit is one file that a commit is to hold, or no longer to hold.
type Edit struct {
	Path   string // in the book
	Data   []byte // the whole content
	Delete bool   // take the file out instead
	// Write says that the folder does not hold Data yet: the commit puts it
	// there (or, with Delete, removes the file) in the same stroke.
	Write bool
	// Exec makes a new file executable. A file that is there keeps its mode.
	Exec bool
}

// CommitOptions is what a commit says beside its edits.
type CommitOptions struct {
	Message           string
	Author, Committer Signature // an empty Committer is the Author
	// Expect is the hash of the commit that the edits were computed from, ""
	// for a book without one. If HEAD is elsewhere, the commit is ErrMoved.
	Expect string
	// Env holds further variables (KEY=VALUE) for the git program and the
	// hooks it runs, where the commit is handed to it.
	Env []string
}

// Commit makes a commit of exactly these edits on the branch the folder
// stands on: its tree is HEAD's with the named files replaced, added or taken
// out. Afterwards the index holds the same for them, and everything else that
// was staged is staged as it was.
//
// An edit that changes nothing is allowed; if all are such, the folder is
// brought in line and the error is ErrNothing. ErrMoved and ErrBusy leave the
// book as it was. A file that was changed in the folder since its Data was
// read is committed with Data and shows as modified afterwards.
//
// Where the repository asks for what only git does (hooks, signatures,
// conversions, a special index), the git program makes the commit. It reads
// the folder itself: a file changed since its Data was read is then an error.
func (b *Book) Commit(edits []Edit, opts CommitOptions) (Commit, error) {
	p, err := b.plan(edits, opts)
	if err != nil {
		return Commit{}, err
	}
	reason, err := p.needsGit()
	if err != nil {
		return Commit{}, err
	}
	if reason != "" {
		return p.handOver(reason)
	}
	defer p.drop()
	if err := p.build(); err != nil {
		return Commit{}, err
	}
	if p.commit.Hash == "" {
		return Commit{}, errors.Join(ErrNothing, b.Put(edits))
	}
	if p.folder, err = b.stage(p.edits); err != nil {
		return Commit{}, err
	}
	return p.commit, p.finish()
}

// plan is a commit on its way.
type plan struct {
	book   *Book
	edits  []Edit
	opts   CommitOptions
	head   Commit // empty in a book without one
	branch string // the ref to move; "HEAD" when detached

	index *index.Index // as read before any lock

	blobs  map[string]objects.Entry // by path from the repository's root
	batch  *objects.Batch
	folder *staged
	commit Commit
}

// plan makes all the checks that need no writing.
func (b *Book) plan(edits []Edit, opts CommitOptions) (*plan, error) {
	if opts.Committer == (Signature{}) {
		opts.Committer = opts.Author
	}
	p := &plan{book: b, edits: edits, opts: opts, blobs: map[string]objects.Entry{}}
	if err := errors.Join(b.checkEdits(edits), opts.check()); err != nil {
		return nil, err
	}
	if err := b.refuseUnderway(); err != nil {
		return nil, err
	}
	id, branch, err := b.resolveRef("HEAD")
	if err != nil {
		return nil, err
	}
	if p.branch = branch; string(id) != opts.Expect {
		return nil, ErrMoved
	}
	if id != "" {
		if p.head, err = b.commit(id); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// checkEdits refuses edits that do not fit the folder: what lies outside the
// book, behind a symbolic link, or where a folder is.
func (b *Book) checkEdits(edits []Edit) error {
	if err := b.CheckFolder(); err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, e := range edits {
		if err := checkPath(e.Path); err != nil {
			return err
		}
		switch {
		case e.Path == "." || e.Path == "":
			return errors.New("an edit names no file")
		case seen[e.Path]:
			return fmt.Errorf("%s is named twice in one commit", e.Path)
		case len(e.Data) > MaxFile:
			return tooLarge(e.Path)
		}
		seen[e.Path] = true
		info, err := b.lstat(e.Path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if !info.Mode().IsRegular() && (!e.Delete || e.Write) {
			return isNoFile(e.Path)
		}
	}
	return nil
}

// check refuses what cannot stand in a commit.
func (o CommitOptions) check() error {
	switch {
	case strings.TrimSpace(o.Message) == "":
		return errors.New("a commit needs a message; say what was done and why: -m \"…\"")
	case !utf8.ValidString(o.Message) || strings.ContainsRune(o.Message, 0):
		return errors.New("the message is not UTF-8 text")
	case plain(o.Author.Name) == "" || plain(o.Author.Email) == "" || plain(o.Committer.Name) == "" || plain(o.Committer.Email) == "":
		return ErrNoAuthor
	}
	return nil
}

// message gives the message ending in a line end, as git keeps it.
func (o CommitOptions) message() string { return strings.TrimRight(o.Message, "\n") + "\n" }

// underway lists the files by which git remembers work that a commit of ours
// would disturb, and how a person ends it. A bisection is not among them.
var underway = []struct{ file, what, end string }{
	{"MERGE_HEAD", "a merge", "git merge --continue, or git merge --abort"},
	{"rebase-merge", "a rebase", "git rebase --continue, or git rebase --abort"},
	{"rebase-apply", "a rebase or am", "git rebase --continue, or git rebase --abort"},
	{"CHERRY_PICK_HEAD", "a cherry-pick", "git cherry-pick --continue, or git cherry-pick --abort"},
	{"REVERT_HEAD", "a revert", "git revert --continue, or git revert --abort"},
	{"sequencer", "a cherry-pick or revert", "git cherry-pick --continue, or git cherry-pick --abort"},
}

// refuseUnderway refuses to work in the midst of a merge or the like.
func (b *Book) refuseUnderway() error {
	for _, u := range underway {
		if _, err := os.Lstat(filepath.Join(b.repo.dir, u.file)); err == nil {
			return fmt.Errorf("%w: %s is under way; end it first with: %s", ErrBusy, u.what, u.end)
		}
	}
	return nil
}

func refuseUnmerged(x *index.Index) error {
	if names := x.Unmerged(); len(names) > 0 {
		return fmt.Errorf("%w: %s is unmerged; settle it and type: git add %s", ErrBusy, names[0], names[0])
	}
	return nil
}

func (b *Book) indexFile() string { return filepath.Join(b.repo.dir, "index") }

// build makes the objects of the commit, so far beside their places. Where the
// edits change nothing, the commit is left without a hash.
func (p *plan) build() error {
	p.batch = p.book.store.NewBatch(p.book.passing)
	changes := map[string]*objects.Entry{}
	for _, e := range p.edits {
		name := p.book.inRepo(e.Path)
		changes[name] = nil
		if e.Delete {
			continue
		}
		mode, err := p.mode(e, name)
		if err != nil {
			return err
		}
		id, err := p.batch.Add(objects.Blob, e.Data)
		if err != nil {
			return err
		}
		p.blobs[name] = objects.Entry{Name: path.Base(name), Mode: mode, ID: id}
		entry := p.blobs[name]
		changes[name] = &entry
	}
	tree, err := p.newTree(p.head.tree, "", changes)
	if err != nil {
		return err
	}
	p.commit = Commit{Author: p.opts.Author, Committer: p.opts.Committer, Message: p.opts.message(), tree: tree}
	if tree == p.head.tree || p.head.Hash == "" && len(p.blobs) == 0 {
		return nil
	}
	if p.head.Hash != "" {
		p.commit.Parents = []string{p.head.Hash}
	}
	id, err := p.batch.Add(objects.Commit, p.commit.encode())
	p.commit.Hash = string(id)
	return err
}

// mode gives the mode of a file in the new tree: what the folder says, where
// the file system can be trusted with it; otherwise what it was.
func (p *plan) mode(e Edit, name string) (objects.Mode, error) {
	set, err := p.book.settings()
	if err != nil {
		return 0, err
	}
	exec := e.Exec
	old, tracked := p.index.Find(name)
	info, err := os.Lstat(p.book.osPath(e.Path))
	switch {
	case err == nil && set.is("core.filemode", true):
		exec = info.Mode().Perm()&0o100 != 0
	case tracked && old.Mode().IsFile():
		exec = old.Mode() == objects.ModeExec
	}
	if exec {
		return objects.ModeExec, nil
	}
	return objects.ModeFile, nil
}

// drop removes what the plan wrote beside and did not keep.
func (p *plan) drop() {
	if p.batch != nil {
		p.batch.Drop()
	}
	if p.folder != nil {
		p.folder.drop()
	}
}
