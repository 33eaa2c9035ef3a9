package act

import (
	"bytes"
	"slices"
	"strings"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema"
	"stackbook/schema/problem"
)

// MeasureOptions says which session is to be begun.
type MeasureOptions struct {
	Moment
	Stage  string
	Points []string // these alone; nil: those the dictionary asks for at the stage
}

// Begun is a session with every line empty, in the folder and not committed.
type Begun struct {
	Engine string
	Build  int
	Stage  string
	File   string
}

// Measure begins a measuring session of an engine's build: a file with a line for
// every reading, and how each is taken. It stands beside the others and is not
// committed. A delivered build takes none but a running one (R18).
func (s *Shop) Measure(number string, o MeasureOptions) (*Begun, error) {
	if err := checkStage(o.Stage); err != nil {
		return nil, err
	}
	for _, id := range o.Points {
		if schema.FindPoint(id) == nil {
			return nil, usage(pointMend(id), "there is no point %q", id)
		}
	}
	if err := s.complete(&o.Moment); err != nil {
		return nil, err
	}
	d, err := s.Desk(number, "")
	if err != nil {
		return nil, err
	}
	if build := d.Engine.Build; o.Stage != "running" && d.Engine.Delivered(build) != nil {
		return nil, usage("open the next build first: stackbook reopen "+number, "build %d of %s is delivered, and takes running sessions only: no %s", build, number, o.Stage)
	}
	if len(o.Points) == 0 {
		o.Points = nil
	}
	file, text, err := s.blankSession(d.Engine, d.Engine.Build, o.Stage, o.Moment, o.Points)
	if err != nil {
		return nil, err
	}
	for _, id := range o.Points {
		if !bytes.Contains(text, []byte("\n  "+id+":\n")) {
			return nil, usage("write the session by hand, with the places under "+id+": "+schema.FindPoint(id).How, "nothing tells at which places %s of %s is read", id, number)
		}
	}
	_, after := record.Load(d.Place.Folder, append(slices.Clone(d.files), record.File{Path: file, Data: text}))
	list := slices.DeleteFunc(after, func(p problem.Problem) bool { return slices.Contains(d.before, p) })
	if err := byOption(text, list).Err(); err != nil {
		return nil, err
	}
	return &Begun{number, d.Engine.Build, o.Stage, file}, s.Book.Put([]book.Edit{{Path: file, Data: text, Write: true}})
}

func checkStage(name string) error {
	if of, _ := schema.FindStage(name); of != nil {
		return nil
	}
	var names []string
	for _, stage := range schema.Stages {
		names = append(names, stage.Name)
	}
	if name == "" {
		return usage("write one of: "+strings.Join(names, ", "), "at which stage is not said: --stage")
	}
	if near := schema.Nearest(name, names); near != "" {
		return usage("did you mean "+near+"?", "there is no stage %q", name)
	}
	return usage("use one of: "+strings.Join(names, ", "), "there is no stage %q", name)
}

func pointMend(id string) string {
	var all []string
	for i := range schema.Points() {
		all = append(all, schema.Points()[i].ID)
	}
	if near := schema.Nearest(id, all); near != "" {
		return "did you mean " + near + "?"
	}
	return "schema/FORMAT.md lists them: rotor_width, apex_seal_length and so on"
}
