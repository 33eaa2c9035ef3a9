package act

import (
	"fmt"
	"maps"
	"time"

	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/source"
)

// attributes keeps every record's bytes as they are, whatever line ends git is
// told to convert (R14), and lets git merge figures line by line (R7).
const attributes = `# bytes as they are: what is committed is what lies in the folder
*.yaml -text
engines/** -text
# written by the tool: two benches' lines are kept, then computed anew
engines/**/figures.yaml -text merge=union
`

const ignored = `# customers' names and addresses stay here and never enter history: back them up yourself
private/
`

const firstLimits = `%s
format: limits/1
name: %s
title: the shop's own limits
# One entry a figure or point, each with where it comes from, such as:
#   apex_seal.end_gap:
#     new: {min: 0.06 mm, max: 0.12 mm}
#     reuse: {min: 0.05 mm, max: 0.15 mm}
#     source: the shop's own practice, 2024
limits: {}   # write the first one below, indented, and take the braces out
`

// BeginOptions says how to begin a book.
type BeginOptions struct {
	Shop              string
	Limits            []string // ready-made limit sets to begin with; engines that name none are judged by the first
	Author, Committer book.Signature
	Files             map[string][]byte // further files of the book, such as limit sets
	Book              []book.Option
	Now               func() time.Time
}

// ownLimits is the limit set a book begins with for the shop's own, empty.
const ownLimits = "shop"

// BookFiles are the files every book begins with; limits names the set that
// judges engines which name none.
func BookFiles(shop, limits string) map[string][]byte {
	files := map[string][]byte{
		".gitattributes":     []byte(attributes),
		".gitignore":         []byte(ignored),
		limitFile(ownLimits): fmt.Appendf(nil, firstLimits, schema.EditorHint("limits", limitFile(ownLimits)), ownLimits),
		book.Marker: fmt.Appendf(nil, "%s\nformat: book/1\ndictionary: %d\nshop: %s\nlimits: %s\nunits: {length: mm, pressure: kPa, torque: N m, power: kW, volume: cm3, temperature: degC}\n",
			schema.EditorHint("book", book.Marker), schema.Dictionary, source.Quote(shop), limits),
	}
	for _, kind := range schema.Kinds() {
		files[schema.SchemaPath(kind)] = schema.JSONSchema(kind)
	}
	return files
}

// Begin makes a new book in a folder that is empty or does not exist yet, or in
// a git repository without one, and commits its first files.
func Begin(dir string, o BeginOptions) (*Shop, error) {
	judge := ownLimits
	if len(o.Limits) > 0 {
		judge = o.Limits[0] // nobody asks for a set to leave it unused
	}
	files := BookFiles(o.Shop, judge)
	ready, err := readyLimits(o.Limits)
	if err != nil {
		return nil, err
	}
	maps.Copy(files, ready)
	for name, data := range o.Files {
		files[name] = data
	}
	who := o.Author
	if who == (book.Signature{}) {
		if who, err = book.AuthorFor(dir, o.Now(), o.Book...); err != nil {
			return nil, err
		}
	}
	b, err := book.Init(dir, files, who, "Begin the book of "+o.Shop, o.Book...)
	if err != nil {
		return nil, err
	}
	return &Shop{Book: b, Now: o.Now}, nil
}
