package book

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"syscall"

	"stackbook/record/book/objects"
)

// refFile gives the file of a ref. HEAD and a few others belong to one work
// tree, the rest to all.
func (b *Book) refFile(name string) string {
	own := !strings.HasPrefix(name, "refs/")
	for _, p := range []string{"refs/bisect/", "refs/worktree/", "refs/rewritten/"} {
		own = own || strings.HasPrefix(name, p)
	}
	if own {
		return filepath.Join(b.repo.dir, filepath.FromSlash(name))
	}
	return filepath.Join(b.repo.common, filepath.FromSlash(name))
}

// readRef gives what a ref holds: the name of an object, or that of another
// ref. Both are empty when it does not exist.
func (b *Book) readRef(name string) (id objects.ID, target string, err error) {
	// A ref that is packed between the look at its file and the look at the
	// packed ones is seen in the second; one that is unpacked by an update
	// between the two is seen only if its file is looked at again.
	for range 2 {
		text, err := os.ReadFile(b.refFile(name))
		switch {
		case err == nil:
			return b.parseRef(name, string(text))
		case !noSuchRef(err):
			return "", "", err
		}
		packed, err := b.packedRefs(name)
		if err != nil {
			return "", "", err
		}
		if id := packed[name]; id != "" {
			return id, "", nil
		}
	}
	return "", "", nil
}

// noSuchRef says whether an error of reading a ref's file means that there is
// no such ref.
func noSuchRef(err error) bool {
	for _, none := range []error{fs.ErrNotExist, syscall.ENOTDIR, syscall.EISDIR, syscall.ENAMETOOLONG} {
		if errors.Is(err, none) {
			return true
		}
	}
	return false
}

func (b *Book) parseRef(name, text string) (objects.ID, string, error) {
	text = strings.TrimRight(text, " \t\r\n")
	if target, ok := strings.CutPrefix(text, "ref:"); ok {
		if target = strings.TrimSpace(target); !strings.HasPrefix(target, "refs/") || !filepath.IsLocal(target) || strings.Contains(target, "..") {
			return "", "", fmt.Errorf("the ref %s is damaged: it names %.50q, which is no ref", name, target)
		}
		return "", target, nil
	}
	if id := objects.ID(text); b.repo.format.Valid(id) {
		return id, "", nil
	}
	return "", "", fmt.Errorf("the ref %s is damaged: it holds %.50q where the name of a commit is due", name, text)
}

// resolveRef follows a ref to an object; the ID is empty where there is none.
// last is the name of the ref that holds, or would hold, the object.
func (b *Book) resolveRef(name string) (id objects.ID, last string, err error) {
	const deepest = 5 // git's own bound on refs that name refs
	for range deepest {
		id, target, err := b.readRef(name)
		if err != nil || target == "" {
			return id, name, err
		}
		name = target
	}
	return "", name, fmt.Errorf("the ref %s names other refs without end", name)
}

// refsUnder gives the refs whose names begin with prefix (a folder of refs,
// ending in a slash), with the object each holds.
func (b *Book) refsUnder(prefix string) (map[string]objects.ID, error) {
	var loose []string
	root := b.refFile(strings.TrimSuffix(prefix, "/"))
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil || d.IsDir() || strings.HasSuffix(file, ".lock") {
			return err
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		loose = append(loose, prefix+filepath.ToSlash(rel))
		return nil
	})
	if err != nil {
		return nil, err
	}
	refs, err := b.packedRefs(prefix)
	if err != nil {
		return nil, err
	}
	for _, name := range loose { // a ref's own file counts, where it has one
		if refs[name], _, err = b.resolveRef(name); err != nil {
			return nil, err
		}
	}
	return refs, nil
}

// Tag is an annotated tag: a seal on one commit, with a message.
type Tag struct {
	Name    string // "build/SK-07/2"
	Commit  string // the hash of the commit it seals; "" where it names none
	Tagger  Signature
	Message string
}

// BuildTags is the beginning of the names of the tags that seal builds.
const BuildTags = "build/"

