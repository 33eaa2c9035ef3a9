package act

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/schema/problem"
)

// inShort is an error as a person reads it: problems a line each.
func inShort(t *testing.T, err error) string {
	t.Helper()
	require.Error(t, err)
	return strings.ReplaceAll(err.Error(), smallFolder, "")
}

// R18: a build rests on its records, so its delivery is not dated before them;
// what it takes later may be later. The next one is not opened before it.
func TestR18DatesFollowOneAnother(t *testing.T) {
	b := smallBook(t)
	_, err := b.Closing("SK-07", DeliverOptions{Moment: Moment{Date: "2026-01-31 18:00"}})
	assert.Equal(t, "build 1 of SK-07 has a record of 2026-02-01, measurements/2026-02-01-dyno-KM.yaml, and the delivery would be of 2026-01-31; "+
		"write the day it was handed over: --date 2026-02-01; or mend the date of that record", inShort(t, err))
	b.write("changes/2026-02-05-event.yaml", changeOf(1, "2026-02-05", "event"))
	c, err := b.Closing("SK-07", DeliverOptions{Moment: Moment{Date: "2026-02-01"}})
	require.NoError(t, err)
	_, err = b.Deliver(c)
	require.NoError(t, err)

	_, err = b.Reopen("SK-07", ReopenOptions{Moment: Moment{Date: "2026-01-31"}, Why: "takes water"})
	assert.Equal(t, "build 1 of SK-07 was delivered on 2026-02-01, and the next would be opened on 2026-01-31; write the day it came back: --date 2026-02-01, or later", inShort(t, err))
	_, err = b.Reopen("SK-07", ReopenOptions{Moment: Moment{Date: "2026-02-01"}, Why: "takes water"})
	require.NoError(t, err)
	b.git("fsck", "--strict")
}

// What is wrong with a file that was not written is told of the option it came
// from, and once where several files took it over; a file that is there keeps
// its name.
func TestProblemsNameTheOption(t *testing.T) {
	b := smallBook(t)
	deliver := func(m Moment) error {
		c, err := b.Closing("SK-07", DeliverOptions{Moment: m})
		require.NoError(t, err)
		_, err = b.Deliver(c)
		return err
	}
	assert.Contains(t, inShort(t, deliver(Moment{Hours: "3 h"})), "--hours: the engine has 3 h here, and had 4 h on 2026-02-01 by measurements/2026-02-01-dyno-KM.yaml:6")
	assert.Contains(t, inShort(t, deliver(Moment{Hours: "5 h", HoursError: "-1 h"})), "--hours-error: hours_error: -1 h is less than 0 h")
	assert.Empty(t, b.git("status", "--porcelain", "*delivery*"))
	require.NoError(t, deliver(Moment{Hours: "5 h"}))

	reopen := func(m Moment) problem.List {
		_, err := b.Reopen("SK-07", ReopenOptions{Moment: m, Why: "takes water"})
		var list problem.List
		require.ErrorAs(t, err, &list)
		return list
	}
	list := reopen(Moment{Hours: "2 h"})
	require.Len(t, list, 1, "the teardown and three sessions have the hours")
	assert.Equal(t, "--hours", list[0].File)
	b.write("spec.yaml", smallSpec+"weight: 1\n")
	assert.Equal(t, smallFolder+"spec.yaml", reopen(Moment{Hours: "6 h"})[0].File)
	assert.Empty(t, b.git("status", "--porcelain", "*teardown*", "*as-received*"))
}

// Initials stand in the names of files, which a file system bounds.
func TestByIsShort(t *testing.T) {
	b := smallBook(t)
	b.deliver()
	_, err := b.Reopen("SK-07", ReopenOptions{Moment: Moment{By: strings.Repeat("å", 41)}, Why: "takes water"})
	assert.Equal(t, "--by has more than 40 letters; write initials: --by KM", inShort(t, err))
	_, err = b.Reopen("SK-07", ReopenOptions{Moment: Moment{By: strings.Repeat("å", 40)}, Why: "takes water"})
	require.NoError(t, err)
}

// A delivery rests on book.yaml and the limits: on a branch without a commit
// there are none, and a build that could not be sealed is not committed.
func TestDeliverNeedsACommittedBook(t *testing.T) {
	b := smallBook(t)
	b.git("checkout", "-q", "--orphan", "new")
	_, err := b.Closing("SK-07", DeliverOptions{})
	assert.Equal(t, `nothing is committed on this branch, and what is delivered rests on book.yaml; commit the book first: stackbook commit --book -m "..."`, inShort(t, err))
	_, err = b.CommitBook(CommitOptions{Message: "the book"})
	require.NoError(t, err)
	b.deliver()
}

// Two runs close one build: one of them does, and the other says so.
func TestDeliverMeanwhile(t *testing.T) {
	b := smallBook(t)
	first, err := b.Closing("SK-07", DeliverOptions{})
	require.NoError(t, err)
	second, err := b.Closing("SK-07", DeliverOptions{})
	require.NoError(t, err)
	_, err = b.Deliver(first)
	require.NoError(t, err)
	_, err = b.Deliver(second)
	assert.Equal(t, "build 1 of SK-07 was delivered meanwhile, by another run; look at it: stackbook verify SK-07/1", inShort(t, err))
	assert.Empty(t, b.git("status", "--porcelain"))
	b.git("fsck", "--strict")
}

// R2: where the commit was made and its seal could not be, that is said, with
// what makes it.
func TestR2CommittedAndNotSealed(t *testing.T) {
	b := smallBook(t)
	lock := filepath.Join(b.dir, ".git", "refs", "tags", "build", "SK-07", "1.lock")
	require.NoError(t, os.MkdirAll(filepath.Dir(lock), 0o777))
	require.NoError(t, os.WriteFile(lock, nil, 0o666))
	c, err := b.Closing("SK-07", DeliverOptions{})
	require.NoError(t, err)
	_, err = b.Deliver(c)
	told := inShort(t, err)
	assert.Contains(t, told, "build 1 of SK-07 is delivered by commit "+b.git("rev-parse", "HEAD")[:10]+", and its seal could not be made: ")
	assert.Contains(t, told, "; once that is mended: stackbook deliver SK-07")
	require.NoError(t, os.Remove(lock))
	assert.Nil(t, b.deliver().Committed)
}

// R2: a tag without a sum is no seal, and stays where a person put it.
func TestR2PlainTagIsNoSeal(t *testing.T) {
	b := smallBook(t)
	sealed := b.deliver()
	b.git("tag", "-d", "build/SK-07/1")
	b.git("tag", "build/SK-07/1")
	_, err := b.Closing("SK-07", DeliverOptions{})
	assert.Equal(t, "build 1 of SK-07 was delivered on 2026-03-02, and its tag is a plain one, without the sum of a seal; take it away, and deliver makes the seal: git tag -d build/SK-07/1", inShort(t, err))
	b.git("tag", "-d", "build/SK-07/1")
	assert.Equal(t, sealed.Sum, b.deliver().Sum)
}
