package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"time"
)

// table is what was measured, a line a row and a column a book.
type table struct {
	pairs int
	names []string // of the books
	lines []*line
}

type line struct {
	row   row
	found map[string]pair // by the book's name
}

func newTable(pairs int) *table { return &table{pairs: pairs} }

func (t *table) add(r row, book string, p pair) {
	if len(t.names) == 0 || t.names[len(t.names)-1] != book {
		t.names = append(t.names, book)
	}
	for _, l := range t.lines {
		if l.row.name == r.name {
			l.found[book] = p
			return
		}
	}
	t.lines = append(t.lines, &line{r, map[string]pair{book: p}})
}

// print writes the table in Markdown, with where and when it was measured.
func (t *table) print(w io.Writer) {
	fmt.Fprintf(w, "%s; %s; %s, %s.\n", time.Now().Format(time.DateOnly), machine(), runtime.Version(), gitVersion())
	fmt.Fprintf(w, "Medians of %d pairs of whole processes, both warm, in milliseconds: ours / the other's = how many times as fast; in brackets the target where it is missed.\n\n", t.pairs)
	fmt.Fprintf(w, "| job | ours | against | %s | growth |\n", strings.Join(t.names, " | "))
	fmt.Fprintf(w, "| --- | --- | --- |%s --- |\n", strings.Repeat(" --- |", len(t.names)))
	for _, l := range t.lines {
		fmt.Fprintf(w, "| %s | `%s` | `%s` |", l.row.name, l.row.shown[0], l.row.shown[1])
		for _, name := range t.names {
			fmt.Fprintf(w, " %s |", l.cell(name, t.pairs))
		}
		fmt.Fprintf(w, " %s |\n", t.growth(l))
	}
}

func (l *line) cell(book string, pairs int) string {
	p, ok := l.found[book]
	if !ok {
		return "–"
	}
	unit := ""
	if l.row.memory {
		unit = " MiB"
	}
	ratio := p.git / p.ours
	text := fmt.Sprintf("%s / %s%s = %s", digits(p.ours), digits(p.git), unit, digits(ratio))
	if target, ok := l.row.targets[book]; ok && ratio < target {
		text += fmt.Sprintf(" (%s)", digits(target))
	}
	if p.pairs < pairs {
		text += fmt.Sprintf(", %d pairs", p.pairs)
	}
	return text
}

// digits prints a number with as many digits as it is worth.
func digits(x float64) string {
	switch {
	case x < 1:
		return fmt.Sprintf("%.2f", x)
	case x < 20:
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.0f", x)
}

// growth is how much longer ours takes on the last book than on the first.
func (t *table) growth(l *line) string {
	a, ok := l.found[t.names[0]]
	b, ok2 := l.found[t.names[len(t.names)-1]]
	if !ok || !ok2 || len(t.names) < 2 {
		return "–"
	}
	return digits(b.ours / a.ours)
}

// machine says on what was measured: processor, cores, system, and how busy it
// was besides.
func machine() string {
	model := runtime.GOARCH
	if text, err := os.ReadFile("/proc/cpuinfo"); err == nil {
		for line := range strings.Lines(string(text)) {
			if key, value, _ := strings.Cut(line, ":"); strings.TrimSpace(key) == "model name" {
				model = strings.TrimSpace(value)
				break
			}
		}
	}
	text := fmt.Sprintf("%s, %d cores, %s", model, runtime.NumCPU(), runtime.GOOS)
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		text += ", load " + strings.Fields(string(load))[0]
	}
	return text
}

func gitVersion() string {
	out, err := exec.Command("git", "--version").Output()
	if err != nil {
		return "git"
	}
	return strings.TrimSpace(string(out))
}
