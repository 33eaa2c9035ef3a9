package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// jsonValue wants a value at a path of a JSON file, or of what the last command
// printed: json stdout figures[id=compression.ratio,at=engine].value 9.29.
//
// A path is keys with dots between them; [2] picks the third of a list and
// [key=text,key=text] the one entry that has all of these. Numbers are compared
// as they were printed, len=3 is a list or an object of three entries, and null is
// null. With the file alone, it is one whole document and nothing else.
func jsonValue(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 1 && len(args) != 3 || neg && len(args) != 3 {
		ts.Fatalf("usage: [!] json FILE [PATH WANT]")
	}
	document, err := decodeOne(ts.ReadFile(args[0]))
	ts.Check(err)
	if len(args) == 1 {
		return
	}
	found, err := valueAt(document, args[1])
	ts.Check(err)
	got := jsonText(found, strings.HasPrefix(args[2], "len="))
	if (got == args[2]) == neg {
		ts.Fatalf("%s is %s, and the script has %s", args[1], got, args[2])
	}
}

// decodeOne reads the one document of a text; anything behind it is an error.
func decodeOne(text string) (document any, err error) {
	d := json.NewDecoder(strings.NewReader(text))
	d.UseNumber()
	if err := d.Decode(&document); err != nil {
		return nil, fmt.Errorf("no JSON document: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("there is more than one JSON document")
	}
	return document, nil
}

// valueAt walks down a document.
func valueAt(v any, path string) (any, error) {
	rest := path
	for rest != "" {
		var err error
		if after, ok := strings.CutPrefix(rest, "["); ok {
			var which string
			which, rest, ok = strings.Cut(after, "]")
			if !ok {
				return nil, fmt.Errorf("%s: a bracket is not closed", path)
			}
			v, err = entryOf(v, which)
		} else {
			end := strings.IndexAny(rest, ".[")
			if end < 0 {
				end = len(rest)
			}
			v, err = memberOf(v, rest[:end])
			rest = rest[end:]
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		rest = strings.TrimPrefix(rest, ".")
	}
	return v, nil
}

func memberOf(v any, key string) (any, error) {
	object, ok := v.(map[string]any)
	if !ok {
		return nil, fmt.Errorf("%q is asked of what is no object", key)
	}
	member, ok := object[key]
	if !ok {
		return nil, fmt.Errorf("there is no %q", key)
	}
	return member, nil
}

// entryOf picks an entry of a list by its number, or the only one whose members
// have the wanted texts.
func entryOf(v any, which string) (any, error) {
	list, ok := v.([]any)
	if !ok {
		return nil, fmt.Errorf("[%s] is asked of what is no list", which)
	}
	if n, err := strconv.Atoi(which); err == nil {
		if n >= len(list) {
			return nil, fmt.Errorf("the list has %d entries", len(list))
		}
		return list[n], nil
	}
	var found []any
	for _, entry := range list {
		if hasAll(entry, strings.Split(which, ",")) {
			found = append(found, entry)
		}
	}
	if len(found) != 1 {
		return nil, fmt.Errorf("%d entries have %s", len(found), which)
	}
	return found[0], nil
}

func hasAll(entry any, conditions []string) bool {
	for _, c := range conditions {
		key, want, _ := strings.Cut(c, "=")
		member, err := memberOf(entry, key)
		if err != nil || jsonText(member, false) != want {
			return false
		}
	}
	return true
}

// jsonText is a value as scripts write it.
func jsonText(v any, counted bool) string {
	switch v := v.(type) {
	case string:
		return v
	case []any:
		if counted {
			return fmt.Sprintf("len=%d", len(v))
		}
	case map[string]any:
		if counted {
			return fmt.Sprintf("len=%d", len(v))
		}
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err.Error()
	}
	return strings.TrimSpace(b.String())
}
