package book

import (
	"context"
	"strings"

	"stackbook/record/book/objects"
)

// Removed gives the newest commit of HEAD's history that took a file out of a
// folder, and that file. The folder is named whatever its capitals, and a *
// stands for any one name on the way to it. ok is false where nothing ever
// was removed there. The git program is asked, which compares folders by
// their hashes: a second or so in a book of 100,000 commits.
func (b *Book) Removed(folder string) (c Commit, file string, ok bool, err error) {
	if err := checkPath(folder); err != nil {
		return Commit{}, "", false, err
	}
	out, err := b.runGit(context.Background(), []string{"GIT_LITERAL_PATHSPECS=0"}, "",
		"-c", "core.quotePath=false", "-c", "log.showSignature=false", "log", "-1", "--topo-order", "--full-history", "-m", "--no-renames", "--no-ext-diff",
		"--diff-filter=D", "--format=%H", "--name-only", "--relative", "HEAD", "--", ":(icase,glob)"+folder+"/**")
	hash, names, found := strings.Cut(strings.TrimSpace(out), "\n")
	if err != nil || !found {
		return Commit{}, "", false, err
	}
	file, _, _ = strings.Cut(strings.TrimSpace(names), "\n")
	c, err = b.commit(objects.ID(hash))
	return c, strings.Trim(file, `"`), err == nil, err
}
