package book

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing/format/config"
)

// settings is git's configuration as it holds for this book: for each key in
// lower case ("user.name"; the middle part as written) its values, the last
// of which counts.
type settings map[string][]string

// get gives the value that counts, or "".
func (s settings) get(key string) string {
	values := s[key]
	if len(values) == 0 {
		return ""
	}
	return values[len(values)-1]
}

// is gives a yes-or-no value, or preset where the key is not set.
func (s settings) is(key string, preset bool) bool {
	if len(s[key]) == 0 {
		return preset
	}
	switch strings.ToLower(s.get(key)) {
	case "false", "no", "off", "0", "":
		return false
	}
	return true
}

// readSettings asks the git program, which knows every place and every
// include. Without one, it reads the files of the user and the repository.
func (b *Book) readSettings() (settings, error) {
	out, err := b.Git("config", "--list", "-z", "--includes")
	if errors.Is(err, exec.ErrNotFound) {
		return b.readSettingsFiles()
	}
	if err != nil {
		return nil, err
	}
	s := settings{}
	for item := range strings.SplitSeq(strings.TrimSuffix(out, "\x00"), "\x00") {
		key, value, ok := strings.Cut(item, "\n")
		if !ok {
			value = "true" // a key alone is a yes
		}
		s[key] = append(s[key], value)
	}
	return s, nil
}

// readSettingsFiles reads what git would, from the least to the most
// particular, without includes.
func (b *Book) readSettingsFiles() (settings, error) {
	s := settings{}
	for _, name := range []string{
		"/etc/gitconfig",
		filepath.Join(b.configHome(), "git", "config"),
		b.expand("~/.gitconfig"),
		filepath.Join(b.repo.common, "config"),
	} {
		text, err := readIfThere(name)
		if err != nil {
			return nil, err
		}
		if err := s.add(text); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return s, nil
}

// add takes in the text of one configuration file.
func (s settings) add(text []byte) error {
	cfg := config.New()
	if err := config.NewDecoder(bytes.NewReader(text)).Decode(cfg); err != nil {
		return err
	}
	for _, section := range cfg.Sections {
		name := strings.ToLower(section.Name) + "."
		for _, o := range section.Options {
			s[name+strings.ToLower(o.Key)] = append(s[name+strings.ToLower(o.Key)], o.Value)
		}
		for _, sub := range section.Subsections {
			for _, o := range sub.Options {
				key := name + sub.Name + "." + strings.ToLower(o.Key)
				s[key] = append(s[key], o.Value)
			}
		}
	}
	return nil
}

// configHome gives the folder for a user's configuration files.
func (b *Book) configHome() string {
	return firstSet(b.getenv("XDG_CONFIG_HOME"), b.expand("~/.config"))
}

// expand gives a path from the configuration, which may begin with ~/. Of a
// user without a home nothing is there to be read.
func (b *Book) expand(p string) string {
	rest, ok := strings.CutPrefix(p, "~/")
	if !ok {
		return p
	}
	return filepath.Join(firstSet(b.getenv("HOME"), os.DevNull), rest)
}

// Author gives who makes a commit now: GIT_AUTHOR_NAME and GIT_AUTHOR_EMAIL
// where set, otherwise git's settings. Where neither says, the error tells
// what to type.
func (b *Book) Author(now time.Time) (Signature, error) { return b.signature("author", now) }

// Committer is Author for the other of the two names a commit holds
// (GIT_COMMITTER_NAME, GIT_COMMITTER_EMAIL).
func (b *Book) Committer(now time.Time) (Signature, error) { return b.signature("committer", now) }

func (b *Book) signature(role string, now time.Time) (Signature, error) {
	set, err := b.settings()
	if err != nil {
		return Signature{}, err
	}
	upper := "GIT_" + strings.ToUpper(role)
	s := Signature{
		Name:  firstSet(b.getenv(upper+"_NAME"), set.get(role+".name"), set.get("user.name")),
		Email: firstSet(b.getenv(upper+"_EMAIL"), set.get(role+".email"), set.get("user.email"), b.getenv("EMAIL")),
		When:  now,
	}
	const typeName, typeMail = `git config --global user.name "Your Name"`, "git config --global user.email you@example.org"
	switch {
	case plain(s.Name) == "" && plain(s.Email) == "":
		return s, fmt.Errorf("%w: git does not know your name and e-mail address yet; type: %s && %s", ErrNoAuthor, typeName, typeMail)
	case plain(s.Name) == "":
		return s, fmt.Errorf("%w: git does not know your name yet; type: "+typeName, ErrNoAuthor)
	case plain(s.Email) == "":
		return s, fmt.Errorf("%w: git does not know your e-mail address yet; type: "+typeMail, ErrNoAuthor)
	}
	return s, nil
}

func firstSet(values ...string) string {
	for _, v := range values {
		if v != "" {
			return v
		}
	}
	return ""
}
