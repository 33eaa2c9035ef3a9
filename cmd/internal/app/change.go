package app

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/cmd/internal/term"
	"stackbook/schema"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

const changeHelp = `Writes a change, an event or a note into the engine's changes/, checked
before anything is written. It is not committed unless --commit says so.

%s

In one of three ways:
  by options      at least --kind, --by and --what
  in your editor  --kind without --what, at a terminal: a template with every
                  key that suits the kind, in the editor git would use
  as a record     - or --from FILE: the record's YAML; format, engine and
                  build may be left out of it

A picture is copied into photos/ without what the camera wrote beside it, the
place among it. JPEG and PNG, 2 MB at most:
  --photo 'plug.jpg at=plug/2/leading caption=hair crack at the hole'
What stands behind a key= goes on to the next one, in --removed too.

Once a build is delivered it takes events, claims and notes only.

Examples:
  a telephone call, with the hours the customer gave
    stackbook change SK-07 --kind event --by KM --date '2024-07-08 18:40' \
      --hours '61 h' --hours-error '3 h' --hours-source "customer's log" \
      --what 'down 350 rpm, bad to start cold' --source telephone \
      --recorded 'coolant, highest=118 degC for 95 s'
  a concession, and later its end
    stackbook change SK-07 --kind concession --by KM --touches plate/1/rear \
      --what 'plate/1/rear used again with 0.06 mm of step wear' \
      --why 'limit is 0.10 mm' --figure 'step_wear at plate/1/rear' \
      --accepted-by KM --told 'to be looked at early' \
      --look-again 'at 40 h of this build'
    stackbook change SK-07 --close 2024-08-05-plate-1-rear-used-again \
      --why 'read again: as before'
  a claim
    stackbook change SK-07 --kind claim --by KM --what 'water loss at 61 h' \
      --fact 'bubbles at the leading plug of rotor 2' \
      --fact 'plug side bolts loose' \
      --cause 'low coolant flow: confirmed' \
      --cause 'over-rev: no proven part' --kept 'both seals, shelf 4' \
      --settlement 'parts by us, work by the customer'
  a part replaced
    stackbook change SK-07 --kind replacement --by KM --touches rotor/2 \
      --what 'rotor 2 replaced by R-2033' \
      --removed 'from=rotor/2 serial=R-1181 to=scrap'

With --json: format written/1, engine, build, kind, file, photos, commit;
file is null where nothing was written, commit where nothing was committed.`

func (a *app) change() *cli.Command {
	return a.command(cli.Command{
		Name:        "change",
		Usage:       "write a change, an event or a note down",
		ArgsUsage:   "[ENGINE] [-]",
		Description: fmt.Sprintf(changeHelp, kindLines()),
		Flags:       changeFlags(),
		Action: func(c *cli.Context) error {
			r, err := a.changeRun(c)
			if err != nil {
				return err
			}
			draft, err := r.draft()
			if err != nil || draft == nil {
				return err
			}
			return r.write(draft)
		},
	})
}

// kindLines are the kinds of change, six to a line.
func kindLines() string {
	var kinds, lines []string
	for _, k := range schema.ChangeKinds {
		kinds = append(kinds, k.Name)
	}
	for line := range slices.Chunk(kinds, 6) {
		lines = append(lines, strings.Join(line, ", "))
	}
	return "Kinds: " + strings.Join(lines, ",\n") + "."
}

// texts is an option that may be given several times. The library's own would
// part each value at its commas.
type texts []string

func (t *texts) Set(value string) error { *t = append(*t, value); return nil }
func (t *texts) String() string         { return strings.Join(*t, ", ") }
func (t *texts) Get() any               { return t.String() }

