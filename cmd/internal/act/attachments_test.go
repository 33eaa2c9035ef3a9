package act_test

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
)

const (
	plugs  = "the picture of the plugs\n"
	inBook = engineFolder + "/photos/plugs.jpg"
)

func hashOf(text string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(text))) }

// withPhoto is a book with a picture and a change that names it by one entry.
func withPhoto(t *testing.T, entry string) *bench {
	t.Helper()
	b := demoBook(t)
	b.write(inBook, plugs)
	b.namesPhoto(entry)
	return b
}

func (b *bench) namesPhoto(entry string) {
	b.t.Helper()
	b.write(noteFile, note("seen")+"photos:\n  - {"+entry+"}\n")
}

// R25: an attachment is a file of the engine's folder, not too large, and the
// one whose hash is written. The mend gives the line to write.
func TestR25Attachments(t *testing.T) {
	right := hashOf(plugs)
	other := hashOf("another")
	tests := []struct{ what, entry, column, want string }{
		{"as it should be", "file: photos/plugs.jpg, sha256: " + right + ", caption: plugs", "", ""},
		{"no hash", "file: photos/plugs.jpg", "5", "the key photos.1.sha256 is missing: SHA-256 of the file; add: sha256: " + right},
		{"an empty hash", "file: photos/plugs.jpg, sha256: ", "30", "photos.1.sha256 is empty: SHA-256 of the file; write: sha256: " + right},
		{"another hash", "file: photos/plugs.jpg, sha256: " + other, "38", "photos/plugs.jpg is another file than the one whose sha256 is written; if it is the right file, write: sha256: " + right},
		{"capitals", "file: photos/plugs.jpg, sha256: " + strings.ToUpper(right), "38", "sha256 is written in small letters; if it is the right file, write: sha256: " + right},
		{"cut short", "file: photos/plugs.jpg, sha256: abc", "38", `"abc" is no SHA-256: that is 64 of the digits 0-9 and a-f; if it is the right file, write: sha256: ` + right},
		{"not there", "file: photos/plug.jpg, sha256: " + right, "12", "the attachment photos/plug.jpg is not there; put it back, or take its entry out"},
		{"a folder", "file: photos, sha256: " + right, "12", "the attachment cannot be read: " + engineFolder + "/photos is not a regular file; put the file itself there"},
		{"outside", "file: ../../../book.yaml, sha256: " + right, "12", `the attachment "../../../book.yaml" is no path inside the engine's folder; put the file into photos/ and write: file: photos/book.yaml`},
		{"round about", "file: photos/../photos/plugs.jpg, sha256: " + right, "12", `the attachment "photos/../photos/plugs.jpg" is no path inside the engine's folder; put the file into photos/ and write: file: photos/plugs.jpg`},
		{"absolute", "file: /tmp/plugs.jpg, sha256: " + right, "12", `the attachment "/tmp/plugs.jpg" is no path inside the engine's folder; put the file into photos/ and write: file: photos/plugs.jpg`},
		{"of another system", `file: 'C:\plugs.jpg', sha256: ` + right, "12", `the attachment "C:\\plugs.jpg" is no path inside the engine's folder; put the file into photos/ and write: file: photos/plugs.jpg`},
		{"a record", "file: spec.yaml, sha256: " + right, "12", "spec.yaml is a record and no attachment; name a file of photos/"},
		{"the figures", "file: figures.yaml, sha256: " + right, "12", "figures.yaml is a record and no attachment; name a file of photos/"},
	}
	b := withPhoto(t, "")
	for _, tt := range tests {
		t.Run(tt.what, func(t *testing.T) {
			b.t = t
			b.namesPhoto(tt.entry)
			if tt.want == "" {
				require.Empty(t, b.problems())
				require.Contains(t, b.commit("plugs seen").Paths, inBook, "R10")
				return
			}
			want := []string{noteFile + ":10:" + tt.column + ": " + tt.want}
			require.Equal(t, want, b.problems())
			require.Equal(t, want, b.refused("plugs seen"))
		})
	}
}

