package act

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// seals tells whether records are those of a build as delivered, so that its
// tag may stand on their commit.
func seals(e *record.Engine, build int) bool {
	return e.Build == build && e.Delivered(build) != nil
}

// tagAtOdds is a seal on a commit that is not at its build or holds no
// delivery of it: one of the two is wrong (R2).
func tagAtOdds(n Name, c book.Commit, folder string) problem.Problem {
	return problem.Problem{File: folder, Rule: "R2",
		Message: fmt.Sprintf("the tag %s is on commit %s, whose records are not those of build %d as delivered", TagName(n.Engine, n.Build), c.Short(), n.Build),
		Mend:    "write the delivery as a change, or take the tag away and let the record speak"}
}

// tag gives the tag that seals a build; ok is false when there is none. One that
// names no commit is a problem.List (R2).
func (s *Shop) tag(number string, build int) (tag book.Tag, ok bool, err error) {
	tag, ok, err = s.Book.Tag(TagName(number, build))
	return tag, ok, sealsNothing(err)
}

// sealsNothing makes a finding of the error that a tag names no commit.
func sealsNothing(err error) error {
	var none *book.NoCommitError
	if !errors.As(err, &none) {
		return err
	}
	return problem.List{{File: none.Tag, Rule: "R2", Message: "this tag names a " + none.Names + ", and not the commit of a delivery", Mend: "take it away: git tag -d " + none.Tag}}
}

// checkSeals holds the tags of an engine's builds against its records (R2):
// each is on a commit that holds the delivery, and a build that the folder has
// left behind is delivered there too.
func (s *Shop) checkSeals(p Place, now *record.Engine, tags []book.Tag) (problem.List, error) {
	var problems problem.List
	for _, tag := range tags {
		text, ok := strings.CutPrefix(tag.Name, book.BuildTags+p.Number+"/")
		if !ok {
			continue
		}
		build, err := strconv.Atoi(text)
		if err != nil || build < 1 || text != strconv.Itoa(build) {
			problems = append(problems, problem.Problem{File: p.Folder, Rule: "R2", Message: fmt.Sprintf("the tag %s names no build", tag.Name), Mend: "take it away: git tag -d " + tag.Name})
			continue
		}
		found, err := s.checkSeal(p, now, build, tag)
		if err != nil {
			return nil, err
		}
		problems = append(problems, found...)
	}
	return problems, nil
}

func (s *Shop) checkSeal(p Place, now *record.Engine, build int, tag book.Tag) (problem.List, error) {
	if tag.Commit == "" {
		_, _, err := s.tag(p.Number, build)
		var list problem.List
		if errors.As(err, &list) {
			return list, nil
		}
		return nil, err
	}
	n := Name{Engine: p.Number, Build: build}
	c, err := s.Book.Resolve(tag.Commit)
	if err != nil {
		return nil, err
	}
	then, err := sealedRecords(s.Book.At(c), p)
	if err != nil {
		return nil, err
	}
	switch {
	case then == nil || !seals(then, build):
		return problem.List{tagAtOdds(n, c, p.Folder)}, nil
	case now != nil && now.Build > build && now.Delivered(build) == nil:
		return problem.List{{File: p.Folder, Rule: "R2",
			Message: fmt.Sprintf("the tag %s seals a delivery of build %d that is no longer written here", tag.Name, build),
			Mend:    "put the delivery back: git checkout " + tag.Name + " -- " + then.Delivered(build).Path}}, nil
	}
	return nil, nil
}

// sealedRecords reads an engine at the commit of a seal, without its sessions;
// nil where it is not there.
func sealedRecords(tree book.Tree, p Place) (*record.Engine, error) {
	if _, err := tree.Read(path.Join(p.Folder, "spec.yaml")); errors.Is(err, fs.ErrNotExist) {
		// It may have lain in another group then.
		var unknown *UsageError
		if p, err = FindEngine(tree, p.Number); errors.As(err, &unknown) {
			return nil, nil
		} else if err != nil {
			return nil, err
		}
	}
	return withoutSessions(tree, p)
}
