package act

import (
	"slices"

	"stackbook/record"
	"stackbook/record/book"
	"stackbook/schema/problem"
	"stackbook/schema/source"
)

// fill writes into sessions that are committed for the first time the serials
// of the parts they read, so that readings follow the part (R1). It gives those
// files as they will be; isNew tells of a file whether it is not committed yet.
func fill(tree book.Tree, place Place, isNew func(file string) bool) (map[string][]byte, error) {
	filled := map[string][]byte{}
	files, _, err := gather(tree, place.Folder)
	if err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(files, func(f record.File) bool { return isNew(f.Path) }) {
		return filled, nil
	}
	e, _ := record.Load(place.Folder, files)
	if e == nil {
		return filled, nil
	}
	for _, session := range e.Sessions {
		if session.Build != e.Build || !isNew(session.Path) {
			continue
		}
		text, err := withSerials(e, session)
		if err != nil {
			return nil, err
		}
		if text != nil {
			filled[session.Path] = text
		}
	}
	return filled, nil
}

// withSerials is a session's text with the serials of the parts it read; nil
// when there is nothing to add. A part replaced since, by the records, is left
// out: the spec no longer tells what was read.
func withSerials(e *record.Engine, s *record.Session) ([]byte, error) {
	doc, added := s.Doc, []string{}
	for _, part := range partsRead(e, s) {
		next, err := addSerial(doc, part)
		if err != nil {
			return nil, problem.List{{File: s.Path, Rule: "edit", Message: "the serial of a part it read cannot be added: " + err.Error(), Mend: "add under parts: " + part.Position + ": " + source.Quote(part.Serial)}}
		}
		doc, added = next, append(added, part.Position)
	}
	if len(added) == 0 {
		return nil, nil
	}
	return doc.Text(), nil
}

// addSerial adds one line to a session's parts, which it begins if need be.
func addSerial(doc *source.Doc, part record.Part) (*source.Doc, error) {
	serial := source.Quote(part.Serial)
	if doc.Root().Get("parts") == nil {
		return doc.Insert(nil, "parts", "{"+part.Position+": "+serial+"}")
	}
	return doc.Insert([]string{"parts"}, part.Position, serial)
}

// partsRead lists the parts a session read that bear a serial it does not name
// yet.
func partsRead(e *record.Engine, s *record.Session) []record.Part {
	var parts []record.Part
	seen := map[string]bool{}
	for i := range s.Readings {
		position := s.Readings[i].Point.PartOf(s.Readings[i].Position)
		part, ok := e.PartAt(position)
		if !ok || part.Serial == "" || seen[position] || s.Serial(position) != "" || e.ReplacedSince(position, s.Date) {
			continue
		}
		seen[position] = true
		parts = append(parts, part)
	}
	return parts
}
