package record

import "slices"

// allowedLater are the kinds of change a delivered build still takes (R18),
// and stageLater the stage of its sessions.
var allowedLater = []string{"event", "claim", "note"}

const stageLater = "running"

// AllowedLater tells whether the record may be added to a delivered build.
func (r *Record) AllowedLater() bool {
	switch r.Kind {
	case "change":
		return slices.Contains(allowedLater, r.Text("kind"))
	case "measurements":
		return r.Text("stage") == stageLater
	}
	return false
}
