package record_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/record"
	"stackbook/schema"
)

// The kind of a record is told by where it lies.
func TestKindOf(t *testing.T) {
	for path, kind := range map[string]string{
		"spec.yaml": "spec", "measurements/2024-03-02-mock-up-KM.yaml": "measurements", "changes/a.yaml": "change",
		"figures.yaml": "", "measurements/a.yml": "", "measurements/a.txt": "", "measurements/old/a.yaml": "", "old/spec.yaml": "",
		"changes": "", "photos/a.yaml": "", "": "", "measurements/": "", "spec.yaml/": "",
	} {
		require.Equal(t, kind, record.KindOf(path), path)
	}
}

// R12: a session's file tells its date, stage and person, and a number from the
// second of a day on.
func TestR12SessionName(t *testing.T) {
	day, err := schema.ParseDate("2024-03-02")
	require.NoError(t, err)
	clock, err := schema.ParseDate("2024-03-02 14:30")
	require.NoError(t, err)
	require.Equal(t, "2024-03-02-mock-up-KM.yaml", record.SessionName(day, "mock-up", "KM", 1))
	require.Equal(t, "2024-03-02-mock-up-KM-2.yaml", record.SessionName(day, "mock-up", "KM", 2))
	require.Equal(t, "2024-03-02-dyno-K-M.yaml", record.SessionName(clock, "dyno", "K. M.", 1))
}

// A few words are made fit for a file's name on any system.
func TestFileWord(t *testing.T) {
	for words, want := range map[string]string{
		"KM": "KM", "pocket recut": "pocket-recut", "  rotor 2, apex/3! ": "rotor-2-apex-3", "Größe": "Größe", "../etc": "etc", "": "", "!?": "", "a\x00b\nc": "a-b-c",
	} {
		require.Equal(t, want, record.FileWord(words), words)
	}
}

// R12: another name is a problem that tells the right one.
func TestR12FileNameRule(t *testing.T) {
	const text = "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2024-03-02 09:00\nby: KM\n"
	for name, right := range map[string]bool{
		"2024-03-02-mock-up-KM": true, "2024-03-02-mock-up-KM-2": true, "2024-03-02-mock-up-KM-17": true,
		"2024-03-02-mock-up-KM-1": false, "2024-03-02-mock-up-KM-02": false, "2024-03-02-mock-up-KM-2b": false, "2024-03-02-mock-up-KM-": false,
		"2024-03-02-mock-up-KMX": false, "2024-03-02-mock-up-TR": false, "2024-03-03-mock-up-KM": false, "2024-03-02-assembly-KM": false, "mock-up": false,
	} {
		_, list := new(shelf).spec(1, "").add("measurements/"+name+".yaml", text).problems()
		if right {
			require.Empty(t, list, name)
			continue
		}
		p := only(t, list)
		require.Equal(t, "file-name", p.Rule, name)
		require.Equal(t, "name it 2024-03-02-mock-up-KM.yaml", p.Mend, name)
	}
}

// R12: a session that does not say its date, stage or person has no right name.
func TestR12NoNameWithoutItsParts(t *testing.T) {
	_, list := new(shelf).spec(1, "").add("measurements/mine.yaml", "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: some day\nby: KM\n").problems()
	require.Equal(t, "date", only(t, list).Rule, "the date is what to mend")
}

// R12: the name proposed is free: that of no other file, nor one proposed for
// another.
func TestR12TheNameProposedIsFree(t *testing.T) {
	const text = "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: mock-up\ndate: 2024-03-02\nby: KM\n"
	_, list := new(shelf).spec(1, "").add("measurements/2024-03-02-mock-up-KM.yaml", text).
		add("measurements/2024-03-02-mock-up-KM-1.yaml", text).add("measurements/2024-03-02-mock-up-KM copy.yaml", text).
		add("measurements/2024-03-02-mock-up-KM-2.yaml", "a: [\n").problems()
	var mends []string
	for _, p := range list {
		if p.Rule == "file-name" {
			mends = append(mends, p.Mend)
		}
	}
	require.Equal(t, []string{"name it 2024-03-02-mock-up-KM-3.yaml", "name it 2024-03-02-mock-up-KM-4.yaml"}, mends)
}

// R12: of a stage nobody knows, or a person without a letter, no name is made:
// they are what to mend.
func TestR12TheStageIsBlamed(t *testing.T) {
	const text = "format: measurements/1\nengine: SK-07\nbuild: 1\nstage: %s\ndate: 2024-03-02\nby: %s\n"
	_, list := new(shelf).spec(1, "").add("measurements/2024-03-02-asembly-KM.yaml", fmt.Sprintf(text, "asembly", "KM")).problems()
	p := only(t, list)
	require.Equal(t, []any{"word", 4, "did you mean assembly?"}, []any{p.Rule, p.Line, p.Mend})
	_, list = new(shelf).spec(1, "").add("measurements/2024-03-02-assembly-.yaml", fmt.Sprintf(text, "assembly", "'!?'")).problems()
	p = only(t, list)
	require.Equal(t, []any{"word", 6, "write initials: by: KM"}, []any{p.Rule, p.Line, p.Mend})
}
