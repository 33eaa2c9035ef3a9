package page

import (
	"bytes"
	"context"
	"fmt"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// browser runs headless Chromium on files of one folder.
type browser struct {
	program string
	folder  string
}

// newBrowser finds Chromium. Where the tests decide what is released (CI is
// set) it must be there.
func newBrowser(t *testing.T) *browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil && os.Getenv("CI") == "" {
		t.Skip("chromium is not on the PATH: how a browser shows the sheet stays untested here")
	}
	require.NoError(t, err, "with CI set, chromium must be on the PATH")
	// Not t.TempDir: a process of the browser may still write as it ends.
	folder, err := os.MkdirTemp("", "stackbook-page-")
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(folder) })
	return &browser{program, folder}
}

// run opens a page and gives what the browser writes, and what it had to say
// on its console.
func (b *browser) run(t *testing.T, page string, args ...string) (out, console string) {
	t.Helper()
	file := filepath.Join(b.folder, "sheet.html")
	require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	args = append([]string{
		"--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
		"--user-data-dir=" + filepath.Join(b.folder, "profile"), "--enable-logging=stderr", "--v=0",
	}, args...)
	cmd := exec.CommandContext(ctx, b.program, append(args, "file://"+file)...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	require.NoError(t, cmd.Run(), stderr.String())
	var said []string
	for line := range strings.Lines(stderr.String()) {
		if strings.Contains(line, "CONSOLE") {
			said = append(said, line)
		}
	}
	return stdout.String(), strings.Join(said, "")
}

// probe measures a page from inside: whether it is wider than the window, and
// the greatest distance between decimal points of one column, in pixels.
const probe = `<script>
let apart = 0;
for (const table of document.querySelectorAll("table")) {
  const at = {};
  for (const tail of table.querySelectorAll(".tail")) {
    const column = tail.closest("td, th").cellIndex;
    const x = tail.getBoundingClientRect().left;
    at[column] ??= x;
    apart = Math.max(apart, Math.abs(at[column] - x));
  }
}
const root = document.documentElement;
root.dataset.over = root.scrollWidth - innerWidth;
root.dataset.apart = apart.toFixed(2);
root.dataset.points = document.querySelectorAll(".tail").length;
</script></body>`

var policy = regexp.MustCompile(`<meta http-equiv="Content-Security-Policy"[^>]*>\n`)

// probed is a page with the probe in place of its policy, which would not let
// the probe run.
func probed(page string) string {
	return strings.Replace(policy.ReplaceAllString(page, ""), "</body>", probe, 1)
}

func TestInBrowser(t *testing.T) {
	b := newBrowser(t)
	sheet := render(t, HTML, rich())

	t.Run("nothing from outside is asked for or run", func(t *testing.T) {
		dom, console := b.run(t, sheet, "--dump-dom")
		assert.Empty(t, console)
		assert.Equal(t, shape(parse(t, sheet)), shape(parse(t, dom)), "the browser reads it as we do")
		// The same check does see what the policy keeps out.
		spoilt := strings.Replace(sheet, "</main>", `<img src="http://example.invalid/x.png"><script>1</script></main>`, 1)
		_, console = b.run(t, spoilt, "--dump-dom")
		assert.Contains(t, console, "http://example.invalid/x.png")
		assert.Contains(t, console, "script")
	})

	light, dark, _ := palettes(t)
	for _, c := range []struct {
		name   string
		width  int
		scheme string // as the browser's settings count them
		ground color.RGBA
	}{
		{"phone, dark", 390, "0", dark["paper"]},
		{"desk, light", 1200, "1", light["paper"]},
	} {
		t.Run(c.name, func(t *testing.T) {
			size := fmt.Sprintf("--window-size=%d,900", c.width)
			dom, console := b.run(t, probed(sheet), size, "--dump-dom")
			assert.Empty(t, console)
			root := all(parse(t, dom))[0]
			assert.Equal(t, "0", attr(root, "data-over"), "the page moves sideways")
			assert.NotEqual(t, "0", attr(root, "data-points"))
			assert.Equal(t, "0.00", attr(root, "data-apart"), "decimal points are not under each other")

			assert.Equal(t, c.ground, b.ground(t, sheet, c.width, size, "--blink-settings=preferredColorScheme="+c.scheme))
		})
	}

	t.Run("on paper", func(t *testing.T) {
		file := filepath.Join(b.folder, "sheet.pdf")
		_, console := b.run(t, sheet, "--no-pdf-header-footer", "--print-to-pdf="+file)
		assert.Empty(t, console)
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.True(t, bytes.HasPrefix(text, []byte("%PDF")))
		assert.Greater(t, len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(text, -1)), 2)
	})
}

// ground is the colour in the corner of a picture of the page.
func (b *browser) ground(t *testing.T, sheet string, width int, args ...string) color.RGBA {
	t.Helper()
	file := filepath.Join(b.folder, "sheet.png")
	_, console := b.run(t, sheet, append(args, "--screenshot="+file)...)
	assert.Empty(t, console)
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	picture, err := png.Decode(f)
	require.NoError(t, err)
	assert.Equal(t, width, picture.Bounds().Dx())
	return color.RGBAModel.Convert(picture.At(1, 1)).(color.RGBA)
}
