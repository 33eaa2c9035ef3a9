package record

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"errors"
	"fmt"
	"sort"
	"strings"
)

// Sum is a SHA-256.
type Sum [sha256.Size]byte

// SumOf is the SHA-256 of a file's bytes.
func SumOf(data []byte) Sum { return sha256.Sum256(data) }

// String is the sum in lower-case hexadecimal digits.
func (s Sum) String() string { return hex.EncodeToString(s[:]) }

// DeliverySum is the SHA-256 of a delivered build (R17): of the lines
//
//	stackbook-delivery 1
//	SK-07
//	2
//
// and then, for each file, of a line as sha256sum prints it, the file's
// SHA-256, two spaces and its path in the book, the paths sorted bytewise. The
// files are all of the engine's folder, book.yaml and the limit set, as they
// were committed. Neither git, nor a date, nor a formula goes into it, so that
// it can be worked anew by whatever reads the files.
func DeliverySum(engine string, build int, files map[string]Sum) Sum {
	paths := make([]string, 0, len(files))
	for path := range files {
		paths = append(paths, path)
	}
	sort.Strings(paths)
	h := sha256.New()
	fmt.Fprintf(h, "stackbook-delivery 1\n%s\n%d\n", engine, build)
	for _, path := range paths {
		fmt.Fprintf(h, "%s  %s\n", files[path], path)
	}
	return Sum(h.Sum(nil))
}

// A delivery code is a version digit, the first 120 bits of the sum in base 32
// (RFC 4648, section 6) and a check character.
const (
	codeVersion = '1'
	codeBytes   = 15
	codeLength  = 1 + codeBytes*8/5 + 1
	codeDigits  = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
)

// Code is the delivery code as it is printed on a sheet, in groups of four:
// 1-QX3M-27LA-VZ5K-OPDE-HRT4-B6WY-J.
func (s Sum) Code() string {
	body := string(codeVersion) + base32.StdEncoding.EncodeToString(s[:codeBytes])
	return grouped(body + string(codeDigits[checkValue(body)]))
}

func grouped(code string) string {
	var b strings.Builder
	b.WriteString(code[:1])
	for i := 1; i < len(code); i += 4 {
		b.WriteString("-" + code[i:min(i+4, len(code))])
	}
	return b.String()
}

// checkValue is the check character's value for the characters before it. Each
// stands for a number of the field of 32 elements (polynomials modulo
// x^5 + x^2 + 1) and weighs x times as much as the next, so that the whole
// code comes to nothing: one check symbol of a Reed-Solomon code. As x has
// order 31, no two of the 26 places weigh the same: every single wrong
// character shows, and so do any two that changed places. (The check character
// of ISO/IEC 7064 MOD 37,36 lets 30 of 17,856 exchanges of neighbours pass
// here, and that of MOD 37-2 may be an asterisk.)
func checkValue(code string) int {
	sum := 0
	for i := range len(code) {
		sum = timesX(sum) ^ codeValue(code[i])
	}
	return timesX(sum)
}

func timesX(a int) int {
	const modulus = 0b100101 // x^5 + x^2 + 1
	if a <<= 1; a > 31 {
		a ^= modulus
	}
	return a
}

// codeValue is the number a character stands for; the version digit stands for
// itself. -1 is none.
func codeValue(c byte) int {
	if c == codeVersion {
		return int(c - '0')
	}
	return strings.IndexByte(codeDigits, c)
}

// Errors of a code that was typed in.
var (
	ErrMistyped   = errors.New("the delivery code is mistyped: its characters do not fit together")
	ErrCodeLength = errors.New("the delivery code is not whole")
)

// ReadCode reads a delivery code as a person types it, in small letters,
// without its dashes or with spaces for them, and gives it as Code prints it.
// Behind the first place no 0, 1 or 8 can stand: they are read as the O, I and
// B they were taken for. A slip of the pen is ErrMistyped, or, where
// characters are left out or too many, ErrCodeLength.
func ReadCode(typed string) (string, error) {
	code := strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \t-–—", r) {
			return -1
		}
		return r
	}, strings.ToUpper(typed))
	if len(code) != codeLength {
		return "", fmt.Errorf("%w: it has %d characters and not %d", ErrCodeLength, len(code), codeLength)
	}
	code = code[:1] + strings.NewReplacer("0", "O", "1", "I", "8", "B").Replace(code[1:])
	for i := range len(code) {
		if codeValue(code[i]) < 0 {
			return "", ErrMistyped
		}
	}
	if code[0] != codeVersion || checkValue(code[:codeLength-1]) != codeValue(code[codeLength-1]) {
		return "", ErrMistyped
	}
	return grouped(code), nil
}
