package act

import (
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// Told is one value of what the customer was told, as written.
type Told struct {
	Key   string // of the field below operating: coolant_stop
	Text  string
	Value quantity.Quantity
	Ref   record.Ref
}

// Label is the field's name as a person reads it.
func (t Told) Label() string { return strings.ReplaceAll(t.Key, "_", " ") }

// Recorded is one value that was recorded of an engine's running.
type Recorded struct {
	Event
	What   string // "coolant, highest"; a point's title and its place
	Text   string // as written
	Ref    record.Ref
	Beside []Beside // the limits it belongs beside, none where nothing tells
}

// Beside is a recorded value held against one limit as sent.
type Beside struct {
	Limit Told
	Apart float64 // value less limit, in the limit's dictionary unit
	Unit  quantity.Unit
}

// limitKeys are the operating values that can be held against what was
// recorded, by what was recorded.
var limitKeys = map[string][]string{
	"speed":        {"speed_continuous", "speed_momentary"},
	"coolant":      {"coolant_alarm", "coolant_stop"},
	"oil":          {"oil_alarm", "oil_stop"},
	"oil pressure": {"oil_pressure_stop"},
	"exhaust":      {"exhaust_stop"},
}

// limitsTold lists the numbers of the spec's operating section that are limits.
func limitsTold(e *record.Engine) []Told {
	var list []Told
	fields := schema.Spec().Find("operating").Fields
	for i := range fields {
		if !isLimit(fields[i].Key) {
			continue
		}
		path := "operating." + fields[i].Key
		if q, ref, ok := e.Spec.Quantity(path); ok {
			list = append(list, Told{fields[i].Key, e.Spec.Text(path), q, ref})
		}
	}
	return list
}

func isLimit(key string) bool {
	for _, keys := range limitKeys {
		if slices.Contains(keys, key) {
			return true
		}
	}
	return false
}

// ranPoints are the points that tell how an engine was run, and what each is.
var ranPoints = map[string]string{
	"top_speed": "speed", "coolant_temperature": "coolant", "oil_temperature": "oil", "oil_pressure_speed": "oil pressure", "exhaust_temperature": "exhaust",
}

// recordedIn lists the values recorded of an engine's running: those of changes
// under `recorded` and `counts`, and those of running sessions.
func recordedIn(events []Event, limits []Told) []Recorded {
	var list []Recorded
	for _, ev := range events {
		switch {
		case ev.Session == nil:
			if !kindIs(ev.Change, "delivery") { // what it records is what was told
				list = append(list, recordedBy(ev, limits)...)
			}
		case ev.Session.Stage != nil && ev.Session.Stage.Name == "running":
			list = append(list, readRunning(ev, limits)...)
		}
	}
	return list
}

func recordedBy(ev Event, limits []Told) []Recorded {
	var list []Recorded
	for _, key := range []string{"recorded", "counts"} {
		n := ev.Node(key)
		if n == nil {
			continue
		}
		for _, entry := range n.Entries() {
			r := Recorded{Event: ev, What: strings.ReplaceAll(entry.Key, "_", " "), Text: entry.Value.Text(), Ref: ev.Ref(entry.Value)}
			if q, ok := leading(r.Text); ok {
				r.hold(kindOf(r.What, q), q, limits)
			}
			list = append(list, r)
		}
	}
	return list
}

func readRunning(ev Event, limits []Told) []Recorded {
	var list []Recorded
	for i := range ev.Session.Readings {
		m := &ev.Session.Readings[i]
		what, ran := ranPoints[m.Point.ID]
		q, ok := record.Mean(m)
		if !ran || !ok {
			continue
		}
		r := Recorded{Event: ev, What: m.Point.Title + ", " + m.Key, Text: q.String(), Ref: ev.Ref(m.Node)}
		r.hold(what, q, limits)
		list = append(list, r)
	}
	return list
}

// hold holds a value against the limits of its kind.
func (r *Recorded) hold(what string, q quantity.Quantity, limits []Told) {
	for _, limit := range limits {
		field := schema.Spec().At("operating." + limit.Key)
		unit := quantity.MustLookup(field.Unit)
		if as, err := unit.As(field.Dim); err == nil {
			unit = as
		}
		value, err := q.As(field.Dim)
		if err != nil || !slices.Contains(limitKeys[what], limit.Key) {
			continue
		}
		apart := quantity.FromSI(value.SI(), unit) - quantity.FromSI(limit.Value.SI(), unit)
		r.Beside = append(r.Beside, Beside{limit, quantity.RoundTo(apart, 1e-6), unit})
	}
}

// leading reads the quantity a text begins with: "118 degC for 95 s" is 118 degC.
func leading(text string) (quantity.Quantity, bool) {
	words := strings.Fields(text)
	for n := min(len(words), 4); n > 0; n-- {
		if q, err := quantity.ParseAny(strings.TrimRight(strings.Join(words[:n], " "), ",;.")); err == nil {
			return q, true
		}
	}
	return quantity.Quantity{}, false
}

// kindOf tells from what a person called a value, and its dimension, which
// limits it belongs beside; "" where that is not plain.
func kindOf(what string, q quantity.Quantity) string {
	what = strings.ToLower(what)
	is := func(d quantity.Dimension) bool { _, err := q.As(d); return err == nil }
	for _, k := range []struct {
		word, kind string
		dim        quantity.Dimension
	}{
		{"coolant", "coolant", quantity.Temperature}, {"water", "coolant", quantity.Temperature}, {"oil", "oil", quantity.Temperature},
		{"exhaust", "exhaust", quantity.Temperature}, {"oil", "oil pressure", quantity.PressureGauge}, {"speed", "speed", quantity.RotationalSpeed},
	} {
		if strings.Contains(what, k.word) && is(k.dim) {
			return k.kind
		}
	}
	return ""
}
