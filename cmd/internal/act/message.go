package act

import "strings"

// scissors is the line below which git shows the person what is committed; it
// and what follows never enter the message.
const scissors = "------------------------ >8 ------------------------"

// CheckMessage refuses a message of a commit that git makes, as its editor left
// it, in which a customer is named (R15). What git drops from it is not looked
// at.
func (s *Shop) CheckMessage(text string) error {
	comment := "#"
	own, err := s.Book.Git("config", "--get", "core.commentChar")
	if own = strings.TrimSpace(own); err == nil && own != "" && own != "auto" {
		comment = own
	}
	text, _, _ = strings.Cut(text, comment+" "+scissors)
	var kept strings.Builder
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(line, comment) {
			kept.WriteString(line)
		}
	}
	return s.customersNamed(nil, kept.String())
}
