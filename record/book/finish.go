package book

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// finish brings a built commit into being. Up to the renaming of the index
// everything is undone if it fails; from there on at most the ref is behind, which
// leaves the work staged.
//
// While a branch is locked, HEAD itself is not: a checkout of another branch
// between the look at HEAD and the renaming, less than the time of one sync,
// would leave this commit on the branch the person was on.
func (p *plan) finish() error {
	b := p.book
	list, err := takeLock(b.passing, b.repo.dir, b.indexFile())
	if err != nil {
		return err
	}
	defer list.drop()
	began, err := list.file.Stat()
	if err != nil {
		return err
	}
	ref, err := takeLock(b.passing, b.repo.common, b.refFile(p.branch))
	if err != nil {
		return err
	}
	defer ref.drop()
	if err := p.checkAgain(); err != nil {
		return err
	}
	if err := ref.write([]byte(p.commit.Hash + "\n")); err != nil {
		return err
	}
	if err := p.settle(ref); err != nil {
		return err
	}
	return b.whole(func() error { return p.install(list, ref, began.ModTime()) })
}

// install puts folder, index and ref in their places, in this order. A signal
// waits until all three are done; where the index cannot be written, the folder
// is brought back to what it was.
func (p *plan) install(list, ref *lock, began time.Time) error {
	if err := p.folder.install(); err != nil {
		return err
	}
	err := p.writeIndex(list, began)
	if err == nil {
		err = list.install()
	}
	if err != nil {
		return errors.Join(err, p.folder.restore())
	}
	return p.moveRef(ref)
}

// checkAgain looks, now that nobody else can change it, at what was true when
// the commit was planned.
func (p *plan) checkAgain() error {
	if err := p.book.refuseUnderway(); err != nil {
		return err
	}
	id, branch, err := p.book.resolveRef("HEAD")
	if err != nil {
		return err
	}
	if string(id) != p.head.Hash || branch != p.branch {
		return ErrMoved
	}
	if same, err := p.book.sameIndex(p.index); err != nil || same {
		return err
	}
	if p.index, err = p.book.readIndex(); err != nil {
		return err
	}
	return p.checkIndex()
}

// checkIndex refuses an index that cannot take the edits in.
func (p *plan) checkIndex() error {
	if err := refuseUnmerged(p.index); err != nil {
		return err
	}
	gone := map[string]bool{}
	for _, e := range p.edits {
		gone[p.book.inRepo(e.Path)] = e.Delete
	}
	for _, e := range p.edits {
		if e.Delete {
			continue
		}
		for _, other := range p.index.Blocking(p.book.inRepo(e.Path)) {
			if !gone[other] {
				return inTheWay(other)
			}
		}
	}
	return nil
}

// settle brings all that the ref will stand for to the disk, and puts the
// objects in their places.
func (p *plan) settle(ref *lock) error {
	files := append(p.batch.Temps(), p.folder.temps()...)
	if err := syncFiles(append(files, ref.path())); err != nil {
		return err
	}
	dirs, err := p.batch.Keep()
	if err != nil {
		return err
	}
	return syncFiles(dirs)
}

// writeIndex writes the new index into its lock file. The file is dated back
// to the moment before the first look at the folder: git takes an entry as
// proven only if the file is older than the index, so that an edit in between
// cannot look clean.
func (p *plan) writeIndex(list *lock, began time.Time) error {
	differ, err := p.racy(began.Unix())
	if err != nil {
		return err
	}
	var edits []index.Edit
	for _, e := range p.edits {
		name := p.book.inRepo(e.Path)
		if e.Delete {
			edits = append(edits, index.Edit{Name: name, Delete: true})
			continue
		}
		blob := p.blobs[name]
		edits = append(edits, index.Edit{Name: name, Mode: blob.Mode, ID: blob.ID, Stat: p.book.statIfSame(e)})
	}
	p.index = p.index.Clone() // others may still look at what was read
	p.index.Smudge(differ)
	if err := p.index.Apply(edits); err != nil {
		return err
	}
	if err := list.file.Truncate(0); err != nil {
		return err
	}
	if _, err := p.index.WriteTo(io.NewOffsetWriter(list.file, 0)); err != nil {
		return err
	}
	if err := list.file.Sync(); err != nil {
		return err
	}
	return os.Chtimes(list.path(), began, began)
}

