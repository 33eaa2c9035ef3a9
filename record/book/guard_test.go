package book

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A HEAD that leads out of the refs is damaged, and nothing is written there.
func TestRefsStayAmongTheRefs(t *testing.T) {
	for _, target := range []string{"refs/heads/../../../outside", "../outside", "outside", "/outside"} {
		dir := t.TempDir()
		b, err := Init(filepath.Join(dir, "book"), map[string][]byte{Marker: []byte("format: book/1\n")}, Signature{Name: "KM", Email: "km@skarvik.example"}, "begin")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(b.GitDir(), "HEAD"), []byte("ref: "+target+"\n"), 0o666))
		_, _, err = b.Head()
		require.ErrorContains(t, err, "which is no ref", target)
	}
}

// A repository of a format git itself would refuse is refused here.
func TestForeignRepositoryFormatsAreRefused(t *testing.T) {
	for config, says := range map[string]string{
		"[core]\n\trepositoryformatversion = 9\n":                                        "has format 9",
		"[core]\n\trepositoryformatversion = 0\n[extensions]\n\tobjectFormat = sha256\n": "needs core.repositoryformatversion = 1",
	} {
		root := filepath.Join(t.TempDir(), "book")
		b, err := Init(root, map[string][]byte{Marker: []byte("format: book/1\n")}, Signature{Name: "KM", Email: "km@skarvik.example"}, "begin")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(b.GitDir(), "config"), []byte(config), 0o666))
		_, err = Open(root)
		require.ErrorContains(t, err, says)
	}
}
