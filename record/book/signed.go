package book

import (
	"errors"
	"os/exec"
	"regexp"
	"strings"
	"sync"

	"stackbook/record/book/objects"
)

// Signed says what git finds of a tag's signature.
type Signed string

// The findings.
const (
	Unsigned  Signed = "unsigned"
	Good      Signed = "good"
	Bad       Signed = "bad"       // what was signed is not what is there
	Unchecked Signed = "unchecked" // signed, but git here cannot tell: the key is not known, or the program is missing
)

// Signature tells whether the tag of that name is signed, and by whom as far as
// git can tell: the name the key bears, or of an unchecked one the reason. Git
// itself checks it, with the keys and programs it is set up to use.
func (b *Book) Signature(tag string) (found Signed, by string, err error) {
	id, _, err := b.resolveRef("refs/tags/" + tag)
	if err != nil || id == "" {
		return Unsigned, "", err
	}
	kind, data, err := b.store.Read(id)
	if err != nil || kind != objects.Tag || !holdsSignature(string(data)) {
		return Unsigned, "", err
	}
	// Git tells who signed on its error output: the alias puts it into the other.
	const alias = `alias.check-signature=!f() { LC_ALL=C git verify-tag --raw "$1" 2>&1; }; f`
	said, err := b.Git("-c", alias, "check-signature", "refs/tags/"+tag)
	var refused *exec.ExitError
	if err != nil && !errors.As(err, &refused) {
		return Unchecked, "", err
	}
	found, by = judged(said, err == nil)
	return found, by, nil
}

// holdsSignature looks for the line a signature begins with: those git writes
// with OpenPGP, SSH and X.509 keys.
func holdsSignature(tag string) bool {
	for _, begin := range []string{"\n-----BEGIN PGP SIGNATURE-----", "\n-----BEGIN PGP MESSAGE-----", "\n-----BEGIN SSH SIGNATURE-----", "\n-----BEGIN SIGNED MESSAGE-----"} {
		if strings.Contains(tag, begin) {
			return true
		}
	}
	return false
}

// What the checking programs say: GnuPG's status lines (its doc/DETAILS) and
// ssh-keygen's own.
var (
	goodKey = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?m)^\[GNUPG:\] (?:GOODSIG|EXPKEYSIG|EXPSIG|REVKEYSIG) [0-9A-F]+ (.+)$`)
	})
	goodSSH = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?m)^Good "git" signature for (.+) with `)
	})
	badOnes = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?m)^\[GNUPG:\] BADSIG |^(?:Signature verification failed|Could not verify signature)`)
	})
	expired = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?m)^\[GNUPG:\] (EXPKEYSIG|EXPSIG|REVKEYSIG) `)
	})
)

// judged reads what git said of a signature; ok is git's own verdict.
func judged(said string, ok bool) (Signed, string) {
	by := ""
	for _, form := range []*regexp.Regexp{goodKey(), goodSSH()} {
		if m := form.FindStringSubmatch(said); m != nil {
			by = m[1]
		}
	}
	switch {
	case badOnes().MatchString(said):
		return Bad, by
	case ok && by != "" && !expired().MatchString(said):
		return Good, by
	case expired().MatchString(said):
		return Unchecked, by + ", whose key has expired or was revoked"
	}
	return Unchecked, reason(said)
}

// reason is the one line in which a checking program says what is wrong.
func reason(said string) string {
	for line := range strings.Lines(said) {
		line = strings.TrimSpace(line)
		if key, ok := strings.CutPrefix(line, "[GNUPG:] NO_PUBKEY "); ok {
			return "the key " + key + " is not known here"
		}
	}
	for line := range strings.Lines(said) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "[GNUPG:]") {
			return line
		}
	}
	return "git does not say why"
}

// Hash gives the name git has for these bytes as a file: that of an Entry which
// holds them.
func (b *Book) Hash(data []byte) string {
	return string(b.repo.format.Sum(objects.Blob, data))
}
