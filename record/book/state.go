package book

import (
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"time"

	"stackbook/record/book/objects"
)

// Head gives the commit that the folder stands on; ok is false in a
// repository that has none yet.
func (b *Book) Head() (c Commit, ok bool, err error) {
	id, _, err := b.resolveRef("HEAD")
	if err != nil || id == "" {
		return Commit{}, false, err
	}
	c, err = b.commit(id)
	return c, err == nil, err
}

// commit reads one commit. In a shallow clone, the parents that were not
// fetched are left out, and the commit is Cut.
func (b *Book) commit(id objects.ID) (Commit, error) {
	data, err := b.store.ReadKind(id, objects.Commit)
	if err != nil {
		return Commit{}, err
	}
	return b.asCommit(id, data)
}

func (b *Book) asCommit(id objects.ID, data []byte) (Commit, error) {
	c, err := parseCommit(id, data)
	if err != nil {
		return c, err
	}
	cut, err := b.shallow()
	if err != nil {
		return c, err
	}
	if cut[id] && len(c.Parents) > 0 {
		c.Parents, c.Cut = nil, true
	}
	return c, nil
}

// Resolve gives the commit that a person names, in any way git knows: a hash
// or the beginning of one, a branch, a tag, HEAD~2. What is not a plain name
// or hash is put to the git program.
func (b *Book) Resolve(rev string) (Commit, error) {
	if len(rev) > longestRev {
		return Commit{}, b.unknown(rev)
	}
	if rev == "" || strings.HasPrefix(rev, "-") || strings.ContainsAny(rev, "\x00\n") {
		return Commit{}, fmt.Errorf("%q is not a revision; %s", rev, revForms)
	}
	id, err := b.resolvePlain(rev)
	if err != nil {
		return Commit{}, err
	}
	if id == "" {
		out, err := b.Git("rev-parse", "--verify", "--quiet", "--end-of-options", rev)
		if err != nil {
			return Commit{}, b.unresolved(rev, err)
		}
		id = objects.ID(strings.TrimPrefix(strings.TrimSpace(out), "--end-of-options\n"))
	}
	tag, err := b.readTag(rev, id)
	if errors.Is(err, objects.ErrMissing) && rev == string(id) { // a hash that nothing here has
		return Commit{}, b.unknown(rev)
	}
	if err != nil {
		return Commit{}, fmt.Errorf("%s does not name a commit: %w", rev, err)
	}
	return b.commit(objects.ID(tag.Commit))
}

// longestRev is the longest text that is looked up as a revision, in bytes. No
// name of a branch or tag is near it.
const longestRev = 1024

const revForms = "a commit's hash or its first digits, a branch, a tag, or HEAD~2 would be one"

// unknown says that there is no such revision, without the whole of a long one.
func (b *Book) unknown(rev string) error {
	const most = 60
	if short := []rune(rev); len(short) > most {
		rev = string(short[:most]) + "…"
	}
	if c, cut, err := b.CutOff(); err == nil && cut {
		return fmt.Errorf("the book knows no revision %s, and %s; type: git fetch --unshallow", rev, c.CutOff())
	}
	return fmt.Errorf("the book knows no revision %s; %s", rev, revForms)
}

// unresolved says why a revision gives no commit. What git has to say of it is
// left out: it speaks of the command it was given and of where the book lies.
func (b *Book) unresolved(rev string, err error) error {
	if len(rev) >= 4 && objects.IsHex(rev) {
		if ids, err := b.store.Prefix(rev); err == nil && len(ids) > 1 {
			return fmt.Errorf("%s is the beginning of several names in this book; type more digits", rev)
		}
	}
	var exit *exec.ExitError
	if !errors.As(err, &exit) {
		return err
	}
	return b.unknown(rev)
}

// resolvePlain resolves a full hash, the name of a ref, or the beginning of a
// hash that only one commit has, in git's order; empty when it is none of these.
func (b *Book) resolvePlain(rev string) (objects.ID, error) {
	lower := strings.ToLower(rev)
	if id := objects.ID(lower); b.repo.format.Valid(id) {
		return id, nil
	}
	if isRefName(rev) {
		for _, form := range []string{"%s", "refs/%s", "refs/tags/%s", "refs/heads/%s", "refs/remotes/%s", "refs/remotes/%s/HEAD"} {
			name := fmt.Sprintf(form, rev)
			if !strings.HasPrefix(name, "refs/") && name != strings.ToUpper(name) {
				continue // beside refs/ only HEAD and its like are refs
			}
			id, _, err := b.resolveRef(name)
			if err != nil || id != "" {
				return id, err
			}
		}
	}
	if len(lower) < 4 || !objects.IsHex(lower) {
		return "", nil
	}
	return b.onlyCommit(lower)
}

