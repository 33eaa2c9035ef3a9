package schema

import (
	"fmt"
	"strconv"
	"sync"
	"time"

	"stackbook/schema/quantity"
)

// ParseQuantity reads a quantity written for a field of dimension dim. A pure
// number needs no unit where the dictionary's unit is 1; everywhere else a
// bare number is an error and not a guess.
func ParseQuantity(text string, dim quantity.Dimension, unit string) (quantity.Quantity, error) {
	if dim == quantity.Ratio && unit == "1" {
		if q, err := quantity.ParseNumber(text, quantity.MustLookup("1")); err == nil {
			return q, nil
		}
	}
	q, err := quantity.Parse(text)
	if err != nil {
		return quantity.Quantity{}, err
	}
	return q.As(dim)
}

// bounds remembers the parsed limits of sense of fields and points.
var bounds sync.Map // text and dimension → quantity.Quantity

type boundKey struct {
	text string
	dim  quantity.Dimension
}

func bound(text string, dim quantity.Dimension, unit string) quantity.Quantity {
	key := boundKey{text, dim}
	if q, ok := bounds.Load(key); ok {
		return q.(quantity.Quantity)
	}
	q, err := ParseQuantity(text, dim, unit)
	if err != nil {
		panic("schema: the dictionary's bound " + text + ": " + err.Error())
	}
	bounds.Store(key, q)
	return q
}

// sensible tells whether a quantity lies between two bounds of sense; the
// error names the bound that is passed.
func sensible(q quantity.Quantity, low, high string, dim quantity.Dimension, unit string) error {
	if low != "" {
		if c, err := q.Cmp(bound(low, dim, unit)); err == nil && c < 0 {
			return fmt.Errorf("%s is less than %s, which cannot be", q, low)
		}
	}
	if high != "" {
		if c, err := q.Cmp(bound(high, dim, unit)); err == nil && c > 0 {
			return fmt.Errorf("%s is more than %s, which cannot be", q, high)
		}
	}
	return nil
}

// Date is a day, with the time of day where it was written.
type Date struct {
	Time    time.Time // UTC; the clock is meant as the shop's own
	HasTime bool
}

// ParseDate reads 2024-03-02 or 2024-03-02 14:30.
func ParseDate(text string) (Date, error) {
	if t, err := time.Parse("2006-01-02", text); err == nil {
		return Date{Time: t}, nil
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			return Date{Time: t, HasTime: true}, nil
		}
	}
	return Date{}, fmt.Errorf("%q is no date", text)
}

// Day is the date without its time: 2024-03-02.
func (d Date) Day() string { return d.Time.Format("2006-01-02") }

// String is the date as it should be written.
func (d Date) String() string {
	switch {
	case !d.HasTime:
		return d.Day()
	case d.Time.Second() != 0:
		return d.Time.Format("2006-01-02 15:04:05")
	}
	return d.Time.Format("2006-01-02 15:04")
}

// Compare orders two dates; ok is false when they lie on one day and not both
// carry a time, so that their order is not known.
func (d Date) Compare(other Date) (order int, ok bool) {
	const day = 24 * time.Hour
	if a, b := d.Time.Truncate(day), other.Time.Truncate(day); !a.Equal(b) {
		return a.Compare(b), true
	}
	if !d.HasTime || !other.HasTime {
		return 0, false
	}
	return d.Time.Compare(other.Time), true
}

// checkWhole reads a whole number written plainly.
func checkWhole(text, low, high string) error {
	n, err := strconv.Atoi(text)
	if err != nil || text != strconv.Itoa(n) {
		return fmt.Errorf("%q is not a whole number", text)
	}
	if low == "" {
		low = "0"
	}
	if l, err := strconv.Atoi(low); err == nil && n < l {
		return fmt.Errorf("%d is less than %d", n, l)
	}
	if h, err := strconv.Atoi(high); err == nil && n > h {
		return fmt.Errorf("%d is more than %d", n, h)
	}
	return nil
}

// CheckNumber tells whether a text may be an engine's number: capital letters,
// digits and hyphens, at most 24, and none of the names some systems keep for
// devices (R11).
func CheckNumber(number string) error {
	ok := number != "" && len(number) <= 24 && number[0] != '-'
	for _, r := range number {
		if !(r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-') {
			ok = false
		}
	}
	if !ok {
		return fmt.Errorf("%q is no engine number: use capital letters, digits and hyphens, at most 24, such as SK-07", number)
	}
	if IsDeviceName(number) {
		return fmt.Errorf("%q is a name some systems keep for a device: take another number", number)
	}
	return nil
}

// IsDeviceName tells whether some system keeps a name, in capitals, for a
// device and has no file of it.
func IsDeviceName(name string) bool {
	switch name {
	case "CON", "PRN", "AUX", "NUL":
		return true
	}
	return len(name) == 4 && (name[:3] == "COM" || name[:3] == "LPT") && name[3] >= '0' && name[3] <= '9'
}
