package book

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"

	"stackbook/record/book/objects"
)

// FastForward brings branch and folder to where the copy's branch is.
func (c *Copy) FastForward(r Relation) error {
	b := c.book
	if err := b.refuseLocked(); err != nil {
		return err
	}
	edited, err := b.edited()
	if err != nil {
		return notMerged(err)
	}
	err = b.whole(func() error {
		_, err := b.runGit(b.untilTold(), nil, "", "merge", "-q", "--ff-only", r.Theirs)
		return err
	})
	if err != nil {
		return b.undoHalf(err, edited, r.Theirs)
	}
	return nil
}

// Merge merges the copy's branch into the folder and the index, without making
// the commit. conflicts tells that something is left for a person to settle; it
// is no error. On an error all is as before.
func (c *Copy) Merge(r Relation, message string, driver MergeDriver) (conflicts bool, err error) {
	b := c.book
	if err := b.refuseLocked(); err != nil {
		return false, err
	}
	edited, err := b.edited()
	if err != nil {
		return false, notMerged(err)
	}
	attributes, err := b.ownAttributes(driver.Attributes)
	if err != nil {
		return false, notMerged(err)
	}
	defer func() { _ = b.passing.Remove(attributes) }()
	err = b.whole(func() error {
		_, err := b.runGit(b.untilTold(), nil, "",
			"-c", "merge.stackbook.driver="+driver.Command, "-c", "core.attributesFile="+attributes,
			"-c", "merge.renames=true", "-c", "merge.directoryRenames=false", // what follows an engine's folder, its id says
			"merge", "-q", "--no-ff", "--no-commit", "--no-rerere-autoupdate", "-m", message, r.Theirs)
		return err
	})
	if err == nil {
		return false, nil
	}
	if b.Merging() {
		if conflicts, failed := b.inConflict(); conflicts || failed != nil {
			return conflicts, failed
		}
	}
	return false, b.undoHalf(err, edited, r.Theirs)
}

func notMerged(err error) error { return fmt.Errorf("%w. Git says: %w", ErrNotMerged, err) }

// inConflict tells whether a merge that git has ended with an error is one in
// conflict, of which something is unmerged. Where git could not lock or write the
// index it ends as if it were, with nothing merged: to go on from there would be to
// leave out all that they wrote. Such a merge is ended.
func (b *Book) inConflict() (bool, error) {
	staged, err := b.Staged()
	if err != nil || len(staged.Unmerged()) > 0 {
		return err == nil, err
	}
	return false, b.ForgetMerge()
}

// edited lists what the folder holds otherwise than the last commit, new files among
// it, by the path from the root of the work tree.
func (b *Book) edited() (map[string]bool, error) {
	out, err := b.Git("--no-optional-locks", "status", "--porcelain", "-z", "--untracked-files=all", "--no-renames")
	names := map[string]bool{}
	for entry := range strings.SplitSeq(out, "\x00") {
		if len(entry) > 3 {
			names[entry[3:]] = true
		}
	}
	return names, err
}

// undoHalf brings the folder back to where it was before a merge that git broke off
// after it had begun to write files, as it does where the disk is full. edited is
// what it held of the person's own. What cannot be brought back is named.
func (b *Book) undoHalf(failed error, edited map[string]bool, theirs string) error {
	half, err := b.half(edited)
	if len(half) > 0 && err == nil {
		_, _ = b.gitPaths(context.Background(), nil, half, "-C", b.repo.work, "reset", "-q") // if git came to write the index
		for _, name := range half {
			b.bringBack(name, theirs)
		}
		half, err = b.half(edited)
	}
	switch {
	case err != nil:
		return errors.Join(notMerged(failed), err)
	case len(half) > 0:
		return fmt.Errorf("%w; these files hold what came, half merged, and nothing of yours: %s; when there is room, type git restore for them, or take the new ones away. Git says: %w", ErrNotMerged, strings.Join(half, ", "), failed)
	case len(edited) > 0:
		return failed
	}
	return notMerged(failed)
}

// bringBack writes a file as the last commit has it. Where git cannot, its index
// being locked by one that was killed, a plain file is written all the same. One that
// is new to the folder, and holds what they have of it or the beginning of that, is
// taken away.
func (b *Book) bringBack(name, theirs string) {
	if _, err := b.Git("-C", b.repo.work, "restore", "--source=HEAD", "--worktree", "--", name); err == nil {
		return
	}
	file := filepath.Join(b.repo.work, filepath.FromSlash(name))
	if mode, err := b.Git("-C", b.repo.work, "ls-tree", "HEAD", "--", name); err == nil && mode != "" {
		if text, err := b.Git("cat-file", "--filters", "HEAD:"+name); err == nil && strings.HasPrefix(mode, objects.ModeFile.String()) {
			_ = os.WriteFile(file, []byte(text), 0o666)
		}
		return
	}
	came, err := b.Git("cat-file", "blob", theirs+":"+name)
	lies, failed := os.ReadFile(file)
	if err == nil && failed == nil && strings.HasPrefix(came, string(lies)) {
		for err = os.Remove(file); err == nil && within(file, b.repo.work); err = os.Remove(file) {
			file = filepath.Dir(file) // which goes too where nothing else is in it
		}
	}
}

// half lists what is edited in the folder now and was not before.
func (b *Book) half(edited map[string]bool) ([]string, error) {
	now, err := b.edited()
	maps.DeleteFunc(now, func(name string, _ bool) bool { return edited[name] })
	return sortedKeys(now), err
}

// refuseLocked refuses where another git, or what a killed one left, holds the
// index: a merge that cannot write it is none.
func (b *Book) refuseLocked() error {
	l, err := takeLock(b.passing, b.repo.dir, b.indexFile())
	if err == nil {
		l.drop()
	}
	return err
}