// statIfSame gives the stat of a file whose content is what the edit says; of
// any other the zero Stat, with which git compares contents.
func (b *Book) statIfSame(e Edit) index.Stat {
	name := b.osPath(e.Path)
	info, err := os.Lstat(name)
	if err != nil || !info.Mode().IsRegular() {
		return index.Stat{}
	}
	if data, err := readFile(name, e.Path); err != nil || !bytes.Equal(data, e.Data) {
		return index.Stat{}
	}
	return statOf(info)
}

// racy finds the entries that the old index did not prove, being no
// younger than their file, but the new one would, being younger. Those whose
// file differs from what is staged lose their size, as git does it. Of the
// file's stat only the size is asked: git compares times by the second, so
// that finer ones show a difference to us and not to git.
func (p *plan) racy(began int64) (differ map[string]bool, err error) {
	info, err := os.Stat(p.book.indexFile())
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	differ = map[string]bool{}
	for e := range p.index.Racy(info.ModTime().Unix(), began) {
		if e.Stage() != 0 || e.Mode() == objects.ModeGitlink {
			continue
		}
		file, err := os.Lstat(p.book.workPath(e.Name))
		if err != nil || uint32(file.Size()) != e.Stat().Size {
			continue // git sees that
		}
		if id, err := p.book.hashFile(e.Name, file); err != nil || id != e.ID() {
			differ[e.Name] = true
		}
	}
	return differ, nil
}

// moveRef tells the reflogs and renames the ref.
func (p *plan) moveRef(ref *lock) error {
	err := p.logRefs()
	if err == nil {
		err = ref.install()
	}
	if err != nil {
		return fmt.Errorf("the work is staged but not committed; git commit finishes it: %w", err)
	}
	return nil
}

// logRefs appends a line to the reflogs of HEAD and the branch.
func (p *plan) logRefs() error {
	kind := "commit"
	if p.head.Hash == "" {
		kind = "commit (initial)"
	}
	first, _, _ := strings.Cut(strings.TrimLeft(p.commit.Message, "\n"), "\n") // as git notes it
	note := kind + ": " + first
	for _, ref := range uniq("HEAD", p.branch) {
		if err := p.book.logRef(ref, p.head.Hash, p.commit.Hash, p.opts.Committer, note); err != nil {
			return err
		}
	}
	return nil
}

func uniq(a, b string) []string {
	if a == b {
		return []string{a}
	}
	return []string{a, b}
}

// logRef appends to a ref's log, which is made new where git would make it
// (core.logAllRefUpdates).
func (b *Book) logRef(ref, from, to string, who Signature, note string) error {
	set, err := b.settings()
	if err != nil {
		return err
	}
	file := filepath.Join(b.repo.common, "logs", filepath.FromSlash(ref))
	if ref == "HEAD" {
		file = filepath.Join(b.repo.dir, "logs", ref)
	}
	flags := os.O_WRONLY | os.O_APPEND
	isBranch := ref == "HEAD" || strings.HasPrefix(ref, "refs/heads/")
	if always := strings.EqualFold(set.get("core.logallrefupdates"), "always"); always || isBranch && set.is("core.logallrefupdates", true) {
		flags |= os.O_CREATE
		if err := b.passing.MkdirAll(filepath.Dir(file)); err != nil {
			return err
		}
	}
	f, err := os.OpenFile(file, flags, 0o666)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if from == "" {
		from = strings.Repeat("0", len(to))
	}
	_, err = fmt.Fprintf(f, "%s %s %s\t%s\n", from, to, who, note)
	return errors.Join(err, f.Close())
}
