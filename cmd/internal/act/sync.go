package act

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"stackbook/diff/merge"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// SyncOptions says how to bring two copies of a book together.
type SyncOptions struct {
	Remote  string            // the other copy, as git calls it; "" for the usual one
	Program string            // the absolute path by which git calls this program
	Doing   func(what string) // told what is being done; may be nil
}

// Synced is what a run of Sync came to.
type Synced struct {
	Copy     string   // the other copy and its branch: origin/main
	Received int      // commits that came from there
	Engines  []string // the numbers of the engines in them
	Sent     int      // commits that went there
	Merges   []book.Commit
	Rounds   int // how often the work was sent until nobody else had been quicker
	Told     []merge.Outcome
	Settle   *Unsettled // what a person must settle first; nil where all is done
}

// Unsettled is a merge that waits for a person. Folder and index hold it; nothing
// is committed, and nothing sent.
type Unsettled struct {
	Values   []Clash
	Outcomes []merge.Outcome // about whole files, or between them
	Problems problem.List    // of the records that were merged
	Files    []string        // that are no record and git could not merge
}

// Clash is one value that both sides changed, and by whom.
type Clash struct {
	File string
	merge.Conflict
	OursBy, TheirsBy book.Commit // the zero Commit where nobody can tell
}

// mostRounds is how often Sync begins anew when another bench was quicker.
const mostRounds = 50

// Sync brings the branch and another copy of the book together. It fetches,
// merges records by meaning, checks them, computes the figures of the merge
// (R7), and sends the outcome; when another bench was quicker, it begins anew.
// Where a merge is under way, it ends that first, as far as it is settled.
//
// Uncommitted edits stay where they are, and are not sent. Where a person must
// decide, Settle says what; SyncBack leads back to before.
func (s *Shop) Sync(opts SyncOptions) (*Synced, error) {
	c, err := s.Book.Copy(opts.Remote)
	if err != nil {
		return nil, err
	}
	alone, err := s.Book.Alone()
	if err != nil {
		return nil, err
	}
	defer alone()
	y := &syncing{shop: s, opts: opts, copy: c, done: &Synced{Copy: c.String()}}
	if s.Book.Merging() {
		if err := y.goOn(); err != nil || y.done.Settle != nil {
			return y.done, err
		}
	}
	for y.done.Rounds < mostRounds {
		sent, err := y.round()
		if err != nil || sent || y.done.Settle != nil {
			return y.done, err
		}
		time.Sleep(rand.N(20 * time.Millisecond * time.Duration(y.done.Rounds)))
	}
	return y.done, fmt.Errorf("%s moved on %d times while this was being sent; all is merged here, and nothing lost: sync again", c, mostRounds)
}

// syncing is one run of Sync.
type syncing struct {
	shop *Shop
	opts SyncOptions
	copy *book.Copy
	done *Synced

	asked []merge.Outcome // what a person was asked to settle before
}

func (y *syncing) doing(format string, args ...any) {
	if y.opts.Doing != nil {
		y.opts.Doing(fmt.Sprintf(format, args...))
	}
}

// round fetches, merges and sends once; sent tells that both copies are the
// same now.
func (y *syncing) round() (sent bool, err error) {
	y.done.Rounds++
	r, err := y.fetch()
	if err != nil || y.done.Settle != nil {
		return false, err
	}
	if err := y.take(r); err != nil || y.done.Settle != nil {
		return false, err
	}
	now, err := y.copy.Relation()
	if err != nil {
		return false, err
	}
	y.doing("sending to %s", y.copy.Remote)
	failed := y.copy.Push()
	if failed == nil {
		y.done.Sent += now.OnlyUs
		if now.Theirs == "" {
			y.done.Sent, err = y.shop.countCommits(now.Ours)
		}
		return true, err
	}
	before := r.Theirs
	if r, err = y.fetch(); err != nil || y.done.Settle != nil {
		return false, err
	}
	if r.Theirs == before && y.done.Rounds > 2 {
		return false, fmt.Errorf("%s did not take what was sent; all is merged and kept here, and the next sync sends it. Git says: %w", y.copy.Remote, failed)
	}
	return false, nil // another bench was quicker
}

// countCommits counts the commits of a range, or all up to one.
func (s *Shop) countCommits(commits string) (n int, err error) {
	out, err := s.Book.Git("rev-list", "--count", commits)
	if err == nil {
		n, err = strconv.Atoi(strings.TrimSpace(out))
	}
	return n, err
}

// fetch brings what the copy has, and tells of deliveries that are others there.
func (y *syncing) fetch() (book.Relation, error) {
	y.doing("fetching from %s", y.copy.Remote)
	clash, err := y.copy.Fetch()
	if errors.Is(err, book.ErrNotFetched) {
		return book.Relation{}, fmt.Errorf("%s was reached, and what it has could not be kept here; nothing was changed. Git says: %w", y.copy.Remote, err)
	}
	if err != nil {
		return book.Relation{}, fmt.Errorf("%s could not be reached, and nothing was changed; sync again when it can be. Git says: %w", y.copy.Remote, err)
	}
	if len(clash) > 0 {
		y.done.Settle = &Unsettled{}
		for _, tag := range clash {
			y.done.Settle.Outcomes = append(y.done.Settle.Outcomes, twoTags(tag))
		}
	}
	return y.copy.Relation()
}

