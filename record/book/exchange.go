package book

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"stackbook/record/book/objects"
)

// Copy is the branch of another copy of the book that the branch checked out
// here goes with. The git program carries what passes between the two, with the
// person's own credentials, hooks and settings.
type Copy struct {
	Remote string // as git's configuration names it
	Branch string // there, without refs/heads/

	book  *Book
	here  string // the branch here, without refs/heads/
	known string // the ref that keeps where the copy's branch was last seen
	track bool   // git is to remember that the two branches go together
}

// Errors to tell apart.
var (
	// ErrNoCopy: git's configuration names no other copy of the book.
	ErrNoCopy = errors.New("no other copy")
	// ErrNotFetched: the copy was reached, and what it has could not be kept here.
	ErrNotFetched = errors.New("reached, and nothing fetched")
	// ErrNotMerged: git could not write what it merged, and no edit is in the way.
	ErrNotMerged = errors.New("nothing was merged")
	// ErrUnrelated: the two branches have no commit in common.
	ErrUnrelated = errors.New("no common past")
)

// Copy gives the other copy: the remote of that name, or where it is empty, the
// one the branch is set up to go with, "origin", or the only one there is.
func (b *Book) Copy(remote string) (*Copy, error) {
	if err := b.CheckFolder(); err != nil {
		return nil, err
	}
	if err := b.refuseUnderway(); err != nil && !b.Merging() {
		return nil, err
	}
	_, ref, err := b.resolveRef("HEAD")
	if err != nil {
		return nil, err
	}
	here, onBranch := strings.CutPrefix(ref, "refs/heads/")
	if !onBranch {
		return nil, errors.New("no branch is checked out here, so there is none to bring together with another copy; type: git switch main, or whatever its name is")
	}
	c := &Copy{Remote: remote, Branch: here, book: b, here: here}
	if remote == "" {
		if c.Remote, err = b.usualRemote(here); err != nil {
			return nil, err
		}
	} else if err := b.checkRemote(remote); err != nil {
		return nil, err
	}
	goesWith := b.gitSetting("branch." + here + ".merge")
	c.track = goesWith == ""
	if branch, ok := strings.CutPrefix(goesWith, "refs/heads/"); ok && b.gitSetting("branch."+here+".remote") == c.Remote {
		c.Branch = branch
	}
	c.known = "refs/remotes/" + c.Remote + "/" + c.Branch
	return c, nil
}

// gitSetting asks git for one setting, "" where there is none.
func (b *Book) gitSetting(key string) string {
	out, _ := b.Git("config", "--get", key)
	return strings.TrimSuffix(out, "\n")
}

func (b *Book) remotes() ([]string, error) {
	out, err := b.Git("remote")
	return strings.Fields(out), err
}

// usualRemote gives the remote a branch goes with.
func (b *Book) usualRemote(branch string) (string, error) {
	names, err := b.remotes()
	if err != nil {
		return "", err
	}
	set := b.gitSetting("branch." + branch + ".remote")
	switch {
	case slices.Contains(names, set):
		return set, nil
	case slices.Contains(names, "origin"):
		return "origin", nil
	case len(names) == 1:
		return names[0], nil
	case len(names) == 0:
		return "", fmt.Errorf("%w of the book is known here; tell git of one: git remote add origin ADDRESS", ErrNoCopy)
	}
	return "", fmt.Errorf("%w is the usual one; name one of them: %s", ErrNoCopy, strings.Join(names, ", "))
}

func (b *Book) checkRemote(name string) error {
	names, err := b.remotes()
	if err != nil || slices.Contains(names, name) {
		return err
	}
	if len(names) == 0 {
		return fmt.Errorf("%w called %q is known here; tell git of it: git remote add %s ADDRESS", ErrNoCopy, name, name)
	}
	return fmt.Errorf("%w called %q is known here; there is %s", ErrNoCopy, name, strings.Join(names, ", "))
}

// String names the copy and its branch: origin/main.
func (c *Copy) String() string { return c.Remote + "/" + c.Branch }

