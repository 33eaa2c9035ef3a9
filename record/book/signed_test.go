package book

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the programs say was taken from GnuPG 2.2 and OpenSSH 9.2.
func TestJudged(t *testing.T) {
	for _, c := range []struct {
		name, said string
		ok         bool
		found      Signed
		by         string
	}{
		{"good", "[GNUPG:] NEWSIG km@skarvik.example\n[GNUPG:] GOODSIG 95E503CAECBD9DDD KM <km@skarvik.example>\n[GNUPG:] VALIDSIG 2265\n", true, Good, "KM <km@skarvik.example>"},
		{"altered", "[GNUPG:] NEWSIG\n[GNUPG:] BADSIG 95E503CAECBD9DDD KM <km@skarvik.example>\n", false, Bad, ""},
		{"key not known", "[GNUPG:] ERROR keydb_search 33554445\n[GNUPG:] ERRSIG 95E503CAECBD9DDD 22 8 00 1795611532 9 2265\n[GNUPG:] NO_PUBKEY 95E503CAECBD9DDD\n", false, Unchecked, "the key 95E503CAECBD9DDD is not known here"},
		{"key expired", "[GNUPG:] EXPKEYSIG 95E503CAECBD9DDD KM\n", true, Unchecked, "KM, whose key has expired or was revoked"},
		{"no program", "error: cannot run nothere: No such file or directory\n", false, Unchecked, "error: cannot run nothere: No such file or directory"},
		{"SSH, good", "Good \"git\" signature for km@skarvik.example with ED25519 key SHA256:T8tj5\n", true, Good, "km@skarvik.example"},
		{"SSH, altered", "Could not verify signature.\nSignature verification failed: incorrect signature\n", false, Bad, ""},
		{"SSH, nobody of that key", "Good \"git\" signature with ED25519 key SHA256:T8tj5\nNo principal matched.\n", false, Unchecked, "Good \"git\" signature with ED25519 key SHA256:T8tj5"},
		{"SSH, not set up", "error: gpg.ssh.allowedSignersFile needs to be configured and exist for ssh signature verification\n", false, Unchecked, "error: gpg.ssh.allowedSignersFile needs to be configured and exist for ssh signature verification"},
		{"nothing said", "", false, Unchecked, "git does not say why"},
		{"nobody named", "", true, Unchecked, "git does not say why"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found, by := judged(c.said, c.ok)
			assert.Equal(t, c.found, found)
			assert.Equal(t, c.by, by)
		})
	}
}

// Git is asked itself, here with a stand-in for the program that checks.
func TestSignatureAsksGit(t *testing.T) {
	f := newFixture(t)
	f.git("tag", "-a", "-m", "as delivered", "build/SK-07/1")
	f.git("tag", "build/SK-07/3")
	signed := f.git("cat-file", "tag", "build/SK-07/1") + "\n-----BEGIN PGP SIGNATURE-----\n\nx\n-----END PGP SIGNATURE-----\n"
	f.write("signed", signed)
	f.git("update-ref", "refs/tags/build/SK-07/2", f.git("hash-object", "-t", "tag", "-w", "signed"))
	b := f.open()
	find := func(tag string) (Signed, string) {
		found, by, err := b.Signature(tag)
		require.NoError(t, err)
		return found, by
	}
	for _, tag := range []string{"build/SK-07/1", "build/SK-07/3", "build/SK-07/9"} {
		found, _ := find(tag)
		assert.Equal(t, Unsigned, found, "%s: annotated, plain, missing", tag)
	}
	f.checker("echo '[GNUPG:] NEWSIG'\necho '[GNUPG:] GOODSIG 95E503CAECBD9DDD KM <km@skarvik.example>'\n")
	found, by := find("build/SK-07/2")
	assert.Equal(t, Good, found)
	assert.Equal(t, "KM <km@skarvik.example>", by)
	f.checker("echo '[GNUPG:] NEWSIG'\necho '[GNUPG:] BADSIG 95E503CAECBD9DDD KM <km@skarvik.example>'\nexit 1\n")
	found, _ = find("build/SK-07/2")
	assert.Equal(t, Bad, found)
	f.git("config", "gpg.program", "/nowhere/gpg")
	found, _ = find("build/SK-07/2")
	assert.Equal(t, Unchecked, found)
}

// checker lets git check signatures with these lines of shell.
func (f *fixture) checker(lines string) {
	f.t.Helper()
	name := f.path("../checker")
	require.NoError(f.t, os.WriteFile(name, []byte("#!/bin/sh\ncat >/dev/null\n"+lines), 0o755))
	f.git("config", "gpg.program", name)
}

// The name of bytes is that of an entry that holds them, in both formats.
func TestHashIsAnEntrysOwn(t *testing.T) {
	for _, format := range []string{"sha1", "sha256"} {
		f := newFixture(t, "--object-format="+format)
		b := f.open()
		head, _, err := b.Head()
		require.NoError(t, err)
		entries, err := b.At(head).List(".")
		require.NoError(t, err)
		assert.Equal(t, "book.yaml", entries[0].Name)
		assert.Equal(t, entries[0].Hash, b.Hash([]byte(f.read("book.yaml"))))
		assert.NotEqual(t, entries[0].Hash, b.Hash([]byte(f.read("book.yaml")+"x")))
	}
}

// A tag that came without the commit it seals, as into a shallow clone, says
// which is missing and how it is fetched.
func TestTagWithoutItsCommit(t *testing.T) {
	f := newFixture(t)
	f.write("tag", "object 3ecf207f97f45a60d20f5f244612f06c24816139\ntype commit\ntag build/SK-07/1\ntagger KM <km@skarvik.example> 0 +0000\n\nx\n")
	f.git("update-ref", "refs/tags/build/SK-07/1", f.git("hash-object", "-t", "tag", "-w", "--literally", "tag"))
	_, _, err := f.open().ResolveTag("build/SK-07/1")
	require.EqualError(t, err, "commit 3ecf207f97, which the tag build/SK-07/1 seals, is not in this clone; fetch it: git fetch --unshallow, or git fetch origin tag build/SK-07/1")
}