// TagNames gives the names of the tags that seal builds, sorted.
func (b *Book) TagNames() ([]string, error) {
	refs, err := b.refsUnder("refs/tags/" + BuildTags)
	if err != nil {
		return nil, err
	}
	var names []string
	for ref, id := range refs {
		if id != "" {
			names = append(names, strings.TrimPrefix(ref, "refs/tags/"))
		}
	}
	slices.Sort(names)
	return names, nil
}

// Tags gives the tags that seal builds, sorted by name: those of one engine or,
// for "", of all. A plain tag, without tagger and message, is among them, and so
// is one that names no commit.
func (b *Book) Tags(engine string) ([]Tag, error) {
	prefix := "refs/tags/" + BuildTags
	if engine != "" {
		prefix += engine + "/"
	}
	refs, err := b.refsUnder(prefix)
	if err != nil {
		return nil, err
	}
	var tags []Tag
	for ref, id := range refs {
		if id == "" {
			continue
		}
		tag, err := b.readTag(strings.TrimPrefix(ref, "refs/tags/"), id)
		var none *NoCommitError
		if err != nil && !errors.As(err, &none) {
			return nil, err
		}
		tags = append(tags, tag)
	}
	sort.Slice(tags, func(i, j int) bool { return tags[i].Name < tags[j].Name })
	return tags, nil
}

// Tag gives one tag by its name without "refs/tags/"; ok is false when there
// is none. One on anything but a commit is a NoCommitError.
func (b *Book) Tag(name string) (tag Tag, ok bool, err error) {
	id, _, err := b.resolveRef("refs/tags/" + name)
	if err != nil || id == "" {
		return Tag{}, false, err
	}
	tag, err = b.readTag(name, id)
	return tag, err == nil, err
}

// ResolveTag gives the commit that a tag seals; ok is false when there is no
// tag of that name. One on anything but a commit is a NoCommitError.
func (b *Book) ResolveTag(name string) (c Commit, ok bool, err error) {
	tag, ok, err := b.Tag(name)
	if err != nil || !ok {
		return Commit{}, false, err
	}
	c, err = b.commit(objects.ID(tag.Commit))
	return c, err == nil, err
}

// readTag reads the tag that a ref names, through tags of tags, down to the
// commit; tagger and message are the outermost's.
func (b *Book) readTag(name string, id objects.ID) (Tag, error) {
	tag := Tag{Name: name}
	const deepest = 10
	for depth := range deepest {
		kind, data, err := b.store.Read(id)
		if depth > 0 && errors.Is(err, objects.ErrMissing) {
			return tag, &missingError{name, id, err}
		}
		if err != nil {
			return tag, fmt.Errorf("tag %s: %w", name, err)
		}
		if kind == objects.Commit {
			tag.Commit = string(id)
			return tag, nil
		}
		if kind != objects.Tag {
			return tag, &NoCommitError{Tag: name, Names: string(kind)}
		}
		lines, message := header(data)
		for _, l := range lines {
			switch {
			case l[0] == "object":
				id = objects.ID(l[1])
			case l[0] == "tagger" && depth == 0:
				tag.Tagger = parseSignature(l[1])
			}
		}
		if depth == 0 {
			tag.Message = message
		}
	}
	return tag, fmt.Errorf("tag %s names tags without end", name)
}

// NoCommitError says that a tag stands on something that is no commit, as git
// lets it: it seals nothing.
type NoCommitError struct {
	Tag   string
	Names string // "tree" or "blob"
}

func (e *NoCommitError) Error() string {
	return fmt.Sprintf("the tag %s names a %s, not a commit", e.Tag, e.Names)
}

// missingError says that a tag is here and the commit it seals is not: history
// is cut off, or only a part of it was fetched.
type missingError struct {
	tag   string
	id    objects.ID
	cause error
}

func (e *missingError) Error() string {
	return fmt.Sprintf("commit %.10s, which the tag %s seals, is not in this clone; fetch it: git fetch --unshallow, or git fetch origin tag %s", e.id, e.tag, e.tag)
}

func (e *missingError) Unwrap() error { return e.cause }
