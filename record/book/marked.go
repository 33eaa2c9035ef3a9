package book

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
)

// The lines that link puts into a file of git's own stand between these two, at
// its top: whatever a person wrote there comes later, and so counts more. The
// second beginning says that there was no such file before.
const (
	blockBegin = "# stackbook link: down to the end of this block, taken out by stackbook unlink\n"
	blockAlone = "# stackbook link: this file was not there before, and goes with stackbook unlink\n"
	blockEnd   = "# stackbook link: end of the block\n"
)

// blockBook begins the line of a block that names the book it is about, by its
// folder in the repository.
const blockBook = "# the book in: /"

const byteOrderMark = "\ufeff"

// withBlock gives a file of git's with these lines in our block; there tells
// whether the file exists. All other bytes stay.
func withBlock(text string, there bool, lines string) (string, error) {
	rest, alone, err := withoutBlock(text)
	if err != nil {
		return "", err
	}
	begin := blockBegin
	if alone || !there {
		begin = blockAlone
	}
	rest, marked := strings.CutPrefix(rest, byteOrderMark)
	block := begin + lines + blockEnd
	if marked {
		block = byteOrderMark + block
	}
	return block + rest, nil
}

// withoutBlock gives a file of git's without our block; alone tells that there
// was no such file before.
func withoutBlock(text string) (rest string, alone bool, err error) {
	for _, begin := range []string{blockBegin, blockAlone} {
		before, after, ours := cutLine(text, begin)
		if !ours {
			continue
		}
		_, behind, ends := cutLine(after, blockEnd)
		if !ends {
			return "", false, fmt.Errorf("the block of stackbook link has lost its last line there; take its lines out by hand, from %q on", strings.TrimSpace(begin))
		}
		return before + behind, begin == blockAlone, nil
	}
	return text, false, nil
}

// otherBook gives the folder of the book that our block in a file of git's is
// about; other is false where there is none, or it is about this one.
func otherBook(text, prefix string) (folder string, other bool) {
	_, after, found := strings.Cut(text, "\n"+blockBook)
	folder, _, _ = strings.Cut(after, "\n")
	return folder, found && folder != prefix
}

// cutLine cuts a text around a whole line.
func cutLine(text, line string) (before, after string, found bool) {
	at := strings.Index(text, line)
	if at < 0 || at > 0 && text[at-1] != '\n' && text[:at] != byteOrderMark {
		return text, "", false
	}
	return text[:at], text[at+len(line):], true
}

// A hook of ours is known by its second line, which holds the beginning of the
// SHA-256 of all that follows it: so one that somebody has changed is known too.
const (
	shell    = "#!/bin/sh\n"
	hookMark = "# stackbook link "
)

// beforeSuffix ends the name under which a person's own hook is kept.
const beforeSuffix = ".before-stackbook"

// runBefore lets the person's own hook run first; where it refuses, it has
// refused.
const runBefore = `# A hook of that name which was here before lies beside this one, and runs first.
before="$0` + beforeSuffix + `"
if test -x "$before"; then
	"$before" "$@" || exit
fi
`

// hookText is a hook of ours that does what the shell text says.
func hookText(does string) string {
	body := runBefore + does
	return shell + hookMark + bodySum(body) + "\n" + body
}

func bodySum(body string) string {
	sum := sha256.Sum256([]byte(body))
	return hex.EncodeToString(sum[:6])
}

// isOurs tells whether a hook is one of ours, and whether it is as we wrote it.
func isOurs(text string) (ours, untouched bool) {
	rest, ours := strings.CutPrefix(text, shell+hookMark)
	if !ours {
		return false, false
	}
	sum, body, _ := strings.Cut(rest, "\n")
	return true, sum == bodySum(body)
}
