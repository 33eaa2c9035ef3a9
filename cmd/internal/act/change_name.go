package act

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"stackbook/record/book"
	"stackbook/schema"
)

// stem is the name of a new change without its ending: its day and a few words
// of what was done, with a number where the name is taken in the folder or the
// last commit, whatever its capitals.
func (d *Desk) stem(date, kind, what string) (string, error) {
	day, err := schema.ParseDate(date)
	if err != nil {
		return "", err
	}
	taken, err := d.taken("changes")
	if err != nil {
		return "", err
	}
	return free(day.Day()+"-"+slug(kind, what), taken), nil
}

// free is a name that is not taken yet.
func free(stem string, taken map[string]bool) string {
	name := stem
	for n := 2; taken[name]; n++ {
		name = fmt.Sprintf("%s-%d", stem, n)
	}
	return name
}

// taken lists the names used in a folder of the engine, without their endings,
// in lower case.
func (d *Desk) taken(dir string) (map[string]bool, error) {
	names := map[string]bool{}
	trees := []book.Tree{d.shop.Book.Folder()}
	head, ok, err := d.shop.Book.Head()
	if err != nil {
		return nil, err
	}
	if ok {
		trees = append(trees, d.shop.Book.At(head))
	}
	for _, tree := range trees {
		entries, err := list(tree, path.Join(d.Place.Folder, dir))
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			names[strings.ToLower(strings.TrimSuffix(e.Name, path.Ext(e.Name)))] = true
		}
	}
	return names, nil
}

// plainLetters are the letters of the North's and the West's alphabets that
// have an accepted plain form.
var plainLetters = strings.NewReplacer("å", "a", "ä", "a", "à", "a", "á", "a", "â", "a", "æ", "ae", "ö", "o", "ø", "o", "ó", "o", "ô", "o",
	"ü", "u", "ú", "u", "û", "u", "é", "e", "è", "e", "ê", "e", "ë", "e", "í", "i", "î", "i", "ç", "c", "ñ", "n", "ß", "ss", "'", "", "’", "")

// shortWords are words a name does not end with.
var shortWords = []string{"a", "an", "and", "as", "at", "by", "for", "from", "in", "of", "on", "the", "to", "was", "with"}

// slug makes a short name of the first words of what was done, or of the kind
// of change where no plain letter is among them.
func slug(kind, what string) string {
	const most = 28 // letters
	words := strings.FieldsFunc(plainLetters.Replace(strings.ToLower(what)), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
	var kept []string
	length := 0
	for _, w := range words {
		if length += len(w) + 1; length > most+1 {
			break
		}
		kept = append(kept, w)
	}
	for len(kept) > 0 && slices.Contains(shortWords, kept[len(kept)-1]) {
		kept = kept[:len(kept)-1]
	}
	if len(kept) == 0 {
		return kind
	}
	return strings.Join(kept, "-")
}
