package book

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// needsGit reads the index and says why, if at all, the git program must make
// the commit. It is the whole list; nothing is written before it is through.
func (p *plan) needsGit() (reason string, err error) {
	b := p.book
	if b.repo.format != objects.SHA1 {
		return "objects are named by " + b.repo.format.String(), nil
	}
	p.index, err = b.readIndex()
	if errors.Is(err, index.ErrForeign) {
		return err.Error(), nil
	}
	if err != nil {
		return "", err
	}
	for _, e := range p.edits {
		if p.index.Folds(b.inRepo(e.Path)) {
			return e.Path + " lies in a folder that is not checked out", nil
		}
	}
	if err := p.checkIndex(); err != nil {
		return "", err
	}
	set, err := b.settings()
	if err != nil {
		return "", err
	}
	if reason := b.settingForGit(set); reason != "" {
		return reason, nil
	}
	var paths []string
	for _, e := range p.edits {
		if !e.Delete {
			paths = append(paths, b.inRepo(e.Path))
		}
	}
	convert, err := b.converted(p.index, paths)
	for _, name := range paths {
		if convert[name] {
			return name + " is converted on its way into git", err
		}
	}
	return "", err
}

// settingForGit looks for hooks and settings that only the git program heeds.
func (b *Book) settingForGit(set settings) string {
	if hook := b.hook(set); hook != "" {
		return "there is a hook, " + hook
	}
	switch strings.ToLower(set.get("i18n.commitencoding")) {
	case "", "utf-8", "utf8":
	default:
		return "i18n.commitEncoding is set"
	}
	switch strings.ToLower(set.get("core.sharedrepository")) {
	case "", "umask", "false", "0", "no", "off":
	default:
		return "core.sharedRepository is set"
	}
	if set.is("commit.gpgsign", false) {
		return "commit.gpgSign is set"
	}
	return ""
}

// hooksDir gives the folder in which git looks for hooks.
func (b *Book) hooksDir(set settings) string {
	if own := set.get("core.hookspath"); own != "" {
		return absIn(b.repo.work, b.expand(own))
	}
	return filepath.Join(b.repo.common, "hooks")
}

// hook gives the first hook that a commit would run, or "". Ours is none: what it
// sees to, whoever makes a commit here has seen to.
func (b *Book) hook(set settings) string {
	for _, name := range []string{"pre-commit", "prepare-commit-msg", "commit-msg", "post-commit", "post-index-change", "reference-transaction"} {
		file := filepath.Join(b.hooksDir(set), name)
		info, err := os.Stat(file)
		if err == nil && info.Mode().IsRegular() && (runtime.GOOS == "windows" || info.Mode()&0o111 != 0) && !oursAlone(file) {
			return file
		}
	}
	return ""
}

// handOver lets the git program make the commit: the tool's own files are put
// into the folder, files new to git are added, and the commit takes the named
// paths alone. If git refuses, folder and index are as before.
func (p *plan) handOver(reason string) (Commit, error) {
	b := p.book
	if err := p.checkFolder(); err != nil {
		return Commit{}, err
	}
	before, err := p.folderNow()
	if err != nil {
		return Commit{}, err
	}
	var c Commit
	err = b.whole(func() error {
		c, err = p.gitOrUndo(reason, before)
		return err
	})
	return c, err
}

// gitOrUndo runs git on the edits and, if it makes no commit of them, undoes
// what was done for it.
func (p *plan) gitOrUndo(reason string, before []Edit) (Commit, error) {
	b := p.book
	if err := b.put(p.edits, run); err != nil {
		return Commit{}, err
	}
	added, err := p.gitCommit(b.untilTold())
	c, _, failed := b.Head()
	if err == nil {
		return c, failed
	}
	if p.made(c) { // and was ended before it brought the index in line
		_, err = b.gitPaths(context.Background(), nil, p.paths(), "reset", "-q")
		return c, err
	}
	if len(added) > 0 {
		_, failed := b.gitPaths(context.Background(), nil, added, "rm", "--cached", "-q", "-f", "--ignore-unmatch")
		err = errors.Join(err, failed)
	}
	if !errors.Is(err, ErrNothing) {
		err = errors.Join(fmt.Errorf("git makes this commit itself (%s) and refused: %w", reason, err), b.put(before, run))
	}
	return Commit{}, err
}

// run is what stands for Whole where one is under way.
func run(do func() error) error { return do() }

// made says whether a commit is the one that git was to make: a git that is
// ended by a signal, or by a hook that runs afterwards, may have made it all
// the same.
func (p *plan) made(c Commit) bool {
	return c.Hash != p.head.Hash && c.Author.String() == p.opts.Author.String() &&
		(p.head.Hash == "" || slices.Contains(c.Parents, p.head.Hash))
}

