package main

import (
	"bytes"
	"flag"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"stackbook/cmd/internal/app"
)

var update = flag.Bool("update", false, "write the golden pages anew")

// exportAll sets a book as pages and gives them by their paths.
func exportAll(t *testing.T, book, dir string, want int) (pages map[string]string, said string) {
	t.Helper()
	var out, problems bytes.Buffer
	env := func(name string) string {
		return map[string]string{"PATH": os.Getenv("PATH"), "HOME": filepath.Dir(book)}[name]
	}
	status := app.Run([]string{"export", "--all", dir}, app.Surroundings{Out: &out, Err: &problems, In: strings.NewReader(""), Env: env, Dir: book, Now: scriptNow})
	require.Equal(t, want, status, problems.String())
	require.Empty(t, out.String())
	pages = map[string]string{}
	err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, file)
		if err != nil {
			return err
		}
		text, err := os.ReadFile(file)
		pages[filepath.ToSlash(name)] = string(text)
		return err
	})
	require.NoError(t, err)
	return pages, problems.String()
}

// elementsOf parses a page.
func elementsOf(t *testing.T, text string) []*html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	var list []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			list = append(list, n)
		}
	}
	return list
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func htmlPages(pages map[string]string) []string {
	var names []string
	for name := range pages {
		if strings.HasSuffix(name, ".html") {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// The pages of the short demo: what they are called, and a few of them whole.
func TestPagesGolden(t *testing.T) {
	dir := t.TempDir()
	run(t, dir, "demo", "--short", "book")
	pages, _ := exportAll(t, filepath.Join(dir, "book"), filepath.Join(dir, "pages"), 0)
	golden := map[string]string{"names": strings.Join(htmlPages(pages), "\n") + "\n"}
	for _, name := range []string{"index.html", "used/L-2960.html", "used/R-1181.html"} {
		require.NotEmpty(t, pages[name], name)
		golden[path.Base(name)] = pages[name]
	}
	for name, got := range golden {
		file := filepath.Join("testdata", "pages", name)
		if *update {
			require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
			require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, name)
	}
}

// linksHold sees that every link of every page leads to a page and a place that
// are there, and every page is reached from the first.
func linksHold(t *testing.T, pages map[string]string) {
	t.Helper()
	ids := map[string]map[string]bool{}
	to := map[string][]*url.URL{}
	for _, name := range htmlPages(pages) {
		ids[name] = map[string]bool{}
		for _, n := range elementsOf(t, pages[name]) {
			if id := attribute(n, "id"); id != "" {
				assert.False(t, ids[name][id], "%s: two elements are called %s", name, id)
				ids[name][id] = true
			}
			if n.Data == "a" || n.Data == "link" {
				u, err := url.Parse(attribute(n, "href"))
				require.NoError(t, err)
				require.True(t, u.Scheme == "" && u.Host == "" && u.RawQuery == "" && !strings.HasPrefix(u.Path, "/"), "%s leads out: %s", name, u)
				to[name] = append(to[name], u)
			}
		}
	}
	reached := map[string]bool{}
	for waiting := []string{"index.html"}; len(waiting) > 0; {
		name := waiting[0]
		waiting = waiting[1:]
		if reached[name] {
			continue
		}
		reached[name] = true
		for _, u := range to[name] {
			target := name
			if u.Path != "" {
				target = path.Join(path.Dir(name), u.Path)
			}
			require.Contains(t, pages, target, "%s leads to %s, which is not there", name, u)
			if u.Fragment != "" {
				assert.True(t, ids[target][u.Fragment], "%s: there is no %s in %s", name, u.Fragment, target)
			}
			waiting = append(waiting, target)
		}
	}
	for _, name := range htmlPages(pages) {
		assert.True(t, reached[name], "%s is reached from nowhere", name)
	}
}

// ownScript is the one script a page may hold.
var ownScript = regexp.MustCompile(`(?s)<script>for \(const box of document\.querySelectorAll\("\.search"\)\).*?</script>`)

// keysReach sees that a page can be read and walked by keyboard and by ear: it
// has a language, a title, one heading of the first order and a main part, a way
// past its head, boxes that move can be reached and are named, a field has a
// label, and nothing is put before its place in the order.
// Source: W3C, Web Content Accessibility Guidelines 2.2: 1.3.1, 2.1.1, 2.4.1, 2.4.2, 2.4.3, 3.1.1, 4.1.2.
func keysReach(t *testing.T, name, text string) {
	t.Helper()
	count := map[string]int{}
	for _, n := range elementsOf(t, text) {
		if n.Namespace != "" {
			continue // of a drawing
		}
		count[n.Data]++
		switch n.Data {
		case "html":
			assert.Equal(t, "en", attribute(n, "lang"), name)
		case "title":
			require.NotNil(t, n.FirstChild, name)
			assert.NotEmpty(t, strings.TrimSpace(n.FirstChild.Data), name)
		case "input":
			assert.Equal(t, "label", n.Parent.Data, name)
		case "a":
			require.NotNil(t, n.FirstChild, "%s: a link without words", name)
		}
		if strings.Contains(attribute(n, "class"), "scroll") {
			assert.Equal(t, []string{"region", "0"}, []string{attribute(n, "role"), attribute(n, "tabindex")}, name)
			assert.NotEmpty(t, attribute(n, "aria-label"), name)
		}
		assert.Contains(t, []string{"", "0", "-1"}, attribute(n, "tabindex"), name)
	}
	assert.Equal(t, []int{1, 1, 1}, []int{count["h1"], count["main"], count["title"]}, name)
	assert.Contains(t, text, `<a class="skip" href="#sheet">`, name)
}

// nothingRuns sees that no text of a record became anything but text.
func nothingRuns(t *testing.T, name, text string) {
	t.Helper()
	for _, n := range elementsOf(t, text) {
		assert.NotContains(t, []string{"iframe", "object", "embed", "form", "base", "b", "i"}, n.Data, name)
		for _, a := range n.Attr {
			assert.False(t, strings.HasPrefix(a.Key, "on"), "%s: %s", name, a.Key)
			assert.NotContains(t, strings.ToLower(a.Val), "javascript:", name)
		}
	}
	assert.NotContains(t, ownScript.ReplaceAllString(text, ""), "<script", name)
	for _, r := range text {
		steers := r < 0x20 && r != '\n' || r >= 0x7f && r <= 0x9f || r >= 0x200b && r <= 0x200f || r >= 0x202a && r <= 0x202e || r >= 0x2060 && r <= 0x2069 || r == 0xfeff
		if steers {
			t.Errorf("%s holds %U", name, r)
			return
		}
	}
	assert.NotRegexp(t, `(?i)lakeside|an@lake|012345`, text, name)
}

const privateCustomers = "format: customers/1\ncustomers:\n  C-01: {name: A. N. Lakeside, telephone: 055 012345, email: an@lake.example}\n"

// Whatever the records hold, names of parts above all: every link leads
// somewhere, nothing of it runs, and nobody is named.
func TestPagesOfHostileRecords(t *testing.T) {
	dir := t.TempDir()
	book := filepath.Join(dir, "book")
	run(t, dir, "demo", "--short", "book")
	require.NoError(t, os.MkdirAll(filepath.Join(book, "private"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(book, "private", "customers.yaml"), []byte(privateCustomers), 0o666))
	names := []string{`<script>alert(1)</script>`, `"><img src=x onerror=alert(2)>`, `javascript:alert(3)`, `../../../etc/passwd`, `R-\u202e7711`, `r-1177`, `index`, `con`, `CON`, `a b`, `50%`, `x#y?z`,
		`\e]0;owned\a`, strings.Repeat("LONG-", 60), `水`, `.`, `R_1177`}
	parts := ""
	for i, name := range names {
		parts += "  bolt/" + string(rune('1'+i%9)) + map[bool]string{true: "0", false: ""}[i > 8] + ": {part: B-8, serial: \"" + strings.ReplaceAll(name, `"`, `\"`) + "\", lot: \"L" + strings.ReplaceAll(name, `"`, `\"`) + "\"}\n"
	}
	spec := "format: spec/1\nengine: SK-02\nid: 7f3a-91c0-55de\ntitle: \"</title></style><script>alert(4)</script> \\u202Eturned\"\ncustomer: C-01\nbuild: 1\ngeometry: {rotors: 1}\nparts:\n" + parts
	folder := filepath.Join(book, "engines", "2021", "SK-02")
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "changes"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "spec.yaml"), []byte(spec), 0o666))
	change := "format: change/1\nengine: SK-02\nbuild: 1\ndate: 2021-01-02\nkind: claim\nby: KM\nwhat: \"<img src=x onerror=alert(5)> \\e]0;owned\\a \\u2066x\"\nwhy: \"[here](javascript:alert(6))\"\nphotos: [{file: ../../../book.yaml, sha256: x, caption: \"</figcaption><script>\"}]\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "changes", "2021-01-02-claim.yaml"), []byte(change), 0o666))

	pages, _ := exportAll(t, book, filepath.Join(dir, "pages"), 1) // the records have problems
	linksHold(t, pages)
	require.Greater(t, len(htmlPages(pages)), 2*len(names))
	folded := map[string]string{}
	for _, name := range htmlPages(pages) {
		nothingRuns(t, name, pages[name])
		keysReach(t, name, pages[name])
		key := strings.ToUpper(name)
		assert.Empty(t, folded[key], "%s and %s are one where capitals are not told apart", name, folded[key])
		folded[key] = name
	}
	assert.Contains(t, pages["engines/SK-02/index.html"], "&lt;img src=x onerror=alert(5)&gt;")
	assert.Contains(t, pages["used/_72-1177.html"], "<h1>r-1177")

	// A customer who is named in a record is on no page, and no page is altered.
	require.NoError(t, os.WriteFile(filepath.Join(folder, "changes", "2021-01-02-claim.yaml"), []byte(strings.Replace(change, "[here]", "as a. n. lakeside said", 1)), 0o666))
	after, said := exportAll(t, book, filepath.Join(dir, "pages"), 1)
	assert.Equal(t, pages, after)
	assert.Contains(t, said, "engines/SK-02/index.html: the name of customer C-01 would be handed out")
	assert.NotContains(t, strings.ToLower(said), "lakeside")
}