func changeFlags() []cli.Flag {
	var flags []cli.Flag
	for _, o := range act.ChangeOptions {
		if o.Repeats() {
			flags = append(flags, &cli.GenericFlag{Name: o.Name, Value: &texts{}, Usage: o.Help + "; again for each"})
		} else {
			flags = append(flags, &cli.StringFlag{Name: o.Name, Usage: o.Help})
		}
	}
	return append(flags,
		&cli.GenericFlag{Name: "photo", Value: &texts{}, Usage: "a `PICTURE` to keep, as above; again for each"},
		&cli.StringFlag{Name: "from", Usage: "the whole record, from `FILE`; - is standard input"},
		&cli.StringFlag{Name: "close", Usage: "close the concession of `FILE`; needs --why"},
		&cli.BoolFlag{Name: "commit", Usage: "commit the engine's records as well"},
		&cli.StringFlag{Name: "message", Aliases: []string{"m"}, Usage: "the commit's message, in `WORDS`"},
	)
}

// changeRun is one run of the command.
type changeRun struct {
	*app
	shop    *act.Shop
	desk    *act.Desk
	values  map[string][]string // by the dictionary's path
	photos  []string
	from    string
	close   string
	commit  bool
	message string
	kept    string // the file a text in writing is kept in
}

func (a *app) changeRun(c *cli.Context) (*changeRun, error) {
	r := &changeRun{app: a, values: map[string][]string{}, photos: *c.Generic("photo").(*texts), from: c.String("from"),
		close: c.String("close"), commit: c.Bool("commit"), message: c.String("message")}
	args := c.Args().Slice()
	if len(args) > 0 && args[len(args)-1] == "-" {
		r.from, args = "-", args[:len(args)-1]
	}
	if len(args) > 1 {
		return nil, tooMany(c, 1)
	}
	for _, o := range act.ChangeOptions {
		if !c.IsSet(o.Name) {
			continue
		}
		if r.values[o.Path] = []string{c.String(o.Name)}; o.Repeats() {
			r.values[o.Path] = *c.Generic(o.Name).(*texts)
		}
	}
	if err := r.sensible(); err != nil {
		return nil, err
	}
	var err error
	if r.shop, err = a.shop(); err != nil {
		return nil, err
	}
	number := strings.Join(args, "")
	if number == "" && r.close != "" {
		number = r.shop.EngineAt(filepath.Dir(a.path(r.close)))
	}
	if number, err = a.engineOr(r.shop, number); err != nil {
		return nil, err
	}
	r.desk, err = r.shop.Desk(number, a.Dir)
	return r, err
}

// sensible refuses options that say two different things.
func (r *changeRun) sensible() error {
	for _, o := range act.ChangeOptions {
		if r.values[o.Path] == nil {
			continue
		}
		if r.from != "" {
			return &act.UsageError{Message: "--" + o.Name + " and a whole record are both given", Mend: "write it into the record"}
		}
		if r.close != "" && o.Name != "why" && o.Name != "date" {
			return &act.UsageError{Message: "--" + o.Name + " says nothing of a concession that is closed", Mend: `write: --close FILE --why "..."; --date may be given too`}
		}
	}
	switch {
	case r.close != "" && (r.from != "" || len(r.photos) > 0):
		return &act.UsageError{Message: "closing a concession takes no record and no picture", Mend: "write another change for them"}
	case r.message != "" && !r.commit:
		return &act.UsageError{Message: "a message is given and nothing is to be committed", Mend: "add --commit, or commit it with: stackbook commit -m"}
	}
	return nil
}

// draft makes the change in the way that was asked for; nil where the person
// wrote nothing.
func (r *changeRun) draft() (*act.Draft, error) {
	switch {
	case r.close != "":
		return r.desk.CloseConcession(r.close, first(r.values["date"]), first(r.values["why"]))
	case r.from != "":
		return r.record()
	case r.values["what"] == nil && term.IsInteractive(r.In):
		return r.edited()
	}
	return r.desk.FromOptions(r.values, r.photos)
}

func first(list []string) string { return strings.Join(list[:min(1, len(list))], "") }

