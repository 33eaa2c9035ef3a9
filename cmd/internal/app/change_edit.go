package app

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"

	"stackbook/cmd/internal/act"
	"stackbook/schema/problem"
)

// edited lets the person write the change in their editor, as often as it takes
// to get it right or to leave it. It is nil where nothing was written. What was
// written and is no record yet stays in a file whose path is told.
func (r *changeRun) edited() (*act.Draft, error) {
	template, err := r.desk.Template(r.values, r.photos)
	if err != nil {
		return nil, err
	}
	editor, err := r.editor()
	if err != nil {
		return nil, err
	}
	if err := r.keep(template); err != nil {
		return nil, err
	}
	for {
		failed := r.runEditor(editor)
		text, err := os.ReadFile(r.kept)
		if err != nil {
			return nil, err
		}
		if unwritten(string(text), template) {
			os.Remove(r.kept)
			if failed != nil {
				return nil, fmt.Errorf("the editor %s ended with an error (%w), and nothing was written", editor, failed)
			}
			return nil, r.nothingWritten()
		}
		if failed != nil {
			return nil, r.keeping(fmt.Errorf("the editor %s ended with an error: %w", editor, failed))
		}
		draft, err := r.desk.FromText(r.kept, text, r.photos)
		if err == nil || !mendable(err) {
			return draft, r.keeping(err)
		}
		if !r.again(err) {
			return nil, r.told(r.keeping(err))
		}
	}
}

// keep writes the template to a file of git's own folder: outside the records,
// and where no cleaning up after a restart takes it.
func (r *changeRun) keep(template string) error {
	if err := os.MkdirAll(r.drafts(), 0o777); err != nil {
		return err
	}
	f, err := os.CreateTemp(r.drafts(), "change-"+r.desk.Place.Number+"-*.yaml")
	if err != nil {
		return err
	}
	r.kept = f.Name()
	_, err = f.WriteString(template)
	return errors.Join(err, f.Close())
}

// drafts is the folder of texts that are no records yet.
func (r *changeRun) drafts() string { return filepath.Join(r.shop.Book.GitDir(), "stackbook") }

// keeping adds to an error where the text is that was being written.
func (r *changeRun) keeping(err error) error {
	if err != nil && r.kept != "" {
		r.remark("your text is kept; go on with: stackbook change %s --from %s", r.desk.Place.Number, pathWord(r.kept))
	}
	return err
}

// unwritten tells whether a person left the template as it was, or emptied it.
func unwritten(text, template string) bool {
	if text == template {
		return true
	}
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			return false
		}
	}
	return true
}

func (r *changeRun) nothingWritten() error {
	if r.json {
		return r.printJSON(writtenJSON(r.desk.Place.Number, nil, nil))
	}
	r.term.Line("Nothing is written: the text was left as it was, or emptied.")
	return nil
}

// mendable tells whether an error is one that another go at the text can mend.
func mendable(err error) bool {
	var list problem.List
	var use *act.UsageError
	return errors.As(err, &list) || errors.As(err, &use)
}

// again shows what is wrong and asks whether to edit once more.
func (r *changeRun) again(err error) bool {
	r.failText(err)
	fmt.Fprint(r.Err, "Edit it again? [Y/n] ")
	answer, ended := r.readLine()
	return !ended && !strings.HasPrefix(strings.ToLower(strings.TrimSpace(answer)), "n")
}

// told is an error that was shown already; as JSON it is to be shown yet.
func (r *changeRun) told(err error) error {
	if r.json {
		return err
	}
	return errStrict
}

// readLine reads one line and not a byte more: the rest is the editor's.
func (r *changeRun) readLine() (text string, ended bool) {
	var b strings.Builder
	one := make([]byte, 1)
	for {
		n, err := r.In.Read(one)
		if n == 1 && one[0] == '\n' {
			return b.String(), false
		}
		b.Write(one[:n])
		if err != nil {
			return b.String(), b.Len() == 0
		}
	}
}

// editor is the person's editor, in git's order (git-var: GIT_EDITOR, then
// core.editor, VISUAL where the terminal can do more than print, EDITOR, vi).
func (r *changeRun) editor() (string, error) {
	dumb := r.Env("TERM") == "" || r.Env("TERM") == "dumb"
	configured, err := r.shop.Book.Git("config", "--default", "", "--get", "core.editor")
	if err != nil && !errors.Is(err, exec.ErrNotFound) {
		return "", err
	}
	for _, editor := range []string{r.Env("GIT_EDITOR"), strings.TrimSpace(configured), unless(dumb, r.Env("VISUAL")), r.Env("EDITOR"), unless(dumb, "vi")} {
		if editor != "" {
			return editor, nil
		}
	}
	return "", &act.UsageError{Message: "the terminal can only print, and no editor is set", Mend: "set EDITOR, or say it with the options: stackbook change --help"}
}

func unless(not bool, text string) string {
	if not {
		return ""
	}
	return text
}

// runEditor opens the kept text in the editor, through the shell as git does,
// so that an editor may have arguments. What interrupts the editor does not
// interrupt us.
func (r *changeRun) runEditor(editor string) error {
	cmd := exec.Command("sh", "-c", editor+` "$@"`, editor, r.kept)
	cmd.Dir, cmd.Stdin, cmd.Stdout, cmd.Stderr = r.Dir, r.In, r.Out, r.Err
	if r.json {
		cmd.Stdout = r.Err // standard output is one document
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	signal.Ignore(os.Interrupt)
	defer signal.Reset(os.Interrupt)
	return cmd.Wait()
}
