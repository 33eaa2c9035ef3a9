package app

import (
	"strings"

	"stackbook/diff"
)

// changeRow is one line of a table of changes: what one part, or one field,
// was and is.
type changeRow struct{ Where, Was, Is string }

// nothing stands for a side on which nothing is written.
const nothing = "(nothing)"

// changeRows tells changes a line each, those of one part together.
func changeRows(changes []diff.Change) []changeRow {
	var rows []changeRow
	at := ""
	for _, c := range changes {
		position, key, ok := partOf(c)
		switch {
		case c.What == diff.Moved:
			rows, at = append(rows, changeRow{c.Note + " moved", c.From, c.To}), ""
		case !ok:
			rows, at = append(rows, changeRow{c.Path, orDefault(c.From, c.What == diff.Added), orDefault(c.To, c.What == diff.Removed)}), ""
		default:
			if position != at {
				rows, at = append(rows, changeRow{Where: position}), position
			}
			last := &rows[len(rows)-1]
			last.Was, last.Is = also(last.Was, key, c.From), also(last.Is, key, c.To)
		}
	}
	for i := range rows {
		rows[i].Was, rows[i].Is = orDefault(rows[i].Was, rows[i].Was == ""), orDefault(rows[i].Is, rows[i].Is == "")
	}
	return rows
}

// partOf takes apart the path of a change to a part: parts.rotor/2.serial.
func partOf(c diff.Change) (position, key string, ok bool) { return partPath(c.Path) }

func partPath(path string) (position, key string, ok bool) {
	rest, ok := strings.CutPrefix(path, "parts.")
	if !ok {
		return "", "", false
	}
	return strings.Cut(rest, ".")
}

// also adds one field to what a part was or is.
func also(text, key, value string) string {
	if value == "" {
		return text
	}
	if text != "" {
		text += ", "
	}
	return text + strings.ReplaceAll(key, "_", " ") + " " + value
}

func orDefault(text string, missing bool) string {
	if missing {
		return nothing
	}
	return text
}
