package book

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"stackbook/record/book/objects"
)

// Seal makes the annotated tag. A tag of that name on the same commit is
// left as it is, so that sealing can be done again after a crash; one on
// another commit is never moved, but an error.
func (b *Book) Seal(tag Tag) error {
	if !isRefName(tag.Name) || strings.ContainsFunc(tag.Name, func(r rune) bool { return r < ' ' }) {
		return fmt.Errorf("%q cannot be the name of a tag", tag.Name)
	}
	if plain(tag.Tagger.Name) == "" || plain(tag.Tagger.Email) == "" {
		return ErrNoAuthor
	}
	old, ok, err := b.Tag(tag.Name)
	if err != nil {
		return err
	}
	if ok {
		return sealed(old, tag)
	}
	if _, err := b.commit(objects.ID(tag.Commit)); err != nil {
		return err
	}
	set, err := b.settings()
	if err != nil {
		return err
	}
	if set.is("tag.gpgsign", false) || isFile(filepath.Join(b.hooksDir(set), "reference-transaction")) {
		return b.sealByGit(tag)
	}
	return b.sealDirectly(tag)
}

// sealed judges a tag that is there already.
func sealed(old, tag Tag) error {
	if old.Commit == tag.Commit {
		return nil
	}
	return fmt.Errorf("the tag %s seals commit %.10s already and is never moved to %.10s", tag.Name, old.Commit, tag.Commit)
}

func (b *Book) sealByGit(tag Tag) error {
	env := []string{
		"GIT_COMMITTER_NAME=" + tag.Tagger.Name,
		"GIT_COMMITTER_EMAIL=" + tag.Tagger.Email,
		fmt.Sprintf("GIT_COMMITTER_DATE=@%d %s", tag.Tagger.When.Unix(), tag.Tagger.When.Format("-0700")),
	}
	_, err := b.runGit(context.Background(), env, tag.Message, "tag", "-a", "--cleanup=verbatim", "-F", "-", "--", tag.Name, tag.Commit)
	return err
}

// sealDirectly writes the tag object, then the ref, both beside and renamed.
func (b *Book) sealDirectly(tag Tag) error {
	var text bytes.Buffer
	fmt.Fprintf(&text, "object %s\ntype commit\ntag %s\ntagger %s\n\n%s\n",
		tag.Commit, tag.Name, tag.Tagger, strings.TrimRight(tag.Message, "\n"))
	batch := b.store.NewBatch(b.passing)
	defer batch.Drop()
	id, err := batch.Add(objects.Tag, text.Bytes())
	if err != nil {
		return err
	}
	ref := "refs/tags/" + tag.Name
	l, err := takeLock(b.passing, b.repo.common, b.refFile(ref))
	if err != nil {
		return err
	}
	defer l.drop()
	if old, ok, err := b.Tag(tag.Name); err != nil || ok {
		return errors.Join(err, sealed(old, tag))
	}
	if err := l.write([]byte(id + "\n")); err != nil {
		return err
	}
	if err := syncFiles(append(batch.Temps(), l.path())); err != nil {
		return err
	}
	dirs, err := batch.Keep()
	if err != nil {
		return err
	}
	if err := syncFiles(dirs); err != nil {
		return err
	}
	return l.install()
}
