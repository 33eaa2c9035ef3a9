package act

import (
	"fmt"
	"path/filepath"
	"strings"

	"stackbook/record/book"
)

// ForGit is the command by which git calls this program. Its first word says
// for what.
const ForGit = "for-git"

// What git calls the program for.
const (
	ForCommit   = "commit"   // before a commit: check what is staged, stage the figures
	ForMerged   = "merged"   // the same before the commit of a merge
	ForMessage  = "message"  // look through the message of a commit for customers' names
	ForMerge    = "merge"    // merge one record
	ForTextconv = "textconv" // show one record by its values
)

// Link tells plain git of the book: hooks for commits and merges, and drivers
// that merge and show records by meaning. program is the absolute path by which
// git is to call this program.
func (s *Shop) Link(program string) (book.Linked, error) {
	if !filepath.IsAbs(program) {
		return book.Linked{}, fmt.Errorf("%q is no absolute path of this program, by which git could call it", program)
	}
	if builtInPassing(program) {
		return book.Linked{}, fmt.Errorf("this program is a passing one of go run, %s, and would be gone when git calls it; type: go install ./cmd/stackbook, and link with what that installs", program)
	}
	prefix, err := s.Book.InRepository()
	if err != nil {
		return book.Linked{}, err
	}
	for _, name := range []string{program, prefix} {
		if strings.ContainsAny(name, "\n\r") {
			return book.Linked{}, fmt.Errorf("git's settings cannot hold a path with a line end in it: %q", name)
		}
	}
	return s.Book.Link(book.Links{
		Hooks: map[string]string{
			"pre-commit":       hookLines(program, prefix, ForCommit),
			"pre-merge-commit": hookLines(program, prefix, ForMerged),
			"commit-msg":       hookLines(program, prefix, ForMessage+` "$1"`),
		},
		Attributes: attributeLines(prefix),
		Config:     configLines(program, prefix),
	})
}

// builtInPassing tells whether a program lies where go run builds what it runs, and
// takes away afterwards.
func builtInPassing(program string) bool {
	return strings.Contains(filepath.ToSlash(program), "/go-build")
}

// hookLines is what a hook does. A program that is gone, or another branch
// without the book, never stands in the way of a commit.
func hookLines(program, prefix, does string) string {
	return fmt.Sprintf(`book=%s
program=%s
test -f "$book/%s" || exit 0
if test ! -x "$program"; then
	echo "stackbook: $program is gone, so this commit goes unchecked and its figures may be stale." >&2
	echo "  Install stackbook and type, in the book: stackbook link. To be rid of this, delete the file $0" >&2
	exit 0
fi
exec "$program" %s --book "$book" -- %s
`, shellQuote("./"+prefix), shellQuote(filepath.ToSlash(program)), book.Marker, ForGit, does)
}

// linkedRecords are the records that git hands to the drivers, from the book's
// root. What figures.yaml is merged by stands in .gitattributes (R7).
var linkedRecords = []string{
	"engines/*/*/spec.yaml", "engines/*/*/measurements/*.yaml", "engines/*/*/changes/*.yaml",
	"limits/*.yaml", partsDir + "/*.yaml", book.Marker,
}

// attributeLines lead records to the drivers.
func attributeLines(prefix string) string {
	var b strings.Builder
	for _, pattern := range linkedRecords {
		fmt.Fprintf(&b, "%s merge=stackbook diff=stackbook\n", attributePattern("/"+prefix+pattern, len(prefix)+1))
	}
	return b.String()
}

// attributePattern writes a pattern of which the first bytes are a folder's name,
// to be taken as it is, however odd.
func attributePattern(pattern string, literal int) string {
	escaped := strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(pattern[:literal]) + pattern[literal:]
	if !strings.ContainsAny(escaped, " \t\"") {
		return escaped
	}
	return doubleQuote(escaped)
}

// configLines define the drivers. Where the program is gone, or cannot read a
// record, records are shown as they are written.
func configLines(program, prefix string) string {
	call := shellQuote(filepath.ToSlash(program))
	show := "f() { if test -x " + call + "; then " + call + " " + ForGit + " -- " + ForTextconv + ` "$1"; else cat "$1"; fi; }; f`
	return "[merge \"stackbook\"]\n" +
		"\tname = records by meaning\n" +
		"\tdriver = " + doubleQuote(mergeCommand(program, prefix)) + "\n" +
		"[diff \"stackbook\"]\n" +
		"\ttextconv = " + doubleQuote(show) + "\n"
}

// mergeCommand is what git hands to a shell to merge a record. Where the program
// is gone, or cannot read a record, git merges its lines, as it would without. To
// git it ends with 0, or with 1 for a conflict (R23).
func mergeCommand(program, prefix string) string {
	escaped := strings.NewReplacer("%", "%%") // git puts names in the place of %O and the like
	call := escaped.Replace(shellQuote(filepath.ToSlash(program)))
	in := escaped.Replace(" " + ForGit + " --book " + shellQuote("./"+prefix) + " -- ")
	return "if test -x " + call + "; then " + call + in + ForMerge + " %O %A %B %P; s=$?; test $s -le 1 && exit $s; fi; " +
		"git merge-file --marker-size=%L -L ours -L base -L theirs %A %O %B || exit 1"
}

// shellQuote writes a text as one word for a POSIX shell.
func shellQuote(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// doubleQuote writes a text as git's configuration and attributes read it.
func doubleQuote(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\t", `\t`).Replace(text) + `"`
}