// Fetch brings the commits of the copy's branch and its delivery tags here;
// nothing else changes. A tag that is another one here stays as it is, and is
// among those given back: R2 lets no delivery tag move.
func (c *Copy) Fetch() (clash []string, err error) {
	_, err = c.git("fetch", "-q", "--no-tags", c.Remote,
		"+refs/heads/"+c.Branch+"*:"+c.known+"*", DeliveryTags+"*:"+DeliveryTags+"*")
	if err == nil || errors.Is(err, exec.ErrNotFound) {
		return nil, err
	}
	if there, failed := c.git("ls-remote", c.Remote, DeliveryTags+"*"); failed == nil {
		clash, failed = c.otherwise(there)
		if failed != nil || len(clash) > 0 {
			return clash, failed
		}
		return nil, fmt.Errorf("%w: %w", ErrNotFetched, err)
	}
	return nil, err
}

// Alone keeps every other run that brings copies together out of this repository,
// until done is called. Such a run is waited for a while.
func (b *Book) Alone() (done func(), err error) {
	if err := b.CheckFolder(); err != nil {
		return nil, err
	}
	l, err := takeLock(b.passing, b.repo.common, filepath.Join(b.repo.common, "stackbook-sync"))
	if err != nil {
		if errors.Is(err, ErrBusy) {
			err = fmt.Errorf("%w: another stackbook sync is at work in this copy of the book; sync again when it is through", ErrBusy)
		}
		return nil, err
	}
	return l.drop, nil
}

// DeliveryTags is where the tags of delivered builds are.
const DeliveryTags = "refs/tags/build/"

// otherwise gives the tags that git lists of the copy and that are others here.
func (c *Copy) otherwise(list string) (clash []string, err error) {
	for line := range strings.Lines(list) {
		id, ref, _ := strings.Cut(strings.TrimSpace(line), "\t")
		here, _, err := c.book.readRef(ref)
		if err != nil {
			return nil, err
		}
		if here != "" && string(here) != id {
			clash = append(clash, strings.TrimPrefix(ref, "refs/tags/"))
		}
	}
	return clash, nil
}

// git runs git for as long as the run is not broken off.
func (c *Copy) git(args ...string) (string, error) {
	return c.book.runGit(c.book.passing.Broken(), nil, "", args...)
}

// Relation is how the two branches stand to each other.
type Relation struct {
	Base    string // the commit both come from; "" where one side has none at all
	Ours    string // the last commit here, "" for none
	Theirs  string // the last commit there, as last fetched; "" for none
	OnlyUs  int    // commits that only we have
	OnlyThe int    // commits that only they have
}

// Relation compares the branch with what was last fetched of the copy's.
func (c *Copy) Relation() (Relation, error) {
	var r Relation
	ours, _, err := c.book.resolveRef("HEAD")
	if err != nil {
		return r, err
	}
	theirs, _, err := c.book.readRef(c.known)
	if err != nil {
		return r, err
	}
	r.Ours, r.Theirs = string(ours), string(theirs)
	if ours == "" || theirs == "" {
		return r, nil
	}
	base, err := c.git("merge-base", r.Ours, r.Theirs)
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 1 {
		return r, fmt.Errorf("%w: this branch and %s share no commit; "+c.noBaseMend(), ErrUnrelated, c)
	}
	if err != nil {
		return r, err
	}
	r.Base = strings.TrimSpace(base)
	counts, err := c.git("rev-list", "--left-right", "--count", r.Ours+"..."+r.Theirs)
	if err != nil {
		return r, err
	}
	left, right, _ := strings.Cut(strings.TrimSpace(counts), "\t")
	r.OnlyUs, err = strconv.Atoi(left)
	if err == nil {
		r.OnlyThe, err = strconv.Atoi(right)
	}
	return r, err
}

func (c *Copy) noBaseMend() string {
	if cut, err := c.book.shallow(); err == nil && len(cut) > 0 {
		return "the past was cut off by git clone --depth: type git fetch --unshallow, and sync again"
	}
	return "they are two books, and cannot be brought together"
}

