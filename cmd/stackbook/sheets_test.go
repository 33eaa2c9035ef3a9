package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/app"
)

// sheets are the sheets of the demo's SK-01, each with the command that makes it,
// a paper it is printed on and words that must be on it.
var sheets = []struct {
	name, paper string
	args, words []string
}{
	{"rebuild", "A4", []string{"export", "SK-01", "--for", "rebuild"}, []string{"Rebuild summary", "Judged figures in their bands", "Power over speed", "R-2033", "Wear, and when to measure again", "licensed hands"}},
	{"warranty", "A4", []string{"export", "SK-01/1", "--for", "warranty"}, []string{"Warranty sheet", "118 degC for 95 s", "+13 degC", "no proven part", "Delivery code"}},
	{"handover", "Letter", []string{"export", "SK-01", "--for", "handover"}, []string{"Handover sheet", "not recorded", "Stop at once", "Signature", "carbon monoxide"}},
	{"comparison", "Letter", []string{"export", "SK-01/1", "SK-01/2", "--for", "comparison"}, []string{"Comparison", "centre feed", "apex seal end gap", "Chamber volume over the shaft angle"}},
	{"difference", "A4", []string{"diff", "SK-01/1", "SK-01/2"}, []string{"Comparison", "beyond uncertainty", "What moved the figures", "Sessions and changes that differ", "rotor_mass at rotor/2"}},
	{"several", "Letter", []string{"diff", "SK-01/1", "SK-01@2019-07-26", "SK-01/2"}, []string{"SK-01@2019-07-26", "0.007 ± 0.006, fails", "R-2033"}},
}

// run runs the program in a folder and gives what it prints.
func run(t *testing.T, dir string, args ...string) string {
	t.Helper()
	var out, problems bytes.Buffer
	env := func(name string) string { return map[string]string{"PATH": os.Getenv("PATH"), "HOME": dir}[name] }
	status := app.Run(args, app.Surroundings{Out: &out, Err: &problems, In: strings.NewReader(""), Env: env, Dir: dir, Now: scriptNow})
	require.Zero(t, status, problems.String())
	return out.String()
}

// tool finds a program a test needs. Where the tests decide what is released (CI
// is set) it must be there.
func tool(t *testing.T, name string) string {
	t.Helper()
	program, err := exec.LookPath(name)
	if err != nil && os.Getenv("CI") == "" {
		t.Skip(name + " is not on the PATH: how a sheet is printed stays untested here")
	}
	require.NoError(t, err, "with CI set, %s must be on the PATH", name)
	return program
}

// sideways tells, inside the page, by how much it is wider than the window.
const sideways = `<script>document.documentElement.dataset.over = document.documentElement.scrollWidth - innerWidth</script></body>`

var policy = regexp.MustCompile(`<meta http-equiv="Content-Security-Policy"[^>]*>`)

// A sheet fits a telephone's width, and prints onto either paper with all its
// words and every heading.
func TestSheetsInBrowser(t *testing.T) {
	chromium, pdftotext := tool(t, "chromium"), tool(t, "pdftotext")
	dir := t.TempDir()
	run(t, dir, "demo", "--short", "book")
	for _, s := range sheets {
		page := run(t, filepath.Join(dir, "book"), append(slices.Clone(s.args), "--as", "html")...)
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			// Not t.TempDir: a process of the browser may still write as it ends.
			folder, err := os.MkdirTemp("", "stackbook-sheet-")
			require.NoError(t, err)
			t.Cleanup(func() { _ = os.RemoveAll(folder) })
			browse := func(page string, args ...string) string {
				file := filepath.Join(folder, "sheet.html")
				require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
				ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
				defer cancel()
				args = append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run", "--disable-background-networking", "--user-data-dir=" + filepath.Join(folder, "profile")}, args...)
				out, err := exec.CommandContext(ctx, chromium, append(args, "file://"+file)...).Output()
				require.NoError(t, err)
				return string(out)
			}
			bare := policy.ReplaceAllString(page, "") // it would not let the probe run
			require.NotEqual(t, page, bare)
			assert.Contains(t, browse(strings.Replace(bare, "</body>", sideways, 1), "--window-size=390,900", "--dump-dom"), `data-over="0"`, "it moves sideways")

			pdf := filepath.Join(folder, "sheet.pdf")
			browse(strings.Replace(bare, "</head>", "<style>@page { size: "+s.paper+"; }</style></head>", 1), "--no-pdf-header-footer", "--print-to-pdf="+pdf)
			data, err := os.ReadFile(pdf)
			require.NoError(t, err)
			assert.NotEmpty(t, regexp.MustCompile(`/Type\s*/Page\b`).FindAll(data, -1))
			printed, err := exec.Command(pdftotext, pdf, "-").Output()
			require.NoError(t, err)
			words := strings.Join(strings.Fields(string(printed)), " ")
			for _, want := range s.words {
				assert.Contains(t, words, want)
			}
		})
	}
}

// The same book gives the same sheets, byte for byte, in every form.
func TestSheetsAreTheSame(t *testing.T) {
	dir := t.TempDir()
	run(t, dir, "demo", "--short", "book")
	for _, s := range sheets {
		for _, form := range []string{"html", "md", "json"} {
			args := append(slices.Clone(s.args), "--as", form)
			first := run(t, filepath.Join(dir, "book"), args...)
			assert.Equal(t, first, run(t, filepath.Join(dir, "book"), args...), "%s as %s", s.name, form)
		}
	}
}
