package page

// Texts lists every text of a document, in the order they stand.
func (d *Document) Texts() []string {
	t := &gathered{}
	t.add(d.Title, d.Kind)
	t.links(d.Trail)
	t.facts(d.Facts)
	t.add(d.Lead...)
	for i := range d.Sections {
		t.section(&d.Sections[i])
	}
	t.add(d.Cautions...)
	t.add(d.Made)
	return t.list
}

type gathered struct{ list []string }

func (t *gathered) add(list ...string) { t.list = append(t.list, list...) }

func (t *gathered) facts(list []Fact) {
	for _, f := range list {
		t.add(f.Label, f.Value)
	}
}

func (t *gathered) links(list []Link) {
	for _, l := range list {
		t.add(l.Text, l.Href)
	}
}

func (t *gathered) section(s *Section) {
	t.add(s.Heading, s.Note)
	t.add(s.Text...)
	t.facts(s.Facts)
	t.links(s.Links)
	t.add(s.List...)
	for _, d := range s.Drawings {
		t.add(d.Texts()...)
	}
	for _, p := range s.Pictures {
		t.add(p.Name, p.Caption, p.Missing)
	}
	if s.Table != nil {
		t.table(s.Table)
	}
	t.add(s.Blanks...)
	for i := range s.Sections {
		t.section(&s.Sections[i])
	}
}

func (t *gathered) table(table *Table) {
	t.add(table.Caption)
	for _, c := range table.Columns {
		t.add(c.Title)
	}
	for _, r := range table.Rows {
		t.add(r.Group)
		for _, c := range r.Cells {
			t.add(c.Text)
			if c.Href != "" {
				t.add(c.Href)
			}
		}
	}
}