// record reads a whole record.
func (r *changeRun) record() (*act.Draft, error) {
	name, in := r.from, r.In
	if name == "-" {
		name = "(standard input)"
	} else {
		f, err := os.Open(r.path(name))
		if err != nil {
			return nil, &act.UsageError{Message: name + " cannot be read", Mend: "name a file that is there"}
		}
		defer f.Close()
		if in = f; filepath.Dir(r.path(name)) == r.drafts() {
			r.kept = r.path(name) // a text kept by an earlier run
		}
	}
	text, err := io.ReadAll(io.LimitReader(in, source.MaxSize+1)) // one more, so that too much is told
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(text) > source.MaxSize {
		return nil, problem.List{{File: name, Rule: "too-large", Message: fmt.Sprintf("this has more than the %d bytes a record may have", source.MaxSize),
			Mend: "split it, or keep the data in an attachment"}}
	}
	return r.desk.FromText(name, text, r.photos)
}

// write puts the draft into the folder and commits it if that was asked for.
func (r *changeRun) write(draft *act.Draft) error {
	if err := r.desk.Write(draft); err != nil {
		return r.keeping(err)
	}
	if r.kept != "" {
		os.Remove(r.kept) // the record holds it now
	}
	for _, remark := range draft.Remarks {
		r.remark("%s", remark)
	}
	var done *act.Committed
	var err error
	if r.commit {
		done, err = r.shop.Commit(r.desk.Place.Number, act.CommitOptions{Message: orElse(r.message, r.desk.Message(draft))})
	}
	if r.json {
		if err != nil {
			r.remark("%s is written and not committed", draft.File)
			return err
		}
		return r.printJSON(writtenJSON(r.desk.Place.Number, draft, done))
	}
	r.written(draft)
	if r.commit {
		return r.committed(done, err)
	}
	r.next(draft)
	return nil
}

// written says what was written and where.
func (r *changeRun) written(draft *act.Draft) {
	what := "is written: " + draft.Kind
	if draft.Closes {
		what = "is closed: " + draft.What
	}
	r.term.Line("%s %s", draft.File, what)
	for _, p := range draft.Photos {
		r.term.Line("%s is beside it", p)
	}
}

// next says what to do now.
func (r *changeRun) next(draft *act.Draft) {
	if draft.Kind == "replacement" {
		r.term.Line("Write the new part into %s/spec.yaml under parts, if it is not there yet.", r.desk.Place.Folder)
	}
	r.term.Line("Then: stackbook commit %s -m %s", r.desk.Place.Number, shellWord(strings.TrimPrefix(r.desk.Message(draft), r.desk.Place.Number+": ")))
}

// shellWord quotes a text for a shell.
func shellWord(text string) string {
	if !strings.ContainsAny(text, "\"$`\\!") {
		return `"` + text + `"`
	}
	return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
}

// pathWord quotes a path for a shell where it needs that.
func pathWord(path string) string {
	if strings.ContainsAny(path, " '\"$`\\!&;()*?[]<>|#~") {
		return shellWord(path)
	}
	return path
}

func orElse(text, other string) string {
	if text != "" {
		return text
	}
	return other
}

type writtenDocument struct {
	Format string   `json:"format"`
	Engine string   `json:"engine"`
	Build  int      `json:"build,omitempty"`
	Kind   string   `json:"kind,omitempty"`
	File   *string  `json:"file"` // null: nothing was written
	Photos []string `json:"photos"`
	Commit *string  `json:"commit"` // null: nothing was committed
}

func writtenJSON(number string, draft *act.Draft, done *act.Committed) writtenDocument {
	d := writtenDocument{Format: "written/1", Engine: number, Photos: []string{}}
	if draft != nil {
		d.Build, d.Kind, d.File, d.Photos = draft.Build, draft.Kind, &draft.File, orEmpty(draft.Photos)
	}
	if done != nil {
		d.Commit = &done.Commit.Hash
	}
	return d
}