func TestR25NoLinkIsFollowed(t *testing.T) {
	b := withPhoto(t, "file: photos/plugs.jpg, sha256: "+hashOf(plugs))
	require.NoError(t, os.Rename(b.path(inBook), b.path(engineFolder+"/photos/far.jpg")))
	require.NoError(t, os.Symlink("far.jpg", b.path(inBook)))
	require.Equal(t, []string{noteFile + ":10:12: the attachment cannot be read: " + inBook + " is a symbolic link; the book takes files only; put the file itself there"}, b.problems())
}

func TestR25NotTooLarge(t *testing.T) {
	large := bytes.Repeat([]byte("x"), act.MaxAttachment)
	b := withPhoto(t, "file: photos/plugs.jpg, sha256: "+hashOf(string(large)))
	b.write(inBook, string(large))
	require.Empty(t, b.problems())
	b.write(inBook, string(large)+"x")
	require.Equal(t, []string{noteFile + ":10:12: the attachment photos/plugs.jpg has 2097153 bytes, and may have 2097152 (2 MiB); make it smaller, and keep the original outside the book"}, b.problems())
}

// R25: the spec and the sessions are looked at as well.
func TestR25EveryKindOfRecord(t *testing.T) {
	b := openBook(t)
	for _, name := range []string{"spec.yaml", "measurements/2019-08-19-mock-up-KM.yaml"} {
		b.write(engineFolder+"/"+name, b.read(engineFolder+"/"+name)+"photos: [{file: photos/none.jpg, sha256: "+hashOf("")+"}]\n")
	}
	problems := b.problems()
	require.Len(t, problems, 2)
	require.Contains(t, problems[0], "measurements/2019-08-19-mock-up-KM.yaml:")
	require.Contains(t, problems[1], "spec.yaml:")
}

// R10, R25: a picture that git ignores would be missing from the commit whose
// record names it.
func TestR25IgnoredByGit(t *testing.T) {
	b := withPhoto(t, "file: photos/plugs.jpg, sha256: "+hashOf(plugs))
	b.write(".git/info/exclude", "*.jpg\n")
	require.Equal(t, []string{noteFile + ":10:12: git ignores this attachment, so it would not be committed with the record that names it; see which line does, and take it out: git check-ignore -v " + inBook}, b.refused("plugs seen"))
	b.git("add", "-f", inBook)
	b.commit("plugs seen")
}

// Of many photographs the newest are shown, as many as a sheet holds and of no
// more bytes than it may have; of the others the names are kept.
func TestPicturesIn(t *testing.T) {
	b := demoBook(t)
	photo := func(day, name string, bytes int) {
		data := strings.Repeat("x", bytes)
		b.write(engineFolder+"/photos/"+name, data)
		b.write(engineFolder+"/changes/"+day+"-"+name+".yaml", strings.Replace(note("seen"), "2020-01-02", day, 1)+
			fmt.Sprintf("photos:\n  - {file: photos/%s, sha256: %s}\n", name, hashOf(data)))
	}
	pictures := func() []act.Picture {
		l, err := b.State("SK-01")
		require.NoError(t, err)
		list, err := b.PicturesIn(l)
		require.NoError(t, err)
		return list
	}
	for i := range act.MostPictures + 2 {
		photo(fmt.Sprintf("2020-03-%02d", i+1), fmt.Sprintf("p%d", i), 10)
	}
	list := pictures()
	require.Len(t, list, act.MostPictures+2)
	require.Equal(t, "photos/p25", list[0].File)
	for i, p := range list {
		require.Equal(t, i >= act.MostPictures, p.LeftOut)
		require.Equal(t, p.LeftOut, p.Data == nil)
	}
	for i := range 5 {
		photo(fmt.Sprintf("2020-04-%02d", i+1), fmt.Sprintf("large%d", i), act.MaxAttachment)
	}
	left := 0
	for _, p := range pictures()[:5] {
		if p.LeftOut {
			left++
		}
	}
	require.Equal(t, 1, left, "four of 2 MiB are 8 MiB")
}
