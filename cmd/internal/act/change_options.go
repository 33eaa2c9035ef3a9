package act

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"stackbook/schema"
)

// ChangeOption is an option that fills in one key of a change.
type ChangeOption struct {
	Name string // without hyphens
	Path string // the key, as the dictionary's dotted path
	Help string // a few words; what stands for the value is in backquotes
}

// ChangeOptions are the options of a change, in the order of the dictionary.
var ChangeOptions = []ChangeOption{
	{"kind", "kind", "the `KIND` of change"},
	{"what", "what", "what was done or happened, in `WORDS`"},
	{"why", "why", "why, in `WORDS`"},
	{"by", "by", "who did it, by `INITIALS`"},
	{"date", "date", "the `DAY` it happened, and the time if it matters"},
	{"hours", "hours", "running `HOURS` of the engine in all: '61 h'"},
	{"hours-error", "hours_error", "how many `HOURS` they may be off: '3 h'"},
	{"hours-source", "hours_source", "where the hours come from, in `WORDS`"},
	{"touches", "touches", "a `POSITION` it altered"},
	{"accepted-by", "concession.accepted_by", "who accepted it, by `INITIALS`"},
	{"figure", "concession.figures", "a `FIGURE` or point it is about"},
	{"told", "concession.told", "what the customer was told, in `WORDS`"},
	{"look-again", "concession.look_again", "when to look again, in `WORDS`"},
	{"fact", "findings.facts", "what was seen, in `WORDS`"},
	{"cause", "findings.causes", "a possible `'CAUSE: CERTAINTY'`"},
	{"settlement", "findings.settlement", "what was agreed, in `WORDS`"},
	{"recorded", "recorded", "a `KEY=VALUE` with its unit"},
	{"source", "source", "where this comes from, in `WORDS`"},
	{"receipt", "receipt", "how receipt was confirmed, in `WORDS`"},
	{"kept", "kept", "parts and samples kept, and where, in `WORDS`"},
	{"removed", "removed", "a `PART` taken out, as above"},
	{"note", "note", "anything else, in `WORDS`"},
}

// Repeats tells whether an option may be given several times.
func (o ChangeOption) Repeats() bool {
	f := schema.Change().At(o.Path)
	return f.Type == schema.Series || f.Type == schema.Keyed
}

// optionOf is the option that fills in a key, "" where none does.
func optionOf(dotted string) string {
	for _, o := range ChangeOptions {
		if o.Path == dotted {
			return o.Name
		}
	}
	if dotted == "photos" {
		return "photo"
	}
	return ""
}

// typed turns options into what the record is to hold: what every record begins with, the day of
// today where none is given, and each value in the shape of its key.
func (d *Desk) typed(values map[string][]string) (content, error) {
	c := content{
		"format": fmt.Sprintf("change/%d", schema.FormatNumber), "engine": d.Place.Number,
		"build": strconv.Itoa(d.Engine.Build), "date": d.shop.Now().Format("2006-01-02"),
	}
	for _, o := range ChangeOptions {
		value, err := shape(o, values[o.Path])
		if err != nil {
			return nil, err
		}
		if value != nil {
			c[o.Path] = value
		}
	}
	kind, _ := c["kind"].(string)
	if err := checkKind(kind); err != nil {
		return nil, err
	}
	date, err := schema.ParseDate(c["date"].(string))
	if err != nil {
		return nil, usage("write: --date 2024-03-02, or --date '2024-03-02 14:30'", "%s", err.Error())
	}
	c["date"] = date.String()
	for _, o := range ChangeOptions {
		if strings.HasPrefix(o.Path, "concession.") && c[o.Path] != nil && kind != "concession" {
			return nil, usage("write: --kind concession, or leave it out", "--%s belongs to a concession, and this is of kind %s", o.Name, kind)
		}
	}
	return c, d.open(d.Engine.Build, kind)
}

func checkKind(kind string) error {
	var known []string
	for _, k := range schema.ChangeKinds {
		known = append(known, k.Name)
	}
	switch {
	case slices.Contains(known, kind):
		return nil
	case kind == "":
		return usage("write --kind with one of: "+strings.Join(known, ", "), "the kind of change is not said")
	}
	if near := schema.Nearest(kind, known); near != "" {
		return usage("did you mean "+near+"?", "there is no kind of change %q", kind)
	}
	return usage("use one of: "+strings.Join(known, ", "), "there is no kind of change %q", kind)
}

