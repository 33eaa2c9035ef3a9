package bigbook

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"strings"
	"time"

	"stackbook/cmd/internal/act"
	"stackbook/record"
	"stackbook/record/figure"
)

// limitFile is the set of limits that every engine of the book is judged by.
const limitFile = "limits/skarvik-race.yaml"

const limitText = `# yaml-language-server: $schema=../schemas/limits-1.json
format: limits/1
name: skarvik-race
title: side-port race engines, iron rotors
limits:
  rotor.side_clearance:
    new: {min: 0.10 mm, max: 0.16 mm}
    reuse: {min: 0.08 mm}
    source: the shop's own
  housing.width_difference:
    new: {max: 0.02 mm}
    reuse: {max: 0.06 mm}
    source: the shop's own
  apex_seal.end_gap:
    new: {min: 0.06 mm, max: 0.12 mm}
    reuse: {min: 0.05 mm, max: 0.15 mm}
    source: the shop's own
  bearing.oil_clearance:
    new: {min: 0.045 mm, max: 0.080 mm}
    reuse: {min: 0.040 mm, max: 0.100 mm}
    source: the shop's own
  end_float:
    new: {min: 0.04 mm, max: 0.07 mm}
    reuse: {max: 0.09 mm}
    source: the shop's own
`

// readFiles takes in what the book begins with.
func (p *plan) readFiles() {
	p.begin = map[string]string{limitFile: limitText}
	for name, data := range act.BookFiles("Skarvik Rotary", "skarvik-race") {
		p.begin[name] = string(data)
	}
}

// feed gives the whole history to git fast-import.
func (p *plan) feed(dir string) error {
	cmd := git(dir, "fast-import", "--quiet", "--done", "--depth=20")
	var errs strings.Builder
	cmd.Stderr = &errs
	in, err := cmd.StdinPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	s := &stream{w: bufio.NewWriterSize(in, 1<<20)}
	p.write(s)
	s.text("done\n")
	err = s.w.Flush()
	in.Close()
	if waited := cmd.Wait(); waited != nil {
		return fmt.Errorf("git fast-import: %w: %s", waited, errs.String())
	}
	return err
}

// stream writes what git fast-import reads.
type stream struct {
	w    *bufio.Writer
	buf  []byte // of the text being filled in
	mark int
	tags []string // written at the end
}

func (s *stream) text(format string, args ...any) { fmt.Fprintf(s.w, format, args...) }

func (s *stream) data(text []byte) {
	s.text("data %d\n", len(text))
	s.w.Write(text) // an error comes again at the flush
	io.WriteString(s.w, "\n")
}

func (s *stream) commit(when time.Time, by, message string) {
	s.mark++
	who := signature(by, when)
	s.text("commit refs/heads/main\nmark :%d\nauthor %s\ncommitter %s\n", s.mark, who, who)
	s.data([]byte(message))
}

func signature(by string, when time.Time) string {
	return fmt.Sprintf("%s <%s@skarvik.example> %d +0100", by, strings.ToLower(by), when.Unix())
}

// file puts a file into the commit and gives its sum.
func (s *stream) file(name string, text []byte) record.Sum {
	s.text("M 100644 inline %s\n", name)
	s.data(text)
	return record.SumOf(text)
}

// write writes every commit and, at the end, the tags.
func (p *plan) write(s *stream) {
	s.commit(first.Add(-24*time.Hour), "KM", "Begin the book of Skarvik Rotary\n")
	sums := map[string]record.Sum{}
	for _, name := range slices.Sorted(maps.Keys(p.begin)) {
		sums[name] = s.file(name, []byte(p.begin[name]))
	}
	for _, ev := range p.events {
		switch {
		case ev.part != "":
			s.commit(ev.when, ev.by, "Whereabouts: "+strings.TrimSuffix(path.Base(ev.part), ".yaml")+"\n")
			s.file(ev.part, []byte(ev.text))
		case ev.step == nil:
			s.note(ev)
		default:
			s.step(ev)
			if ev.step.deliver {
				s.seal(ev, sums)
			}
		}
	}
	for _, t := range s.tags {
		io.WriteString(s.w, t)
	}
}

func message(e *engine, build int, text string) string {
	return fmt.Sprintf("%s\n\nEngine: %s\nBuild: %d\nFormulas: %d\n", text, e.number, build, figure.FormulaSet)
}

// step commits the next step of an engine's life, with its figures.
func (s *stream) step(ev event) {
	e, st := ev.engine, ev.step
	subject := strings.ReplaceAll(st.message, "$number$", e.number)
	s.commit(ev.when, ev.by, message(e, st.build, subject))
	for _, f := range st.files {
		name := path.Join(e.folder, f.name.text(e.word))
		s.buf = f.text.fill(s.buf[:0], e.word)
		e.files[name] = s.file(name, s.buf)
		if strings.HasSuffix(name, "-mock-up-KM.yaml") {
			e.session = f
		}
	}
	if st.figures != nil {
		s.buf = st.reads.fill(s.buf[:0], e.word)
		sum := sha256.Sum256(s.buf)
		e.words["digest"] = hex.EncodeToString(sum[:])
		name := path.Join(e.folder, "figures.yaml")
		s.buf = st.figures.fill(s.buf[:0], e.word)
		e.files[name] = s.file(name, s.buf)
	}
	e.done++
}

// note commits a note on an engine, at the build it is at by then.
func (s *stream) note(ev event) {
	e := ev.engine
	day := ev.when.Format(time.DateOnly)
	build := e.buildOn(int(ev.when.Sub(e.start).Hours() / 24))
	name := ""
	for n := 1; ; n++ {
		name = path.Join(e.folder, "changes", fmt.Sprintf("%s-note-%d.yaml", day, n))
		if _, there := e.files[name]; !there {
			break
		}
	}
	s.commit(ev.when, ev.by, message(e, build, "A word from the owner"))
	e.files[name] = s.file(name, fmt.Appendf(nil, "# yaml-language-server: $schema=../../../../schemas/change-1.json\nformat: change/1\nengine: %s\nbuild: %d\ndate: %s\nkind: note\nby: %s\nwhat: the owner asks about the season and what to look at before it\nsource: telephone\n",
		e.number, build, day, ev.by))
}

// seal makes the tag of a delivered build, with its delivery code.
func (s *stream) seal(ev event, book map[string]record.Sum) {
	e, build := ev.engine, ev.step.build
	files := map[string]record.Sum{"book.yaml": book["book.yaml"], limitFile: book[limitFile]}
	for name, sum := range e.files {
		files[name] = sum
	}
	sum := record.DeliverySum(e.number, build, files)
	text := fmt.Sprintf("%s, build %d, as delivered\n\nEngine: %s\nBuild: %d\nSHA-256: %s\nCode: %s\n", e.number, build, e.number, build, sum, sum.Code())
	s.tags = append(s.tags, fmt.Sprintf("tag build/%s/%d\nfrom :%d\ntagger %s\ndata %d\n%s\n", e.number, build, s.mark, signature(ev.by, ev.when), len(text), text))
}