// twoTags tells of a build whose delivery is one thing here and another there.
func twoTags(tag string) merge.Outcome {
	engine, build := path.Split(strings.TrimPrefix(tag, "build/"))
	engine = strings.TrimSuffix(engine, "/")
	return merge.Outcome{Name: merge.DeliveredTwice, Conflict: true, Engine: engine, Paths: []string{tag},
		Message: fmt.Sprintf("build %s of %s was delivered here and there, as two different deliveries", build, engine),
		Mend:    "an engine leaves once: find out which happened (stackbook verify " + engine + "/" + build + " on each bench); on the other bench take its tag away (git tag -d " + tag + ") and sync again"}
}

// take brings the branch to where it holds all that the copy has.
func (y *syncing) take(r book.Relation) error {
	if r.Theirs == "" || r.OnlyThe == 0 {
		return nil
	}
	changed, err := y.received(r.OnlyThe, r.Base, r.Theirs)
	if err != nil {
		return err
	}
	if r.OnlyUs == 0 {
		y.doing("taking over %d commits", r.OnlyThe)
		return editsInTheWay(y.copy.FastForward(r))
	}
	y.doing("merging")
	return y.merge(r, changed)
}

// received counts commits that came in, and gives the files they changed.
func (y *syncing) received(commits int, base, theirs string) ([]string, error) {
	changed, err := y.shop.Book.Differing(base, theirs)
	y.done.Received += commits
	y.done.Engines = unique(append(y.done.Engines, numbersOf(changed)...))
	return changed, err
}

// unique sorts words, each once.
func unique(words []string) []string { return slices.Compact(slices.Sorted(slices.Values(words))) }

// editsInTheWay says what to do when git finds edits where it is to write.
func editsInTheWay(err error) error {
	switch {
	case err == nil, errors.Is(err, book.ErrBusy):
		return err
	case errors.Is(err, book.ErrNotMerged):
		return fmt.Errorf("the work from there was fetched and not taken in; see that there is room on the disk and that no other git is at work here, then sync again: %w", err)
	}
	return fmt.Errorf("the work from there was fetched and not taken in; commit your edits first (stackbook commit ENGINE), then sync again. Git says: %w", err)
}

// numbersOf gives the numbers of the engines that files belong to.
func numbersOf(files []string) []string {
	var numbers []string
	for _, file := range files {
		if steps := strings.Split(file, "/"); len(steps) > 3 && steps[0] == "engines" {
			numbers = append(numbers, steps[2])
		}
	}
	return numbers
}

// merge merges both sides' work and makes the commit of it.
func (y *syncing) merge(r book.Relation, theirs []string) error {
	b := y.shop.Book
	prefix, err := b.InRepository()
	if err != nil {
		return err
	}
	between, err := y.shop.betweenFiles(r, theirs)
	if err != nil {
		return err
	}
	message := "Merge " + y.copy.String()
	if numbers := unique(numbersOf(theirs)); len(numbers) > 0 {
		message += ": " + Some(numbers, 6)
	}
	_, err = y.copy.Merge(r, message, book.MergeDriver{Command: mergeCommand(y.opts.Program, prefix), Attributes: attributeLines(prefix)})
	if err != nil {
		return editsInTheWay(err)
	}
	if err := y.shop.follow(between); err != nil {
		return err
	}
	return y.end(between.Outcomes)
}

// end makes the commit of a merge if nothing is left to settle, such as one of
// these outcomes.
func (y *syncing) end(outcomes []merge.Outcome) error {
	u, err := y.shop.unsettled()
	if err != nil {
		return err
	}
	for _, o := range outcomes {
		switch {
		case o.Conflict:
			u.take(o)
		case o.Name != merge.Figures:
			y.done.Told = append(y.done.Told, o)
		}
	}
	if len(u.Outcomes)+len(u.Values)+len(u.Files) > 0 {
		y.done.Settle = u
		return nil
	}
	_, err = y.shop.Hook()
	if errors.As(err, &u.Problems) {
		for _, o := range y.asked {
			if slices.ContainsFunc(u.Problems, func(p problem.Problem) bool { return within(p.File, o.Paths) }) {
				u.take(o)
			}
		}
		y.done.Settle = u
		return nil
	}
	if err != nil {
		return fmt.Errorf("all is merged, and not committed yet; stackbook sync goes on, stackbook sync --back leads back: %w", err)
	}
	c, err := y.shop.Book.EndMerge()
	if err != nil {
		return fmt.Errorf("all is merged, and git refused the commit; stackbook sync goes on, stackbook sync --back leads back. Git says: %w", err)
	}
	y.done.Merges = append(y.done.Merges, c)
	return nil
}

// SyncBack takes folder and index back to before a merge that waits for a
// person. Edits that were not committed before the merge stay.
func (s *Shop) SyncBack() error {
	if err := s.Book.CheckFolder(); err != nil {
		return err
	}
	alone, err := s.Book.Alone()
	if err != nil {
		return err
	}
	defer alone()
	if !s.Book.Merging() {
		return usage("there is nothing to go back from", "no merge is under way")
	}
	return s.Book.BackFromMerge()
}
