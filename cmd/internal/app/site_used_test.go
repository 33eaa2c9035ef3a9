package app

import (
	"fmt"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"stackbook/cmd/internal/act"
	"stackbook/diff/history"
	"stackbook/record/book/passing"
)

// A name that was in more places than a page holds has several: each place stands
// on one of them, and each page leads to the others.
func TestUsedPages(t *testing.T) {
	dir := t.TempDir()
	folder, err := openSite(dir, passing.New())
	require.NoError(t, err)
	x := &site{folder: folder}
	var uses []*history.Use
	const places = 2*rowsOnPage + 1
	for i := range places {
		uses = append(uses, &history.Use{Spot: history.Spot{Engine: fmt.Sprintf("SK-%04d", i), Position: "rotor/1", Number: "RT-80"}, Now: true})
	}
	require.NoError(t, x.putUsed(&act.WholeBook{}, "RT-80", numberHead("RT-80", uses), uses))
	require.NoError(t, x.putUsed(&act.WholeBook{}, "RH-80", numberHead("RH-80", uses[:rowsOnPage]), uses[:rowsOnPage]))
	p, err := folder.finish()
	require.NoError(t, err)
	require.Equal(t, 4, p.pages)

	files := filesIn(t, dir)
	require.Contains(t, files["used/RT-80.html"], "Whom to call")
	require.NotContains(t, files["used/RT-80__2.html"], "Whom to call")
	row := regexp.MustCompile(`<th scope="row"[^>]*>(SK-\d+)</th>`)
	link := regexp.MustCompile(`href="\.\./(used/[^"]*)"`)
	told := map[string]int{}
	for n := 1; n <= 3; n++ {
		text := files[usedPageOf("RT-80", n)]
		require.NotEmpty(t, text)
		for _, m := range row.FindAllStringSubmatch(text, -1) {
			told[m[1]]++
		}
		links := link.FindAllStringSubmatch(text, -1)
		require.Len(t, links, 2)
		for _, m := range links {
			require.NotEmpty(t, files[filepath.ToSlash(m[1])], m[1])
		}
	}
	require.Len(t, told, places)
	require.Empty(t, link.FindAllString(files["used/RH-80.html"], -1))
}
