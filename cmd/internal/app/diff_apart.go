package app

import (
	"fmt"
	"slices"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/diff"
	"stackbook/schema"
)

// showNotCompared says what could not be compared.
func (a *app) showNotCompared(p *diff.Apart, states []string) {
	for i, text := range apartTexts(p, states) {
		if i == 0 {
			a.term.Line("")
		}
		a.term.Prose(2, "Not compared: %s", text)
	}
}

// nothingText says of a comparison without a row why it has none: that nothing
// differs is said only of what was compared.
func nothingText(p *diff.Apart) string {
	switch {
	case p.Nothing:
		return "Nothing is compared."
	case !p.Empty():
		return "Nothing that can be compared differs."
	}
	return "Nothing differs."
}

// mostAlone is how many positions of one engine are named; the JSON has all.
const mostAlone = 12

// apartTexts says what could not be compared, and why, a sentence each.
func apartTexts(p *diff.Apart, states []string) []string {
	var texts []string
	if p.Records {
		texts = append(texts, "sessions and changes: those of different engines are not each other's.")
	}
	for i, state := range states {
		if alone := p.Alone[state]; len(alone) > 0 && slices.Index(states, state) == i {
			texts = append(texts, fmt.Sprintf("of %s, %s: not all the engines have a place for it.", state, act.Some(topPositions(alone), mostAlone)))
		}
	}
	if p.Nowhere != "" {
		texts = append(texts, fmt.Sprintf("at %s: nothing is written, read or worked out there in any of them.", p.Nowhere))
	}
	if len(p.Whole) > 0 {
		texts = append(texts, wholeText(p))
	}
	return texts
}

// wholeText names the figures that rest on how many rotors there are.
func wholeText(p *diff.Apart) string {
	var titles []string
	for _, f := range p.Whole {
		if !slices.Contains(titles, f.Title) {
			titles = append(titles, f.Title)
		}
	}
	numbers := slices.Compact(slices.Sorted(slices.Values(p.Rotors)))
	var rotors []string
	for _, n := range numbers {
		rotors = append(rotors, fmt.Sprint(n))
	}
	return fmt.Sprintf("of whole engines of %s rotors, %s.", strings.Join(rotors, " and "), strings.Join(titles, "; "))
}

// topPositions leaves out positions within others of the list; rotors stand
// first, since all else follows from them.
func topPositions(all []string) []string {
	var top []string
	for _, p := range all {
		if !slices.ContainsFunc(all, func(q string) bool { return q != p && schema.Below(p, q) }) {
			top = append(top, p)
		}
	}
	slices.SortStableFunc(top, func(p, q string) int {
		switch a, b := strings.HasPrefix(p, "rotor/"), strings.HasPrefix(q, "rotor/"); {
		case a == b:
			return 0
		case a:
			return -1
		}
		return 1
	})
	return top
}

// twoIDsText says that one number stands for two engines (R11).
func twoIDsText(ids []string) string {
	return fmt.Sprintf("These are two engines of one number, not two states of one: id %s, and id %s.", ids[0], ids[1])
}

// apartJSON is what could not be compared.
type apartJSON struct {
	Rotors       []int               `json:"rotors"`           // of each state, where engines have different numbers; null otherwise
	Alone        map[string][]string `json:"alone"`            // by state: positions that not all the engines have a place for
	NotCompared  []string            `json:"not_compared"`     // ids of figures that rest on how many rotors there are
	RecordsApart bool                `json:"records_apart"`    // different engines: their sessions and changes are not compared
	Nothing      bool                `json:"nothing_compared"` // of what was asked for, nothing could be compared
}

func apartOf(p *diff.Apart) apartJSON {
	d := apartJSON{Rotors: p.Rotors, Alone: p.Alone, NotCompared: []string{}, RecordsApart: p.Records, Nothing: p.Nothing}
	if d.Alone == nil {
		d.Alone = map[string][]string{}
	}
	for _, f := range p.Whole {
		d.NotCompared = append(d.NotCompared, f.ID)
	}
	return d
}
