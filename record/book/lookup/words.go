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

func isWordByte(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || isDigit(c) || c == '-' || c == '.' || c == '_' || c >= 0x80
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// eachWord gives the words of a text that are listed.
func eachWord(text []byte, take func(word []byte)) {
	begin := -1
	for i := range len(text) + 1 {
		in := i < len(text) && isWordByte(text[i])
		switch {
		case in && begin < 0:
			begin = i
		case !in && begin >= 0:
			if word := text[begin:i]; listed(word) {
				take(word)
			}
			begin = -1
		}
	}
}

// listed tells whether a word is one that is looked for by the index.
func listed(word []byte) bool {
	digits, points, hyphens, others := 0, 0, 0, 0
	for _, c := range word {
		switch {
		case isDigit(c):
			digits++
		case c == '.':
			points++
		case c == '-':
			hyphens++
		default:
			others++
		}
	}
	switch {
	case len(word) > mostLetters || digits+others == 0:
		return false
	case others > 0:
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

// hashOf is FNV-1a with 64 bits (from memory), but for the two numbers that no
// word has.
func hashOf(word []byte) uint64 {
	h := uint64(14695981039346656037)
	for _, c := range word {
		h = (h ^ uint64(c)) * 1099511628211
	}
	if h < firstWord {
		h += firstWord
	}
	return h
}