// onlyCommit gives the one commit whose name begins with the digits given.
func (b *Book) onlyCommit(digits string) (objects.ID, error) {
	ids, err := b.store.Prefix(digits)
	if err != nil {
		return "", err
	}
	var found objects.ID
	for _, id := range ids {
		kind, _, err := b.store.Read(id)
		switch {
		case err != nil:
			return "", err
		case kind == objects.Commit && found != "":
			return "", nil
		case kind == objects.Commit:
			found = id
		}
	}
	return found, nil
}

// isRefName says whether git would take name for the name of a ref, as far as
// it matters for asking the file system.
func isRefName(name string) bool {
	return !strings.ContainsAny(name, " ~^:?*[\\\x7f") && !strings.Contains(name, "..") &&
		!strings.Contains(name, "@{") && !strings.HasSuffix(name, ".lock") &&
		!strings.HasPrefix(name, "/") && !strings.HasSuffix(name, "/") && !strings.HasPrefix(name, ".")
}

// OnOrBefore gives the newest commit on HEAD's first-parent line whose
// committer day, in the zone written in that commit, is on or before day
// (YYYY-MM-DD). Clocks go wrong, so a commit counts as made on the latest day
// of all commits up to it; where that touches the answer, the remark says so,
// and that history is cut off, where it is. What lies before the cut is a
// CutOffError.
func (b *Book) OnOrBefore(day string) (c Commit, remark string, err error) {
	if _, err := time.Parse(time.DateOnly, day); err != nil {
		return Commit{}, "", fmt.Errorf("%q is not a date; 2024-06-01 would be", day)
	}
	head, err := b.Tip()
	if err != nil {
		return Commit{}, "", err
	}
	if head != "" {
		if c, remark, answered, err := b.onOrBeforeByIndex(head, day); err != nil || answered {
			return c, remark, err
		}
	}
	return b.onOrBeforeByWalk(day)
}

// onOrBeforeByWalk is OnOrBefore by reading every commit of the line.
func (b *Book) onOrBeforeByWalk(day string) (c Commit, remark string, err error) {
	line, err := b.firstParents()
	if err != nil {
		return Commit{}, "", err
	}
	found, latest := -1, ""
	var early string // a commit left out although its own day would let it in
	for i, c := range line {
		own := c.Committer.When.Format(time.DateOnly)
		latest = max(latest, own)
		switch {
		case latest <= day:
			found = i
			if remark = ""; own < latest {
				remark = behind(c.Hash, own, latest)
			}
		case own <= day && early == "":
			early = leftOut(c.Hash, own, latest)
		}
	}
	if found < 0 {
		return Commit{}, early, b.nothingBefore(day, line)
	}
	if early != "" {
		remark = early
	}
	if remark == "" && line[0].Cut {
		remark = toldFromThere(line[0])
	}
	return line[found], remark, nil
}

// behind is the remark on a commit that counts as made later than it says.
func behind(hash, own, latest string) string {
	return fmt.Sprintf("commit %.10s is dated %s, before a commit it follows, of %s: a clock was wrong", hash, own, latest)
}

// leftOut is the remark on a commit whose own day would let it in.
func leftOut(hash, own, latest string) string {
	return fmt.Sprintf("commit %.10s is dated %s but follows one of %s and was left out: a clock was wrong", hash, own, latest)
}

func toldFromThere(first Commit) string { return first.CutOff() + ": days are told from there on" }

func (b *Book) nothingBefore(day string, line []Commit) error {
	if len(line) == 0 {
		return errors.New("the book has no commit yet")
	}
	if line[0].Cut {
		return &CutOffError{"what was committed on or before " + day, line[0]}
	}
	first := line[0].Committer.When.Format(time.DateOnly)
	return fmt.Errorf("nothing was committed on or before %s; the book's first commit is of %s", day, first)
}

// firstParents gives HEAD's first-parent line, from the root.
func (b *Book) firstParents() ([]Commit, error) {
	c, ok, err := b.Head()
	var line []Commit
	for ok && err == nil {
		line = append(line, c)
		if len(c.Parents) == 0 {
			break
		}
		c, err = b.commit(objects.ID(c.Parents[0]))
	}
	for i, j := 0, len(line)-1; i < j; i, j = i+1, j-1 {
		line[i], line[j] = line[j], line[i]
	}
	return line, err
}
