package app

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"stackbook/schema"
)

// Where the pages of a whole book lie, by paths from its folder. Only small
// letters stand in our own words and none in what stands for a name of the
// records, so that no two of them are one on a system that takes capitals and
// small letters for the same.
const (
	sitePages   = "index.html"   // the list of engines
	siteParts   = "parts.html"   // the lists of serials and lots
	siteNumbers = "numbers.html" // the list of part numbers and suppliers
	siteStyle   = "style.css"
	siteListed  = "pages.sha256" // what was written, as sha256sum writes it
)

func enginePage(number string) string { return "engines/" + number + "/index.html" }

func buildPage(number string, build int) string {
	return fmt.Sprintf("engines/%s/build-%d.html", number, build)
}

func differencePage(number string, from, to int) string {
	return fmt.Sprintf("engines/%s/build-%d-to-%d.html", number, from, to)
}

func usedPage(name string) string { return "used/" + fileNameOf(name) + ".html" }

// usedPageOf is the nth page of a name, from 1. No name of another ends so: in one
// that is written out every underline has two digits behind it, and one that is
// cut the 64 of a sum.
func usedPageOf(name string, n int) string {
	if n == 1 {
		return usedPage(name)
	}
	return fmt.Sprintf("used/%s__%d.html", fileNameOf(name), n)
}

// partsPage is the nth list of serials and lots, from 1.
func partsPage(n int) string {
	if n == 1 {
		return siteParts
	}
	return fmt.Sprintf("parts-%d.html", n)
}

// longestFileName is how many characters a name may take as it is: systems take
// 255 bytes, and some readers show fewer.
const longestFileName = 120

// fileNameOf writes any serial or lot so that every system takes it as the name
// of a file, and no two alike: capitals, digits and hyphens stand for themselves,
// every other byte is an underline and its number. A long one is cut and gets its
// SHA-256; a name that some systems keep for a device has no first letter of its
// own.
func fileNameOf(name string) string {
	var b strings.Builder
	device := schema.IsDeviceName(name)
	for i := range len(name) {
		c := name[i]
		if c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' {
			if !(i == 0 && device) {
				b.WriteByte(c)
				continue
			}
		}
		fmt.Fprintf(&b, "_%02X", c)
	}
	if b.Len() <= longestFileName {
		return b.String()
	}
	return fmt.Sprintf("%.40s__%X", b.String(), sha256.Sum256([]byte(name)))
}

// way is the path from one page to another, both from the site's folder.
func way(from, to string) string {
	return strings.Repeat("../", strings.Count(from, "/")) + to
}
