package schema

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

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
	return Date{}, fmt.Errorf("%s is no date", quoted(text))
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

// checkWhole reads a whole number written plainly, between two bounds that are
// inside.
func checkWhole(text, low, high string) error {
	digits := strings.TrimPrefix(text, "-")
	if strings.Trim(digits, "0123456789") != "" || digits == "" || len(digits) > 1 && digits[0] == '0' || text == "-0" {
		return fmt.Errorf("%s is not a whole number", quoted(text))
	}
	n, err := strconv.Atoi(text)
	least, most := mustWhole(low), mustWhole(high)
	switch {
	case n < least:
		return fmt.Errorf("%s is less than %d", short(text), least)
	case err != nil || n > most:
		return fmt.Errorf("%s is more than %d", short(text), most)
	}
	return nil
}

// mustWhole reads a bound of the dictionary.
func mustWhole(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		panic("schema: the dictionary's bound " + text + ": " + err.Error())
	}
	return n
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
		return fmt.Errorf("%s is no engine number: use capital letters, digits and hyphens, at most 24, such as SK-07", quoted(number))
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
