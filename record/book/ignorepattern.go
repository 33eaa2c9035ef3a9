package book

import (
	"path"
	"strings"
)

// ignorePattern is one line of a .gitignore or its like (gitignore(5)).
type ignorePattern struct {
	parts   []string // with slashes between them; of a name alone, that
	name    bool     // it holds for the name of a file or folder, wherever that lies
	dirOnly bool
	again   bool // what an earlier line leaves out is taken again
}

// parseIgnore reads one line that is neither empty nor a comment.
func parseIgnore(line string) ignorePattern {
	var p ignorePattern
	line, p.again = strings.CutPrefix(line, "!")
	line, p.dirOnly = strings.CutSuffix(withoutBlanks(line), "/")
	p.name = !strings.Contains(line, "/")
	for part := range strings.SplitSeq(strings.TrimPrefix(line, "/"), "/") {
		if part == "**" && len(p.parts) > 0 && p.parts[len(p.parts)-1] == "**" {
			continue
		}
		p.parts = append(p.parts, strings.ReplaceAll(part, "[!", "[^")) // as package path has it
	}
	return p
}

// withoutBlanks takes the blanks off a line's end, but for one behind a backslash.
func withoutBlanks(line string) string {
	end := 0 // behind the last character that stays
	for i := 0; i < len(line); i++ {
		if line[i] == '\\' && i+1 < len(line) {
			i++
			end = i + 1
		} else if line[i] != ' ' {
			end = i + 1
		}
	}
	return line[:end]
}

// match tells whether it is about what is at a path, seen from the folder of the
// file it stands in.
func (p ignorePattern) match(at string, dir bool) bool {
	switch {
	case p.dirOnly && !dir:
		return false
	case p.name:
		return matchPart(p.parts[0], path.Base(at))
	}
	return matchParts(p.parts, strings.Split(at, "/"))
}

// matchParts matches folder by folder; ** stands for any number of them, and at
// the end for whatever lies inside.
func matchParts(pattern, at []string) bool {
	for i, part := range pattern {
		if part == "**" {
			rest := pattern[i+1:]
			if len(rest) == 0 {
				return len(at) > 0
			}
			for k := range at {
				if matchParts(rest, at[k:]) {
					return true
				}
			}
			return false
		}
		if len(at) == 0 || !matchPart(part, at[0]) {
			return false
		}
		at = at[1:]
	}
	return len(at) == 0
}

// matchPart matches one name. A pattern that cannot be read matches none.
func matchPart(pattern, name string) bool {
	ok, err := path.Match(pattern, name)
	return ok && err == nil
}
