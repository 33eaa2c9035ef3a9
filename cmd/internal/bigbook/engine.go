package bigbook

import (
	"fmt"
	"path"
	"strconv"
	"strings"
	"time"

	"stackbook/record"
)

// zone is that of the lake, all year round.
var zone = time.FixedZone("", 3600)

// engine is one engine of a book on its way.
type engine struct {
	index    int
	number   string
	folder   string
	customer string
	start    time.Time // the day it was enrolled
	p        *pattern
	given    string                                  // the serial of the rotor it was given, "" for none
	giver    *engine                                 // the engine that rotor came from
	lots     func(kind string, day time.Time) string // which lot was being fitted on a day

	done    int // steps of its pattern taken
	words   map[string]string
	files   map[string]record.Sum // by path, as the last commit holds them
	session file                  // the last mock-up
}

func newEngine(index, number int, start time.Time) *engine {
	e := &engine{index: index, start: start, number: fmt.Sprintf("SK-%05d", number), words: map[string]string{}, files: map[string]record.Sum{}}
	e.folder = path.Join("engines", strconv.Itoa(start.Year()), e.number)
	return e
}

// isDay tells whether a word is a day of an engine's life: d and a number.
func isDay(word string) bool {
	_, err := strconv.Atoi(strings.TrimPrefix(word, "d"))
	return err == nil && word[0] == 'd'
}

// word is what a word of a pattern stands for in this engine.
func (e *engine) word(w string) string {
	if text, ok := e.words[w]; ok {
		return text
	}
	e.words[w] = e.newWord(w)
	return e.words[w]
}

func (e *engine) newWord(w string) string {
	if isDay(w) {
		n, _ := strconv.Atoi(w[1:])
		return e.start.AddDate(0, 0, n).Format(time.DateOnly)
	}
	switch w {
	case "dollar":
		return "$"
	case "number":
		return e.number
	case "id":
		return fmt.Sprintf("%04x-%04x-5b0b", e.index>>16, e.index&0xffff)
	case "customer":
		return e.customer
	case "serial":
		return fmt.Sprintf("%05d", e.index)
	case "given":
		return e.given
	case "bearings":
		return e.lots("bearings", e.start)
	}
	for _, kind := range []string{"seals", "coolant"} {
		if text, ok := strings.CutPrefix(w, kind); ok {
			build, err := strconv.Atoi(text)
			if err == nil {
				return e.lots(kind, e.start.AddDate(0, 0, toReopen*(build-1)))
			}
		}
	}
	panic("bigbook: no engine knows the word " + w)
}

// freed is the serial of the rotor that goes to the shelf when the engine is
// first rebuilt.
func (e *engine) freed() string { return fmt.Sprintf("R-%s%d", e.word("serial"), e.p.rotors) }

// buildOn is the build an engine is at on a day of its life.
func (e *engine) buildOn(day int) int {
	build := 1
	for _, st := range e.p.steps {
		if st.day <= day {
			build = st.build
		}
	}
	return build
}
