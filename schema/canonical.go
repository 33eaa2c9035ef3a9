package schema

import (
	"strconv"
	"strings"
	"time"

	"stackbook/schema/quantity"
)

// Canonical is a text equal for values of the field that mean the same: 1.75 in
// and 44.45 mm, 2024-03-02 with and without quotes. What cannot be read as the
// field asks, and every value of a nil field, stands for itself.
func (f *Field) Canonical(text string) string {
	if f == nil {
		return text
	}
	switch f.Type {
	case Quantity:
		if q, err := quantity.Parse(text, f.Dim, f.Unit); err == nil {
			return q.Canonical()
		}
	case Amount:
		if q, err := quantity.ParseAny(text); err == nil {
			return q.Canonical()
		}
	case Day:
		if d, err := ParseDate(text); err == nil {
			return d.Time.Format(time.DateTime) + " " + strconv.FormatBool(d.HasTime)
		}
	}
	return text
}

// Canonical is a text equal for readings of one value, in whatever unit: the
// words, the ends of the interval, or the values in their order. With what and
// how it was taken is not in it.
func (r *Reading) Canonical() string {
	if r.Text != "" {
		return r.Text
	}
	if len(r.Between) == 2 {
		return "between " + r.Between[0].Canonical() + " and " + r.Between[1].Canonical()
	}
	var values []string
	for _, q := range r.Values {
		values = append(values, q.Canonical())
	}
	return strings.Join(values, ", ")
}
