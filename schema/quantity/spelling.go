package quantity

import "strings"

// plainer turns the signs people and programs write units with into the few
// this package's own symbols use.
var plainer = strings.NewReplacer(
	"µ", "u", "μ", "u", "°", "deg", "²", "2", "³", "3", "^", "",
	"·", " ", "⋅", " ", "*", " ", "_", " ", "\u00a0", " ", "\u2009", " ", "\u202f", " ",
)

// closer takes the blanks from around a stroke: "g / s" is "g/s".
var closer = strings.NewReplacer(" / ", "/", "/ ", "/", " /", "/")

// plain gives a unit's spelling in one form, so that N·m, N-m, N.m and N_m
// are all "N m". It keeps upper and lower case: MPa is not mPa.
func plain(symbol string) string {
	b := []byte(plainer.Replace(symbol))
	for i := 1; i < len(b)-1; i++ {
		if (b[i] == '.' || b[i] == '-') && isLetter(b[i-1]) && isLetter(b[i+1]) {
			b[i] = ' '
		}
	}
	words := strings.FieldsFunc(string(b), func(r rune) bool { return r == ' ' || r == '\t' })
	return closer.Replace(strings.Join(words, " "))
}

func isLetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }

// meant says which unit is meant by spellings too loose to be read as one.
var meant = map[string]string{
	"C": "degC", "F": "degF", `"`: "in", "'": "ft", "mil": "thou",
	"gal": "US gal", "gpm": "US gal/min", "BTU": "BTU_IT", "btu": "BTU_IT",
	"deg ATDC": "deg", "deg BTDC": "deg", "deg ABDC": "deg", "deg BBDC": "deg",
}

// Nearest gives the symbol of the known unit that symbol most likely stands
// for, for use in messages, or "" when none is near: more than one slip in
// three letters is another word. Of units equally near, one as long as symbol
// wins.
func Nearest(symbol string) string {
	const longest = 40 // bytes; nothing longer is a misspelt unit
	key := plain(symbol)
	if len(key) > longest {
		return ""
	}
	if m := meant[key]; m != "" {
		return m
	}
	for ending := range pressureEndings {
		if stem, ok := strings.CutSuffix(key, ending); ok {
			return nearestPressure(stem, ending)
		}
	}
	best, bestSlips, bestLonger := "", (len(key)+1)/3+1, 0
	for _, r := range table().rows {
		for _, spelling := range r.spellings() {
			slips := misspelling(key, plain(spelling))
			longer := max(len(spelling)-len(key), len(key)-len(spelling))
			if slips < bestSlips || best != "" && slips == bestSlips && longer < bestLonger {
				best, bestSlips, bestLonger = r.symbol, slips, longer
			}
		}
	}
	return best
}

// nearestPressure mends a pressure unit before an ending such as " gauge".
func nearestPressure(stem, ending string) string {
	near := Nearest(stem)
	if u, ok := Lookup(near); !ok || u.dim != Pressure {
		return ""
	}
	return near + ending
}

// misspelling counts the letters to change, add, drop or swap to get from one
// spelling to another; a difference of case alone counts nothing.
func misspelling(a, b string) int {
	a, b = strings.ToLower(a), strings.ToLower(b)
	var before, last []int // the two rows of the table above the current one
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		before, last, row = last, row, make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(b)]
}