// shape gives an option's texts the shape of its key; nil where nothing is said.
func shape(o ChangeOption, texts []string) (any, error) {
	texts = said(texts)
	if len(texts) == 0 {
		return nil, nil
	}
	f := schema.Change().At(o.Path)
	switch {
	case f.Type == schema.Keyed:
		return keyed(o, texts)
	case f.Type != schema.Series:
		return texts[len(texts)-1], nil
	case f.Of.Type == schema.Position:
		return said(strings.Split(strings.Join(texts, ","), ",")), nil
	case f.Of.Type != schema.Group:
		return texts, nil
	}
	var items [][]pair
	for _, text := range texts {
		var item []pair
		var err error
		if o.Name == "cause" {
			item, err = causeOf(text, f.Of.Find("certainty"))
		} else {
			item, err = pairsOf(o.Name, text, f.Of)
		}
		if err != nil {
			return nil, err
		}
		items = append(items, item)
	}
	return items, nil
}

// said drops the blank ones of some texts.
func said(texts []string) []string {
	var list []string
	for _, t := range texts {
		if t = strings.TrimSpace(t); t != "" {
			list = append(list, t)
		}
	}
	return list
}

// keyed reads KEY=VALUE.
func keyed(o ChangeOption, texts []string) ([]pair, error) {
	var pairs []pair
	for _, text := range texts {
		key, value, ok := strings.Cut(text, "=")
		p := pair{strings.TrimSpace(key), strings.TrimSpace(value)}
		switch {
		case !ok || p.key == "" || p.value == "":
			return nil, usage(fmt.Sprintf("write it like: --%s 'coolant, highest=118 degC'", o.Name), "%q is not a key with a value", text)
		case slices.ContainsFunc(pairs, func(q pair) bool { return q.key == p.key }):
			return nil, usage("keep one of them, or give them two keys", "%q is given twice", p.key)
		}
		pairs = append(pairs, p)
	}
	return pairs, nil
}

// causeOf reads a cause with how sure it is: low coolant flow: confirmed.
func causeOf(text string, certainty *schema.Field) ([]pair, error) {
	at := strings.LastIndex(text, ":")
	mend := "write it like: --cause 'low coolant flow: probable', with one of: " + strings.Join(certainty.Choices, ", ")
	if at < 0 {
		return nil, usage(mend, "how sure the cause %q is, is not said", text)
	}
	cause, sure := strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
	if cause == "" || !slices.Contains(certainty.Choices, sure) {
		return nil, usage(mend, "%q does not say how sure the cause is", text)
	}
	return []pair{{"cause", cause}, {"certainty", sure}}, nil
}

var pairKey = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?:^|\s)([a-z_0-9]+)=`)
})

// pairsOf reads the keys of one mapping on a line: from=rotor/2 to=out for
// plating. A value goes on to the next key; a text before the first key is the
// value of the mapping's own first key.
func pairsOf(option, text string, of *schema.Field) ([]pair, error) {
	var keys []string
	for i := range of.Fields {
		keys = append(keys, of.Fields[i].Key)
	}
	found := pairKey().FindAllStringSubmatchIndex(text, -1)
	values := map[string]string{}
	if first := strings.TrimSpace(text[:startOf(found, 0, text)]); first != "" {
		values[keys[0]] = first
	}
	for i, m := range found {
		key := text[m[2]:m[3]]
		if !slices.Contains(keys, key) {
			mend := "use these: " + strings.Join(keys, ", ")
			if near := schema.Nearest(key, keys); near != "" {
				mend = "did you mean " + near + "=?"
			}
			return nil, usage(mend, "--%s has no key %q", option, key)
		}
		if values[key] != "" {
			return nil, usage("keep one of them", "--%s has %s twice", option, key)
		}
		values[key] = strings.TrimSpace(text[m[1]:startOf(found, i+1, text)])
	}
	var item []pair
	for _, key := range keys {
		if values[key] != "" {
			item = append(item, pair{key, values[key]})
		}
	}
	return item, nil
}

// startOf is where the key number i begins, the text's end behind the last.
func startOf(found [][]int, i int, text string) int {
	if i < len(found) {
		return found[i][0]
	}
	return len(text)
}
