package app

import "stackbook/cmd/internal/act"

// The shape of a rebuild sheet: rebuild/1. The spec is as written; of pictures
// there are the names, and not the bytes.
type exportDocument struct {
	Format   string          `json:"format"`
	History  historyDocument `json:"history"`
	Figures  figuresDocument `json:"figures"`
	Wear     wearDocument    `json:"wear"`
	Spec     any             `json:"spec"`
	Pictures []pictureEntry  `json:"pictures"`
	naming
}

func exportJSON(r *rebuilding) *exportDocument {
	return &exportDocument{Format: "rebuild/1", History: historyJSON(r.life, r.last), Figures: figuresJSON(r.last), Wear: wearJSON(r.wear),
		Spec: plainOf(r.last.Engine.Spec.Doc.Root()), Pictures: picturesJSON(r.pictures)}
}

func picturesJSON(list []act.Picture) []pictureEntry {
	entries := []pictureEntry{}
	for _, p := range list {
		entries = append(entries, pictureEntry{p.File, p.Sum, p.Caption, p.At, p.Record, p.Missing})
	}
	return entries
}
