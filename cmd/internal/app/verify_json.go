package app

import (
	"time"

	"stackbook/cmd/internal/act"
)

type verifyDocument struct {
	Format      string           `json:"format"`
	Engine      string           `json:"engine"`
	Build       int              `json:"build"`
	Delivered   string           `json:"delivered"`
	Commit      string           `json:"commit"`
	SHA256      string           `json:"sha256"`
	Code        string           `json:"code"`
	Matches     bool             `json:"matches"` // nothing is other than it was delivered
	Seal        *sealJSON        `json:"seal"`    // null: no tag
	Given       *givenJSON       `json:"given"`   // null: no --code
	Altered     []alterationJSON `json:"altered"`
	Added       []additionJSON   `json:"added"`
	Attachments []attachmentJSON `json:"attachments"` // that are not what the records name
	Opened      *openedJSON      `json:"opened"`      // the build after it; null: none
	Remarks     []string         `json:"remarks"`
}

type sealJSON struct {
	Tag       string  `json:"tag"`
	Date      string  `json:"date"`
	By        string  `json:"by"`
	SHA256    *string `json:"sha256"` // null: its message says none
	Matches   bool    `json:"matches"`
	Signature string  `json:"signature"` // unsigned, good, bad, unchecked
	SignedBy  *string `json:"signed_by"`
}

type givenJSON struct {
	Code    string `json:"code"`
	Matches bool   `json:"matches"`
}

type alterationJSON struct {
	File    string        `json:"file"`
	Gone    bool          `json:"gone"`
	Commits []alteredJSON `json:"commits"`
	Folder  bool          `json:"folder"` // the folder holds an edit that is not committed
}

type alteredJSON struct {
	Commit  string `json:"commit"`
	Date    string `json:"date"`
	By      string `json:"by"`
	Subject string `json:"subject"`
}

type additionJSON struct {
	File    string `json:"file"`
	What    string `json:"what"`
	Allowed bool   `json:"allowed"`
}

type attachmentJSON struct {
	File   string `json:"file"`
	Record string `json:"record"`
	Why    string `json:"why"`
}

type openedJSON struct {
	Build   int     `json:"build"`
	Since   *string `json:"since"`
	Records int     `json:"records"`
}

func verifyJSON(v *act.Verified) verifyDocument {
	d := verifyDocument{Format: "verify/1", Engine: v.Engine, Build: v.Build, Delivered: v.Date, Commit: v.Commit.Hash, SHA256: v.Sum.String(), Code: v.Sum.Code(),
		Matches: !v.Mismatch(), Altered: []alterationJSON{}, Added: []additionJSON{}, Attachments: []attachmentJSON{}, Remarks: orEmpty(v.Remarks)}
	if t := v.Tag; t != nil {
		d.Seal = &sealJSON{t.Name, t.Tagger.When.Format(time.DateOnly), t.Tagger.Name, orNull(v.Told), v.AsTold(), string(v.Signed), orNull(v.By)}
	}
	if v.Given != "" {
		d.Given = &givenJSON{v.Given, v.AsGiven()}
	}
	for _, c := range v.Altered {
		d.Altered = append(d.Altered, alteredFile(c))
	}
	for _, c := range v.Added {
		d.Added = append(d.Added, additionJSON(c))
	}
	for _, m := range v.Missing {
		d.Attachments = append(d.Attachments, attachmentJSON(m))
	}
	if o := v.Opened; o != nil {
		d.Opened = &openedJSON{o.Build, orNull(o.Since), o.Records}
	}
	return d
}

func alteredFile(c act.Alteration) alterationJSON {
	doc := alterationJSON{File: c.File, Gone: altered(c) == "gone", Commits: []alteredJSON{}, Folder: c.Pending}
	for _, commit := range c.Commits {
		doc.Commits = append(doc.Commits, alteredJSON{commit.Hash, commit.Author.When.Format(time.DateOnly), commit.Author.Name, commit.Subject()})
	}
	return doc
}
