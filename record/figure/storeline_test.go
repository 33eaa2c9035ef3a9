package figure

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is read line by line says what YAML says, whatever bytes are altered in
// it, and a file as it is written is read that way.
func TestLinesReadAsYAML(t *testing.T) {
	const written = storeHead + `engine: SK-01
build: 2
formulas: 2
inputs: abd50dac25d42b0ded4fbcb2bce2eb527de9b45833027612a4631bdb66f358ad
figures:
  - {id: apex_seal.end_gap, at: rotor/1/apex/1, value: 0.103, unit: mm, uncertainty: 0.0057, verdict: conforms}
  - {id: apex_seal.pull_waist, at: rotor/1/apex/3, value: -2767, unit: "N", uncertainty: null, verdict: null}
  - {id: bore.narrowing, at: housing/1, value: 0.4, unit: ‰, uncertainty: null, verdict: null}
  - {id: shaft.share, at: engine, value: 4, unit: "%", uncertainty: null, verdict: null}
  - {id: balance.add, at: counterweight/front, value: 1.2e-05, unit: g mm, uncertainty: 31, verdict: fails}
`
	fast, ok := decodeAsWritten(written)
	require.True(t, ok)
	slow, ok := decodeYAML([]byte(written))
	require.True(t, ok)
	require.Equal(t, slow, fast)
	require.Equal(t, "N", fast.Lines[1].Unit)

	rng := rand.New(rand.NewPCG(5, 5))
	const signs = "\"'#:{}[],&*!|>%@`~-+ ?.\t\r\n\\nNulL0aé"
	taken := 0
	for range 30_000 {
		text := []byte(written)
		for range 1 + rng.IntN(3) {
			at := len(storeHead) + rng.IntN(len(text)-len(storeHead))
			switch c := signs[rng.IntN(len(signs))]; rng.IntN(3) {
			case 0:
				text[at] = c
			case 1:
				text = append(text[:at], append([]byte{c}, text[at:]...)...)
			default:
				text = append(text[:at], text[at+1:]...)
			}
		}
		if fast, ok := decodeAsWritten(string(text)); ok {
			taken++
			slow, ok := decodeYAML(text)
			require.True(t, ok, "%s", text)
			require.Equal(t, slow, fast, "%s", text)
		}
	}
	require.Greater(t, taken, 100)
}

// Every unit a figure has is read line by line.
func TestEveryUnitReadByLine(t *testing.T) {
	for _, f := range All() {
		line := StoredLine{ID: f.ID, At: "engine", Value: "1.5", Unit: f.Unit, Verdict: string(Conforms)}
		got, ok := storedLine(strings.TrimSuffix(line.text(), "\n"))
		require.True(t, ok, line.text())
		require.Equal(t, line, got)
	}
}
