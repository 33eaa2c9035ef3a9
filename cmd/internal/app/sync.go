package app

import (
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/diff/merge"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

func (a *app) sync() *cli.Command {
	return a.command(cli.Command{
		Name:      "sync",
		Usage:     "bring this copy of the book and another together",
		ArgsUsage: "[COPY]",
		Description: "Fetches the commits of the other copy, merges records value by value,\n" +
			"computes the figures of what was merged, and sends the outcome back, delivery\n" +
			"tags and all. COPY is a name that git remote lists; left out, the usual one.\n" +
			"Commits alone travel: what is not committed stays here. The git program\n" +
			"carries them, with your credentials and hooks.\n\n" +
			"Where two people wrote different values in one place, both are shown and\n" +
			"nothing is committed or sent. Put the files right and sync again, or go back\n" +
			"to before with --back. Exit status 1 while something waits for you.\n\n" +
			"Example: stackbook sync",
		Flags: []cli.Flag{&cli.BoolFlag{Name: "back", Usage: "go back to before a merge that waits for you"}},
		Action: func(c *cli.Context) error {
			if err := tooMany(c, 1); err != nil {
				return err
			}
			s, err := a.shop()
			if err != nil {
				return err
			}
			if c.Bool("back") {
				return a.syncBack(s, c.Args().First())
			}
			done, err := a.runSync(s, c.Args().First())
			if err != nil {
				return err
			}
			if a.json {
				err = a.printJSON(syncJSON(done))
			} else {
				a.showSynced(done)
			}
			if err == nil && done.Settle != nil {
				err = errStrict
			}
			return err
		},
	})
}

// runSync shows on a terminal what a run is at.
func (a *app) runSync(s *act.Shop, remote string) (*act.Synced, error) {
	end := func() {}
	done, err := s.Sync(act.SyncOptions{Remote: remote, Program: a.Program, Doing: func(what string) {
		end()
		end = a.seconds(what)
	}})
	end()
	return done, err
}

// seconds counts the seconds of a piece of work that tells nothing of itself,
// until end is called.
func (a *app) seconds(what string) (end func()) {
	progress := a.term.Progress(what+", seconds:", 0)
	tick := time.NewTicker(200 * time.Millisecond)
	ended := make(chan struct{})
	began := time.Now()
	go func() {
		for {
			select {
			case <-tick.C:
				progress.At(int(time.Since(began).Seconds()), 0)
			case <-ended:
				return
			}
		}
	}()
	return func() {
		tick.Stop()
		close(ended)
		progress.Done()
	}
}

func (a *app) syncBack(s *act.Shop, remote string) error {
	if remote != "" {
		return &act.UsageError{Message: "--back names no copy", Mend: "leave " + remote + " out"}
	}
	if err := s.SyncBack(); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(syncJSON(&act.Synced{}))
	}
	a.term.Line("All is as before the merge. What was fetched is kept by git, and the next sync merges it.")
	return nil
}

func (a *app) showSynced(done *act.Synced) {
	if done.Settle != nil {
		a.showUnsettled(done)
		return
	}
	if done.Received+done.Sent+len(done.Merges) == 0 {
		a.term.Line("%s: nothing new on either side.", done.Copy)
		return
	}
	received := count(done.Received, "commit") + " received"
	if len(done.Engines) > 0 {
		received += " (" + act.Some(done.Engines, 6) + ")"
	}
	a.term.Line("%s: %s, %s sent.", done.Copy, received, count(done.Sent, "commit"))
	for _, c := range done.Merges {
		a.term.Line("  merged  %s  %s", c.Short(), c.Subject())
	}
	for _, o := range done.Told {
		a.term.Line("  note    %s; %s", o.Message, o.Mend)
	}
}

// showUnsettled tells what waits for a person, and the way on and back.
func (a *app) showUnsettled(done *act.Synced) {
	u := done.Settle
	a.term.Line("%s: merged as far as could be; nothing is committed or sent until this is settled.", done.Copy)
	for _, c := range u.Values {
		a.term.Line("")
		a.term.Line("%s", a.term.Strong(placed(c)))
		if c.Path == "" {
			a.term.Line("  %s", c.Message)
		} else {
			a.showClashSide("before", c.Base, book.Commit{})
			a.showClashSide("here", c.Ours, c.OursBy)
			a.showClashSide("there", c.Theirs, c.TheirsBy)
		}
		a.term.Line("  %s", c.Mend)
	}
	for _, o := range u.Outcomes {
		a.term.Line("")
		a.term.Line("%s", a.term.Strong(string(o.Name)+": "+o.Message))
		a.term.Line("  %s", o.Mend)
	}
	if len(u.Files) > 0 {
		a.term.Line("")
		for _, file := range u.Files {
			a.term.Line("%s", a.term.Strong(file))
		}
		a.term.Line("  git add FILE takes a file as it lies in the folder, git rm FILE takes it out")
	}
	a.term.Line("")
	if len(u.Problems) > 0 {
		a.problems(u.Problems)
	}
	a.term.Line("When it is settled, go on with: stackbook sync")
	a.term.Line("To go back to before the merge: stackbook sync --back")
}

