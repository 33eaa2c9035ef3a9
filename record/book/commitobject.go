package book

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"stackbook/record/book/objects"
)

// Signature is who did something and when. The time keeps the zone it was
// written in.
type Signature struct {
	Name, Email string
	When        time.Time
}

// Commit is one commit.
type Commit struct {
	Hash      string
	Parents   []string
	Cut       bool // it has parents, but they were not fetched (a shallow clone)
	Author    Signature
	Committer Signature
	Message   string

	tree objects.ID
}

// Short gives the first ten digits of the commit's name.
func (c Commit) Short() string { return short(c.Hash) }

func short(hash string) string { return hash[:min(10, len(hash))] }

// Subject gives the first paragraph of the message as one line, as git does.
func (c Commit) Subject() string {
	var lines []string
	for line := range strings.SplitSeq(c.Message, "\n") {
		line = strings.TrimRight(line, " \t\r")
		if line != "" {
			lines = append(lines, line)
		} else if lines != nil {
			break
		}
	}
	return strings.Join(lines, " ")
}

// Tree gives git's name of the commit's whole tree.
func (c Commit) Tree() string { return string(c.tree) }

// String gives the signature as it stands in a commit: name, e-mail address
// in angle brackets, seconds since 1970 and zone. As git does, it leaves out
// the characters that would end a part early.
func (s Signature) String() string {
	return fmt.Sprintf("%s <%s> %d %s", plain(s.Name), plain(s.Email), s.When.Unix(), s.When.Format("-0700"))
}

// plain drops angle brackets and control characters, and the punctuation that
// git, too, trims off the ends of a name.
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == '<' || r == '>' || r < ' ' || r == 0x7f {
			return -1
		}
		return r
	}, s)
	return strings.Trim(s, " .,:;\"\\'")
}

// parseSignature reads what String writes. As git does, it makes the best of
// an old or careless one instead of failing: what cannot be read is empty.
func parseSignature(line string) Signature {
	open, end := strings.IndexByte(line, '<'), strings.LastIndexByte(line, '>')
	if open < 0 || end < open {
		return Signature{Name: strings.TrimSpace(line)}
	}
	s := Signature{Name: strings.TrimSpace(line[:open]), Email: line[open+1 : end]}
	seconds, zone, _ := strings.Cut(strings.TrimSpace(line[end+1:]), " ")
	n, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return s
	}
	s.When = time.Unix(n, 0).In(parseZone(zone))
	return s
}

// parseZone reads "+0130"; anything else is UTC.
func parseZone(text string) *time.Location {
	n, err := strconv.Atoi(text)
	if err != nil || len(text) != 5 || n == 0 {
		return time.UTC
	}
	return time.FixedZone("", (n/100*60+n%100)*60)
}

// header gives the lines of a commit or tag up to the empty one, as key and
// value, and the message after it. Lines that begin with a space continue the
// one before (a signature does) and are left out.
func header(data []byte) (lines [][2]string, message string) {
	head, rest, _ := bytes.Cut(data, []byte("\n\n"))
	for line := range strings.SplitSeq(string(head), "\n") {
		if key, value, ok := strings.Cut(line, " "); ok && key != "" {
			lines = append(lines, [2]string{key, value})
		}
	}
	return lines, string(rest)
}

// parseCommit reads a commit object.
func parseCommit(id objects.ID, data []byte) (Commit, error) {
	c := Commit{Hash: string(id)}
	lines, message := header(data)
	c.Message = message
	for _, l := range lines {
		switch l[0] {
		case "tree":
			c.tree = objects.ID(l[1])
		case "parent":
			c.Parents = append(c.Parents, l[1])
		case "author":
			c.Author = parseSignature(l[1])
		case "committer":
			c.Committer = parseSignature(l[1])
		}
	}
	if c.tree == "" {
		return c, fmt.Errorf("commit %s names no tree; git fsck tells more", id)
	}
	return c, nil
}

// encode writes the commit object.
func (c Commit) encode() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "tree %s\n", c.tree)
	for _, p := range c.Parents {
		fmt.Fprintf(&b, "parent %s\n", p)
	}
	fmt.Fprintf(&b, "author %s\ncommitter %s\n\n%s", c.Author, c.Committer, c.Message)
	return b.Bytes()
}
