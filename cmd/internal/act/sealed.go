package act

import (
	"fmt"
	"path"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
)

// deliverySum works the sum of a delivered build from the files of a commit:
// all of the engine's folder, book.yaml and the limit set (R17).
func deliverySum(tree book.Tree, place Place, build int) (record.Sum, error) {
	paths, err := filesBelow(tree, place.Folder)
	if err != nil {
		return record.Sum{}, err
	}
	paths[book.Marker] = ""
	name, err := limitsUsed(tree, place)
	if err != nil {
		return record.Sum{}, err
	}
	if name != "" {
		paths[limitFile(name)] = ""
	}
	sums := map[string]record.Sum{}
	for file := range paths {
		if err := oneLine(file); err != nil {
			return record.Sum{}, err
		}
		data, err := tree.Read(file)
		if err != nil {
			return record.Sum{}, err
		}
		sums[file] = record.SumOf(data)
	}
	return record.DeliverySum(place.Number, build, sums), nil
}

// oneLine refuses the name of a file that the lines of a sum cannot hold.
func oneLine(file string) error {
	if !strings.ContainsAny(file, "\n\r") {
		return nil
	}
	return problem.List{{File: file, Rule: "R17", Message: "a line end in the name of a file would make the delivery code ambiguous", Mend: "rename it"}}
}

// limitsUsed names the limit set an engine is judged by in a tree.
func limitsUsed(tree book.Tree, place Place) (string, error) {
	bookRecord, problems, err := readBook(tree)
	if err != nil {
		return "", err
	}
	files, _, err := gather(tree, place.Folder)
	if err != nil {
		return "", err
	}
	e, more := record.Load(place.Folder, files)
	if bookRecord == nil || e == nil {
		return "", append(problems, more...)
	}
	_, name := limitSet(bookRecord, e)
	return name, nil
}

// filesBelow lists the files of a tree below a folder with git's names for
// their contents, where the tree knows them.
func filesBelow(tree book.Tree, dir string) (map[string]string, error) {
	files := map[string]string{}
	entries, err := list(tree, dir)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		name := path.Join(dir, e.Name)
		if !e.Dir {
			files[name] = e.Hash
			continue
		}
		below, err := filesBelow(tree, name)
		if err != nil {
			return nil, err
		}
		for file, hash := range below {
			files[file] = hash
		}
	}
	return files, nil
}

// The lines of a seal's message that say what was sealed.
const (
	sealEngine = "Engine: "
	sealBuild  = "Build: "
	sealSum    = "SHA-256: "
	sealCode   = "Code: "
)

// seal makes the tag that closes a build, with the full sum in its message, and
// gives that sum. One that is on the commit already is left as it is (R2).
func (s *Shop) seal(number string, build int, c book.Commit, who book.Signature) (record.Sum, error) {
	tree := s.Book.At(c)
	place, err := FindEngine(tree, number)
	if err != nil {
		return record.Sum{}, atCommit(c, err)
	}
	sum, err := deliverySum(tree, place, build)
	if err != nil {
		return record.Sum{}, err
	}
	message := fmt.Sprintf("%s, build %d, as delivered\n\n%s%s\n%s%d\n%s%s\n%s%s\n",
		number, build, sealEngine, number, sealBuild, build, sealSum, sum, sealCode, sum.Code())
	return sum, s.Book.Seal(book.Tag{Name: TagName(number, build), Commit: c.Hash, Tagger: who, Message: message})
}

// sealedLine is what a seal's message says behind one of its words, "" where
// it does not: a tag made by hand need not.
func sealedLine(message, word string) string {
	for line := range strings.Lines(message) {
		if text, ok := strings.CutPrefix(strings.TrimSpace(line), word); ok {
			return text
		}
	}
	return ""
}
