package diff

import (
	"strings"

	"stackbook/record"
	"stackbook/schema"
	"stackbook/schema/quantity"
)

// line is one reading of a session as it is compared: its value, and with what
// and how it was taken, in the order of particulars.
type line struct {
	value       leaf
	particulars [len(particulars)]leaf
}

// particulars are the keys of a reading beside its value.
var particulars = [...]string{"instrument", "temperature", "temperature_error", "method", "by", "note"}

// readings compares the readings of two states of one session: a reading is
// what it means, whatever unit it is written in.
func (w *walker) readings(a, b *record.Session) {
	x, y := linesOf(a), linesOf(b)
	for _, point := range mergedKeys(x, y) {
		var both []string
		for _, key := range mergedKeys(x[point], y[point]) {
			from, inA := x[point][key]
			to, inB := y[point][key]
			if inA && inB {
				both = append(both, key)
			}
			if inA != inB || from.value.canonical != to.value.canonical {
				w.add(point+" "+key, whatOf(inA, inB), from.value.text, to.value.text)
			}
		}
		for i := range particulars {
			w.particular(i, point, both, x[point], y[point])
		}
	}
}

// particular compares one particular of the readings that both sides hold.
// What altered alike for all of them is told once, for the point.
func (w *walker) particular(i int, point string, keys []string, x, y map[string]line) {
	var found []Change
	alike := true
	for _, key := range keys {
		from, to := x[key].particulars[i], y[key].particulars[i]
		if from.canonical == to.canonical {
			continue
		}
		what := whatOf(from.text != "", to.text != "")
		found = append(found, Change{Path: point + " " + key + " " + particulars[i], What: what, From: from.text, To: to.text})
		alike = alike && from == x[keys[0]].particulars[i] && to == y[keys[0]].particulars[i]
	}
	if len(found) > 0 && len(found) == len(keys) && alike {
		found = found[:1]
		found[0].Path = point + " " + particulars[i]
	}
	w.changes = append(w.changes, found...)
}

// linesOf gives a session's readings by point and key.
func linesOf(s *record.Session) map[string]map[string]line {
	lines := map[string]map[string]line{}
	for i := range s.Readings {
		r := &s.Readings[i]
		if lines[r.Point.ID] == nil {
			lines[r.Point.ID] = map[string]line{}
		}
		lines[r.Point.ID][r.Key] = line{readLeaf(r), [...]leaf{
			{r.Instrument, r.Instrument}, besideLeaf(r.Temperature), besideLeaf(r.TemperatureError), {r.Method, r.Method}, {r.By, r.By}, {r.Note, r.Note}}}
	}
	return lines
}

// readLeaf is what was read: words, one or more values, or an interval.
func readLeaf(r *schema.Reading) leaf {
	if r.Text != "" {
		return leaf{r.Text, r.Text}
	}
	if len(r.Between) == 2 {
		low, high := r.Between[0], r.Between[1]
		return leaf{"between " + low.String() + " and " + high.String(), r.Canonical()}
	}
	var text []string
	for _, q := range r.Values {
		text = append(text, q.String())
	}
	return leaf{strings.Join(text, ", "), r.Canonical()}
}

// besideLeaf is a quantity beside a reading, empty where none is written.
func besideLeaf(q *quantity.Quantity) leaf {
	if q == nil {
		return leaf{}
	}
	return leaf{q.String(), q.Canonical()}
}
