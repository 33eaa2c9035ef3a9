package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// R17: the sum is that of the lines sha256sum and printf would print. Expected
// values were worked with coreutils: printf 'stackbook-delivery 1\nSK-07\n2\n'
// followed by the two lines of sha256sum, piped to sha256sum.
func TestDeliverySum(t *testing.T) {
	files := map[string]Sum{"engines/2023/SK-07/spec.yaml": SumOf([]byte("b\n")), "book.yaml": SumOf([]byte("a\n"))}
	sum := DeliverySum("SK-07", 2, files)
	assert.Equal(t, "7ef153f43abaac2985449a7a5bc12243e1e5fdfbb3999c2f943759adcfb55cfe", sum.String())
	assert.Equal(t, "1-P3YV-H5B2-XKWC-TBKE-TJ5F-XQJC-L", sum.Code())

	seen := map[Sum]string{sum: "itself"}
	differs := func(what string, other Sum) {
		assert.NotContains(t, seen, other, what)
		seen[other] = what
	}
	differs("another engine", DeliverySum("SK-08", 2, files))
	differs("another build", DeliverySum("SK-07", 3, files))
	differs("a file less", DeliverySum("SK-07", 2, map[string]Sum{"book.yaml": files["book.yaml"]}))
	differs("another path", DeliverySum("SK-07", 2, map[string]Sum{"engines/2024/SK-07/spec.yaml": SumOf([]byte("b\n")), "book.yaml": SumOf([]byte("a\n"))}))
	differs("another byte", DeliverySum("SK-07", 2, map[string]Sum{"engines/2023/SK-07/spec.yaml": SumOf([]byte("b")), "book.yaml": SumOf([]byte("a\n"))}))
}

// Paths are sorted byte by byte, as LC_ALL=C sort does: B before a, a-b before a/b.
func TestDeliverySumSortsBytewise(t *testing.T) {
	one := DeliverySum("X", 1, map[string]Sum{"a/b": {1}, "a-b": {2}, "B": {3}})
	h := SumOf([]byte("stackbook-delivery 1\nX\n1\n" + Sum{3}.String() + "  B\n" + Sum{2}.String() + "  a-b\n" + Sum{1}.String() + "  a/b\n"))
	assert.Equal(t, h, one)
}

// samples are sums with all kinds of bytes in them.
func samples() []Sum {
	list := []Sum{{}}
	for i := range 20 {
		list = append(list, SumOf([]byte{byte(i)}))
	}
	return list
}

func TestReadCodeReadsWhatIsPrinted(t *testing.T) {
	for _, sum := range samples() {
		code := sum.Code()
		require.Regexp(t, `^1(-[A-Z2-7]{4}){6}-[A-Z2-7]$`, code)
		for _, typed := range []string{code, strings.ToLower(code), strings.ReplaceAll(code, "-", ""), strings.ReplaceAll(code, "-", " "), " " + strings.ReplaceAll(code, "-", "–") + " "} {
			read, err := ReadCode(typed)
			require.NoError(t, err, typed)
			assert.Equal(t, code, read)
		}
	}
}

func TestReadCodeTakesDigitsForTheLettersTheyLookLike(t *testing.T) {
	for _, sum := range samples() {
		code := sum.Code()
		typed := code[:1] + strings.NewReplacer("O", "0", "I", "1", "B", "8").Replace(code[1:])
		read, err := ReadCode(typed)
		require.NoError(t, err, typed)
		assert.Equal(t, code, read)
	}
}

// Every single wrong character is noticed, the check character among them.
func TestReadCodeNoticesEveryWrongCharacter(t *testing.T) {
	for _, sum := range samples() {
		code := strings.ReplaceAll(sum.Code(), "-", "")
		for i := range len(code) {
			for _, c := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567901!" {
				wrong := code[:i] + string(c) + code[i+1:]
				if c == rune(code[i]) || c == '0' && code[i] == 'O' || c == '1' && code[i] == 'I' {
					continue
				}
				_, err := ReadCode(wrong)
				require.ErrorIs(t, err, ErrMistyped, wrong)
			}
		}
	}
}

// Any two characters that changed places are noticed, neighbours above all.
func TestReadCodeNoticesExchanges(t *testing.T) {
	for _, sum := range samples() {
		code := []byte(strings.ReplaceAll(sum.Code(), "-", ""))
		for i := range code {
			for k := i + 1; k < len(code); k++ {
				if code[i] == code[k] {
					continue
				}
				code[i], code[k] = code[k], code[i]
				_, err := ReadCode(string(code))
				require.ErrorIs(t, err, ErrMistyped, string(code))
				code[i], code[k] = code[k], code[i]
			}
		}
	}
}

func TestReadCodeWantsTheWholeCode(t *testing.T) {
	code := SumOf(nil).Code()
	for _, typed := range []string{"", "1", code[:len(code)-1], code + "A", strings.Repeat("é", 13)} {
		_, err := ReadCode(typed)
		require.Error(t, err, typed)
	}
	_, err := ReadCode(code[:len(code)-1])
	require.ErrorIs(t, err, ErrCodeLength)
	require.ErrorContains(t, err, "25 characters and not 26")
}
