package act

import (
	"errors"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/quantity"
)

// Moment is who did something to an engine, when, and at how many hours.
type Moment struct {
	By         string // initials; from git's user name when empty
	Date       string // today when empty
	Hours      string // "65 h"
	HoursError string // "3 h"
}

// longestBy is how many letters may say who did something: they stand in the
// names of session files, which have bounds of their own.
const longestBy = 40

// complete fills in what was left out and checks what was not.
func (s *Shop) complete(m *Moment) error {
	if m.Date == "" {
		m.Date = s.Now().Format("2006-01-02")
	}
	date, err := schema.ParseDate(m.Date)
	if err != nil {
		return usage("write: --date 2024-03-02, or --date '2024-03-02 14:30'", "%s", err.Error())
	}
	m.Date = date.String()
	for _, amount := range []struct{ option, text string }{{"hours", m.Hours}, {"hours-error", m.HoursError}} {
		if amount.text == "" {
			continue
		}
		if _, err := quantity.Parse(amount.text, quantity.Time, "h"); err != nil {
			message, _, _ := strings.Cut(err.Error(), "; ")
			return usage("write it like: --"+amount.option+" '65 h'", "--%s: %s", amount.option, message)
		}
	}
	if strings.TrimSpace(m.By) == "" {
		who, err := s.Book.Author(s.Now())
		if err != nil {
			return err
		}
		m.By = initials(who.Name)
	}
	if utf8.RuneCountInString(m.By) > longestBy {
		return usage("write initials: --by KM", "--by has more than %d letters", longestBy)
	}
	return nil
}

// initials are the first letters of a name; one short word is initials already.
func initials(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == '-' || r == '.' })
	if len(words) == 1 && len(words[0]) <= 3 {
		return strings.ToUpper(words[0])
	}
	letters := ""
	for _, w := range words {
		letters += strings.ToUpper(string([]rune(w)[:1]))
	}
	return letters
}

// dayOf is the day of a date that was checked, without its time.
func dayOf(date string) string {
	day, _, _ := strings.Cut(date, " ")
	return day
}

// asTyped puts the problems of files that were to be written, and are not there
// to be looked at, on the options they were made of, each told once.
func asTyped(err error, files map[string][]byte) error {
	var list problem.List
	if !errors.As(err, &list) {
		return err
	}
	var told problem.List
	for _, p := range list {
		if text, ours := files[p.File]; ours {
			p = byOption(text, problem.List{p})[0]
		}
		if !slices.Contains(told, p) {
			told = append(told, p)
		}
	}
	return told
}