// MergeDriver is the program git merges records by, and the lines of attributes
// that lead them to it.
type MergeDriver struct{ Command, Attributes string }

// ownAttributes makes a file of attributes for one run of git: the person's own,
// which it takes the place of, after these.
func (b *Book) ownAttributes(lines string) (string, error) {
	own, _ := b.Git("config", "--type=path", "--get", "core.attributesFile")
	if own = strings.TrimSuffix(own, "\n"); own == "" {
		own = filepath.Join(b.configHome(), "git", "attributes")
	}
	text, err := readIfThere(own)
	if err != nil {
		return "", err
	}
	const mine = "stackbook-attributes-"
	entries, err := os.ReadDir(b.repo.dir)
	if err != nil {
		return "", err
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), mine) { // of a run that was killed: this one has the lock
			_ = os.Remove(filepath.Join(b.repo.dir, e.Name()))
		}
	}
	f, err := b.passing.CreateTemp(b.repo.dir, mine+"*")
	if err != nil {
		return "", err
	}
	_, err = f.WriteString(lines + string(text))
	return f.Name(), errors.Join(err, f.Close())
}

// Merging tells whether a merge is under way.
func (b *Book) Merging() bool {
	_, err := os.Lstat(filepath.Join(b.repo.dir, "MERGE_HEAD"))
	return err == nil
}

// MergedFrom gives the commit that a merge under way takes in, "" where there is
// none. Of a merge of several at once it is the first.
func (b *Book) MergedFrom() (string, error) {
	text, err := readIfThere(filepath.Join(b.repo.dir, "MERGE_HEAD"))
	line, _, _ := strings.Cut(string(text), "\n")
	return line, err
}

// EndMerge makes the commit of a merge under way, of what is staged and with the
// message the merge began with. Git makes it, with hooks and signature.
func (b *Book) EndMerge() (Commit, error) {
	if err := b.refuseLocked(); err != nil {
		return Commit{}, err
	}
	err := b.whole(func() error {
		_, err := b.runGit(b.untilTold(), nil, "", "commit", "-q", "--no-edit", "--cleanup=strip")
		return err
	})
	if err != nil {
		return Commit{}, err
	}
	c, _, err := b.Head()
	return c, err
}

// ForgetMerge lets git forget a merge under way. Folder and index stay as they are.
func (b *Book) ForgetMerge() error {
	_, err := b.Git("merge", "--quit")
	return err
}

// BackFromMerge takes folder and index back to before a merge under way.
func (b *Book) BackFromMerge() error {
	return b.whole(func() error {
		_, err := b.runGit(b.untilTold(), nil, "", "merge", "--abort")
		return err
	})
}

// Add stages files as they lie in the folder; one that is gone is staged as gone.
func (b *Book) Add(files []string) error {
	if len(files) == 0 {
		return nil
	}
	_, err := b.gitPaths(context.Background(), nil, files, "add", "-A", "-f")
	return err
}

// Differing gives the files of the book in which two commits differ, sorted.
func (b *Book) Differing(from, to string) ([]string, error) {
	out, err := b.Git("diff-tree", "-r", "-z", "--name-only", "--no-renames", "--relative", from, to)
	return splitNul(out), err
}

// Between gives the commits that to has and from has not, and that changed a
// file; oldest first.
func (b *Book) Between(from, to, file string) ([]Commit, error) {
	out, err := b.Git("rev-list", "--reverse", from+".."+to, "--", file)
	if err != nil {
		return nil, err
	}
	var commits []Commit
	for _, id := range strings.Fields(out) {
		c, err := b.commit(objects.ID(id))
		if err != nil {
			return nil, err
		}
		commits = append(commits, c)
	}
	return commits, nil
}

// Push sends the branch and its delivery tags to the copy, all of them or none.
func (c *Copy) Push() error {
	args := []string{"push", "-q", "--atomic"}
	if c.track {
		args = append(args, "--set-upstream")
	}
	_, err := c.git(append(args, c.Remote, "refs/heads/"+c.here+":refs/heads/"+c.Branch, DeliveryTags+"*:"+DeliveryTags+"*")...)
	return err
}