// checkFolder makes sure that git will read from the folder what the edits say.
func (p *plan) checkFolder() error {
	for _, e := range p.edits {
		if e.Write {
			continue
		}
		data, err := p.book.Folder().Read(e.Path)
		if e.Delete && err != nil {
			continue
		}
		if err != nil {
			return err
		}
		if e.Delete || !bytes.Equal(data, e.Data) {
			return fmt.Errorf("%s was changed meanwhile; try again", e.Path)
		}
	}
	return nil
}

// folderNow gives the edits that undo those marked Write.
func (p *plan) folderNow() ([]Edit, error) {
	var undo []Edit
	for _, e := range p.edits {
		if !e.Write {
			continue
		}
		data, err := p.book.Folder().Read(e.Path)
		if err != nil {
			if err = ignoreAbsent(e.Path, err); err != nil {
				return nil, err
			}
			undo = append(undo, Edit{Path: e.Path, Delete: true, Write: true})
			continue
		}
		undo = append(undo, Edit{Path: e.Path, Data: data, Write: true})
	}
	return undo, nil
}

// gitGrace is how long git may go on in a run that is broken off. Most commits
// are done by then; being told to end, git may leave a lock behind.
const gitGrace = 2 * time.Second

// untilTold gives a context that is done when git has to end.
func (b *Book) untilTold() context.Context {
	ctx, end := context.WithCancel(context.Background())
	context.AfterFunc(b.passing.Broken(), func() { time.AfterFunc(gitGrace, end) })
	return ctx
}

// gitCommit runs the git program. It gives the paths that were staged for the
// first time, which are to be taken back if the commit fails.
func (p *plan) gitCommit(ctx context.Context) (added []string, err error) {
	b := p.book
	all := p.paths()
	staged, err := b.gitNames(all, "ls-files", "-z")
	if err != nil {
		return nil, err
	}
	for _, e := range p.edits {
		if !e.Delete && !staged[e.Path] {
			added = append(added, e.Path)
		}
	}
	if len(added) > 0 {
		if _, err := b.gitPaths(ctx, nil, added, "add", "-f"); err != nil {
			return added, err
		}
	}
	changed, err := p.changedForGit(all)
	if err != nil || len(changed) == 0 {
		return added, errors.Join(err, ErrNothing)
	}
	_, err = b.gitPaths(ctx, p.env(), changed, "commit", "-q", "--only", "--cleanup=verbatim", "-m", p.opts.message())
	return added, err
}

// paths gives the paths of all edits.
func (p *plan) paths() []string {
	var all []string
	for _, e := range p.edits {
		all = append(all, e.Path)
	}
	return all
}

// changedForGit gives those of the paths in which folder and HEAD differ.
func (p *plan) changedForGit(all []string) ([]string, error) {
	if p.head.Hash == "" {
		names, err := p.book.gitNames(all, "ls-files", "-z")
		return sortedKeys(names), err
	}
	names, err := p.book.gitNames(all, "diff", "--name-only", "-z", "--relative", "--no-renames", "HEAD")
	return sortedKeys(names), err
}

// gitNames runs a command of git that prints paths, each ending in a zero byte.
func (b *Book) gitNames(paths []string, args ...string) (map[string]bool, error) {
	names := map[string]bool{}
	for len(paths) > 0 {
		n := min(500, len(paths)) // well below what a command line can hold
		out, err := b.Git(append(append(args[:len(args):len(args)], "--"), paths[:n]...)...)
		if err != nil {
			return nil, err
		}
		for name := range strings.SplitSeq(strings.TrimSuffix(out, "\x00"), "\x00") {
			if name != "" {
				names[name] = true
			}
		}
		paths = paths[n:]
	}
	return names, nil
}

// gitPaths runs a command of git that reads paths from its input.
func (b *Book) gitPaths(ctx context.Context, env, paths []string, args ...string) (string, error) {
	args = append(args, "--pathspec-from-file=-", "--pathspec-file-nul")
	return b.runGit(ctx, env, strings.Join(paths, "\x00"), args...)
}

// env gives author and committer as git takes them, and the caller's own.
func (p *plan) env() []string {
	var env []string
	for _, who := range []struct {
		role string
		Signature
	}{{"AUTHOR", p.opts.Author}, {"COMMITTER", p.opts.Committer}} {
		env = append(env,
			"GIT_"+who.role+"_NAME="+who.Name,
			"GIT_"+who.role+"_EMAIL="+who.Email,
			fmt.Sprintf("GIT_%s_DATE=@%d %s", who.role, who.When.Unix(), who.When.Format("-0700")))
	}
	return append(env, p.opts.Env...)
}
