package lookup

// A word of a text is a run of letters, digits, hyphens, full stops, underscores
// and bytes of other scripts. Whatever parts the values of a record from each
// other (spaces, quotes, commas, brackets, colons) is none of these, so a value
// that is written without an escape has all its own words among those of the
// text, whole. Words are told by their hash: two that share one give a file too
// many, and never one too few.
//
// Left out, since records are full of them, are decimals, numbers of up to three
// digits, days, and what is longer than mostLetters. Who asks for a value made of
// nothing else is given every record.

const mostLetters = 64

// Two words that stand in no text: every record, and those with an escape, which
// may hold any value.
const (
	recordWord uint64 = iota
	escapedWord
	firstWord
)

// The kinds of byte a text is made of.
const (
	between byte = iota
	digit
	point
	hyphen
	other
	kinds
)

var kindOf = func() (table [256]byte) {
	for c := range table {
		switch {
		case c >= '0' && c <= '9':
			table[c] = digit
		case c == '.':
			table[c] = point
		case c == '-':
			table[c] = hyphen
		case c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '_' || c >= 0x80:
			table[c] = other
		}
	}
	return table
}()

// eachWord gives the hashes of the words of a text that are listed. The hash is
// FNV-1a with 64 bits (from memory), but for the numbers that no word has.
func eachWord[T string | []byte](text T, take func(hash uint64)) {
	for i := 0; i < len(text); i++ {
		if kindOf[text[i]] == between {
			continue
		}
		begin := i
		hash := uint64(14695981039346656037)
		var count [kinds]int
		for ; i < len(text) && kindOf[text[i]] != between; i++ {
			count[kindOf[text[i]]]++
			hash = (hash ^ uint64(text[i])) * 1099511628211
		}
		if listed(string(text[begin:min(i, begin+mostLetters+1)]), count) {
			take(max(hash, firstWord))
		}
	}
}

// listed tells whether a word is one that is looked for by the index, by its
// letters and how many are of each kind.
func listed(word string, count [kinds]int) bool {
	digits, points, hyphens := count[digit], count[point], count[hyphen]
	switch {
	case len(word) > mostLetters || digits+count[other] == 0:
		return false
	case count[other] > 0:
		return true
	case points == 0 && hyphens == 0:
		return digits > 3
	case points == 1 && hyphens == 0, points <= 1 && hyphens == 1 && word[0] == '-':
		return false // a decimal, or a number below zero
	case points == 0 && hyphens == 2 && len(word) == len("2024-03-02") && word[4] == '-' && word[7] == '-':
		return false
	}
	return true
}
