package index

import (
	"fmt"
	"strconv"
	"strings"

	"stackbook/record/book/objects"
)

// ReadListing makes an index, to look at and not to write, of what the git
// program prints of one that is of another kind: git ls-files -v --stage -z.
// It holds names, modes, contents and bits; stat values, and which names are
// staged without content, it does not tell.
func ReadListing(text string, format objects.Format) (*Index, error) {
	x := New()
	x.hash = len(format.Sum(objects.Blob, nil)) / 2
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\x00"), "\x00") {
		if line == "" {
			continue
		}
		ed, flags, err := readListed(line, format)
		if err != nil {
			return nil, err
		}
		x.at = append(x.at, x.add(ed, flags))
		x.unmerged = x.unmerged || flags&flagStage != 0
	}
	return x, nil
}

// readListed reads one entry, TAG SP MODE SP HASH SP STAGE TAB PATH: the tag S
// says that the file is not meant to be in the folder, and a small letter that
// the person told git to take it as unchanged.
func readListed(line string, format objects.Format) (ed Edit, flags uint16, err error) {
	fields, name, ok := strings.Cut(line, "\t")
	var tag, mode, id, stage string
	if n, err := fmt.Sscan(fields, &tag, &mode, &id, &stage); !ok || err != nil || n != 4 || !format.Valid(objects.ID(id)) {
		return ed, 0, fmt.Errorf("git ls-files printed %.200q, which is no entry of an index", line)
	}
	bits, err := strconv.ParseUint(mode, 8, 32)
	side, err2 := strconv.Atoi(stage)
	if err != nil || err2 != nil || side < 0 || side > 3 {
		return ed, 0, fmt.Errorf("git ls-files printed %.200q, which is no entry of an index", line)
	}
	flags = uint16(side) << 12
	if tag == strings.ToLower(tag) {
		flags |= flagValid
	}
	if strings.EqualFold(tag, "S") {
		flags |= flagExtended
	}
	return Edit{Name: name, Mode: objects.Mode(bits), ID: objects.ID(id)}, flags, nil
}
