package app

import (
	"os"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
)

// forGit is what git calls, through the hooks and drivers that link writes. No
// person types it, so help does not list it.
func (a *app) forGit() *cli.Command {
	return a.plumbing(cli.Command{
		Name:      act.ForGit,
		Hidden:    true,
		Usage:     "what git calls by the hooks and drivers of link",
		ArgsUsage: "WORD [FILE ...]",
		Flags:     []cli.Flag{&cli.StringFlag{Name: "book", Value: ".", Usage: "the book's `FOLDER`"}},
		Description: act.ForCommit + "                       check what is staged, stage the figures\n" +
			act.ForMerged + "                       the same for a merge; 1 where it staged any\n" +
			act.ForMessage + " FILE                 look through a message for customers' names\n" +
			act.ForMerge + " BASE OURS THEIRS PATH  merge into OURS; 1 conflict, 3 git is to do it\n" +
			act.ForTextconv + " FILE                print a record, one line a value",
		Action: func(c *cli.Context) error {
			word, files := c.Args().First(), c.Args().Tail()
			for _, job := range a.gitJobs() {
				if job.word == word && job.files == len(files) {
					return job.run(a.path(c.String("book")), files)
				}
			}
			return &act.UsageError{Message: "git calls this by words of its own", Mend: "stackbook " + act.ForGit + " --help lists them"}
		},
	})
}

// gitJob is one thing git calls the program for, with so many files.
type gitJob struct {
	word  string
	files int
	run   func(book string, files []string) error
}

func (a *app) gitJobs() []gitJob {
	return []gitJob{
		{act.ForCommit, 0, a.beforeCommit},
		{act.ForMerged, 0, a.beforeMerge},
		{act.ForMessage, 1, a.commitMessage},
		{act.ForMerge, 4, a.mergeDriver},
		{act.ForTextconv, 1, a.textconv},
	}
}

// beforeCommit runs before a commit that git makes, and says what it did. All of
// it goes to standard error: the commit is the answer.
func (a *app) beforeCommit(book string, _ []string) error {
	_, err := a.hook(book)
	return err
}

// beforeMerge is beforeCommit for a merge that went well. Git then commits what
// it has merged, and not what a hook stages besides. So where any was staged, the
// merge stops before its commit, and the person makes it.
func (a *app) beforeMerge(book string, _ []string) error {
	done, err := a.hook(book)
	if err != nil || len(done.Staged) == 0 {
		return err
	}
	a.remark("stackbook: all is merged; type git commit to complete it with these figures")
	return errStrict
}

func (a *app) hook(book string) (*act.Hooked, error) {
	s, err := act.Open(book, a.Now, a.bookOptions()...)
	if err != nil {
		return nil, a.refused(err)
	}
	done, err := s.Hook()
	if err != nil {
		return nil, a.refused(err)
	}
	if len(done.Staged) > 0 {
		a.remark("stackbook: %s written anew and staged: %s", count(len(done.Staged), "file"), act.Some(done.Staged, 4))
	}
	if len(done.Behind) > 0 {
		a.remark("stackbook: not written in the folder, where the records are others than those staged: %s", act.Some(done.Behind, 4))
	}
	if len(done.Stale) > 0 {
		a.remark("stackbook: a commit of some files alone leaves figures as they are: %s; the next commit of the engine mends them", act.Some(done.Stale, 4))
	}
	return done, nil
}

// refused tells why a commit is refused, and how to go on.
func (a *app) refused(err error) error {
	a.failText(err)
	a.remark("stackbook: nothing was committed. Mend it and git add, or commit all the same: git commit --no-verify")
	if status(err) == statusProblems {
		return errStrict
	}
	return errCouldNot
}

func (a *app) commitMessage(book string, files []string) error {
	s, err := act.Open(book, a.Now, a.bookOptions()...)
	if err != nil {
		return a.refused(err)
	}
	text, err := os.ReadFile(a.path(files[0]))
	if err != nil {
		return a.refused(err)
	}
	if err := s.CheckMessage(string(text)); err != nil {
		return a.refused(err)
	}
	return nil
}