// placed is a clash's place: file, line and path of the value.
func placed(c act.Clash) string {
	at := c.File
	if c.Line > 0 {
		at = fmt.Sprintf("%s:%d", at, c.Line)
	}
	return strings.TrimSpace(at + "  " + c.Path)
}

// showClashSide tells what one side of a clash says, and since whose commit.
func (a *app) showClashSide(side, value string, by book.Commit) {
	if value == "" {
		value = nothing
	}
	if by.Hash == "" {
		a.term.Line("  %-6s  %s", side, value)
		return
	}
	a.term.Line("  %-6s  %s, by %s on %s: %s", side, value, by.Author.Name, by.Author.When.Format("2006-01-02 15:04"), by.Subject())
}

type syncDocument struct {
	Format   string            `json:"format"`
	Copy     string            `json:"copy"`
	Received int               `json:"received"`
	Sent     int               `json:"sent"`
	Engines  []string          `json:"engines"`
	Merges   []string          `json:"merges"` // commits
	Rounds   int               `json:"rounds"`
	Settled  bool              `json:"settled"`
	Values   []clashDocument   `json:"values"`
	Outcomes []outcomeDocument `json:"outcomes"`
	Files    []string          `json:"files"`
	Problems problem.List      `json:"problems"`
}

type clashDocument struct {
	File     string      `json:"file"`
	Line     int         `json:"line"`
	Path     string      `json:"path"`
	Base     *string     `json:"base"`
	Ours     *string     `json:"ours"`
	Theirs   *string     `json:"theirs"`
	OursBy   *byDocument `json:"ours_by"`
	TheirsBy *byDocument `json:"theirs_by"`
	Message  string      `json:"message"`
	Mend     string      `json:"mend"`
}

type byDocument struct {
	Commit string `json:"commit"`
	By     string `json:"by"`
	When   string `json:"when"`
}

type outcomeDocument struct {
	Name    string   `json:"name"`
	Settle  bool     `json:"settle"` // a person must
	Engine  *string  `json:"engine"`
	Paths   []string `json:"paths"`
	Message string   `json:"message"`
	Mend    string   `json:"mend"`
}

func syncJSON(done *act.Synced) syncDocument {
	d := syncDocument{Format: "sync/1", Copy: done.Copy, Received: done.Received, Sent: done.Sent, Engines: orEmpty(done.Engines),
		Merges: []string{}, Rounds: done.Rounds, Settled: done.Settle == nil, Values: []clashDocument{}, Outcomes: []outcomeDocument{}, Files: []string{}, Problems: problem.List{}}
	for _, c := range done.Merges {
		d.Merges = append(d.Merges, c.Hash)
	}
	outcomes := done.Told
	if u := done.Settle; u != nil {
		outcomes = append(outcomes, u.Outcomes...)
		d.Files = orEmpty(u.Files)
		d.Problems = orNone(u.Problems)
		for _, c := range u.Values {
			d.Values = append(d.Values, clashDocument{c.File, c.Line, c.Path, orNull(c.Base), orNull(c.Ours), orNull(c.Theirs), byJSON(c.OursBy), byJSON(c.TheirsBy), c.Message, c.Mend})
		}
	}
	for _, o := range outcomes {
		d.Outcomes = append(d.Outcomes, outcomeJSON(o))
	}
	return d
}

func outcomeJSON(o merge.Outcome) outcomeDocument {
	return outcomeDocument{string(o.Name), o.Conflict, orNull(o.Engine), orEmpty(o.Paths), o.Message, o.Mend}
}

func byJSON(c book.Commit) *byDocument {
	if c.Hash == "" {
		return nil
	}
	return &byDocument{c.Hash, c.Author.Name, c.Author.When.Format(time.RFC3339)}
}
