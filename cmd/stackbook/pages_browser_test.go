package main

import (
	"context"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The least height of what is touched is that of WCAG 2.2, 2.5.8: 24 pixels.

// searching types into the search of a page and tells how many rows are left, and
// what can be reached by the tabulator.
const searching = `<script>
const root = document.documentElement, input = document.querySelector(".search input");
root.dataset.over = root.scrollWidth - innerWidth;
root.dataset.small = [...document.querySelectorAll("a:not(.skip), input")].filter(e => e.getBoundingClientRect().height < 24).length;
const names = [...document.querySelectorAll(".name")];
root.dataset.broken = names.filter(e => e.getClientRects().length > 1).length + " of " + (names.length > 0 ? "some" : "none");
if (input) {
  input.value = "SK-0 DELIVERED"; input.dispatchEvent(new Event("input"));
  const rows = [...document.querySelectorAll("tbody tr")];
  root.dataset.rows = rows.filter(row => !row.hidden).length + " of " + rows.length;
  root.dataset.told = document.querySelector(".search output").value;
}
</script></body>`

// The pages as a browser shows them from a folder, at the width of a telephone
// and of a desk: nothing is wider than the window, the shared style is taken and
// nothing else is asked for, and the list can be searched, and read without.
func TestPagesInBrowser(t *testing.T) {
	chromium := tool(t, "chromium")
	dir := t.TempDir()
	run(t, dir, "demo", "book")
	pages, _ := exportAll(t, filepath.Join(dir, "book"), filepath.Join(dir, "pages"), 1) // SK-11 has its mistake
	linksHold(t, pages)
	// Not t.TempDir: a process of the browser may still write as it ends.
	profile, err := os.MkdirTemp("", "stackbook-pages-")
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(profile) })
	browse := func(file string, args ...string) (out, console string) {
		ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
		defer cancel()
		args = append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run", "--disable-background-networking", "--enable-logging=stderr", "--v=0",
			"--blink-settings=preferredColorScheme=1", "--user-data-dir=" + profile}, args...)
		cmd := exec.CommandContext(ctx, chromium, append(args, "file://"+file)...)
		var problems strings.Builder
		cmd.Stderr = &problems
		text, err := cmd.Output()
		require.NoError(t, err, problems.String())
		for line := range strings.Lines(problems.String()) {
			if strings.Contains(line, "CONSOLE") {
				console += line
			}
		}
		return string(text), console
	}
	for _, name := range []string{"index.html", "parts.html", "numbers.html", "engines/SK-01/index.html", "engines/SK-01/build-2.html", "engines/SK-01/build-1-to-2.html", "used/L-2198.html"} {
		for _, width := range []string{"390", "1200"} {
			size := "--window-size=" + width + ",900"
			bare := policy.ReplaceAllString(pages[name], "") // it would not let the probe run
			require.NotEqual(t, pages[name], bare)
			probed := filepath.Join(dir, "pages", filepath.Dir(name), "probed.html")
			require.NoError(t, os.WriteFile(probed, []byte(strings.Replace(bare, "</body>", searching, 1)), 0o666))
			dom, _ := browse(probed, size, "--dump-dom")
			require.NoError(t, os.Remove(probed))
			root := elementsOf(t, dom)[0]
			assert.Equal(t, "0", attribute(root, "data-over"), "%s at %s moves sideways", name, width)
			assert.Equal(t, "0", attribute(root, "data-small"), "%s at %s has targets too small for a finger", name, width)
			some := map[bool]string{true: "some", false: "none"}[name == "parts.html" || name == "numbers.html"]
			assert.Equal(t, "0 of "+some, attribute(root, "data-broken"), "%s at %s breaks the number of an engine", name, width)
			if name == "index.html" {
				assert.Equal(t, "3 of 5", attribute(root, "data-rows"))
				assert.Equal(t, "3 of 5", attribute(root, "data-told"))
			}

			picture := filepath.Join(profile, "page.png")
			_, console := browse(filepath.Join(dir, "pages", name), size, "--screenshot="+picture)
			assert.Empty(t, console, "%s asks for what its policy keeps out", name)
			f, err := os.Open(picture)
			require.NoError(t, err)
			shown, err := png.Decode(f)
			require.NoError(t, f.Close())
			require.NoError(t, err)
			r, g, b, _ := shown.At(1, 1).RGBA()
			assert.Equal(t, [3]uint32{0xfb, 0xfa, 0xf7}, [3]uint32{r >> 8, g >> 8, b >> 8}, "%s is not on the shared style's paper", name)
			if keep := os.Getenv("STACKBOOK_PICTURES"); keep != "" {
				require.NoError(t, os.Rename(picture, filepath.Join(keep, strings.ReplaceAll(name, "/", "-")+"-"+width+".png")))
			}
		}
	}
}
