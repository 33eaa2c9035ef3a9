package book

import (
	"os"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"stackbook/record/book/index"
	"stackbook/record/book/lookup"
	"stackbook/record/book/objects"
)

// mayHold is MayHold of the folder: the files that the last commit's past names,
// and every record of which it is not proven that a commit of that past has it
// as it lies in the folder. No record is read for it; ok is false where git's
// index proves nothing.
func (f folder) mayHold(words []string) (paths []string, ok bool, err error) {
	b := f.book
	head, has, err := b.Head()
	if err != nil || !has || b.repo.bare {
		return nil, false, err
	}
	ok, err = b.ask(head.Hash, func(x *lookup.Index, _ uint32) (bool, error) {
		paths = x.Holding(words)
		return true, x.Err()
	})
	if err != nil || !ok {
		return nil, false, err
	}
	unproven, err := f.unproven()
	if err != nil || unproven == nil {
		return nil, false, err
	}
	paths = append(paths, unproven...)
	slices.Sort(paths)
	return slices.Compact(paths), true, nil
}

// unproven lists the records in the folder of which no commit of the past is
// proven to have them as they are; nil where nothing is proven.
func (b *Book) unproven() ([]string, error) {
	head, _, err := b.Head()
	if err != nil {
		return nil, err
	}
	p, err := b.readPresence(head)
	if err != nil || p == nil {
		return nil, err
	}
	list := p.unproven()
	if p.doubt.Load() {
		return nil, nil
	}
	return list, nil
}

// presence tells of which files in the folder git's index proves that they are
// as in a commit.
type presence struct {
	book   *Book
	index  *index.Index
	second int64                 // in which the index was written
	staged map[string]bool       // what is in the index and not in the commit
	ids    map[string]objects.ID // of the folders, as the index has them
	doubt  atomic.Bool           // a file says that git converts others
}

// readPresence takes the index in; nil where it proves nothing: a merge is under
// way, git keeps other bytes than the folder holds, or it is of a kind only git
// reads.
func (b *Book) readPresence(head Commit) (*presence, error) {
	x, err := b.readIndex()
	if err != nil {
		return nil, nil // told by those who need it
	}
	info, err := os.Stat(b.indexFile())
	if err != nil || len(x.Unmerged()) > 0 {
		return nil, nil
	}
	if converts, err := b.mayConvert(x, nil); err != nil || converts {
		return nil, err
	}
	p := &presence{book: b, index: x, second: info.ModTime().Unix(), staged: map[string]bool{}, ids: map[string]objects.ID{}}
	for _, dir := range sideDirs {
		dir = b.inRepo(dir)
		entries := slices.Collect(x.Rows(dir))
		if len(entries) == 1 && entries[0].Name == dir+"/" { // none of it is checked out
			entries = slices.Collect(x.Under(dir))
		}
		p.fold(entries, dir)
		e, ok, err := b.entryAt(head.tree, dir)
		if err != nil {
			return nil, err
		}
		if !ok || e.Mode != objects.ModeDir {
			e.ID = ""
		}
		if err := p.compare(entries, dir, e.ID); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// fold works out the names that git would give the folders of the index, and
// gives what lies behind dir.
func (p *presence) fold(entries []index.Entry, dir string) []index.Entry {
	prefix := dir + "/"
	var tree []byte // in the order of the index, which is that of a tree
	for len(entries) > 0 && strings.HasPrefix(entries[0].Name, prefix) {
		e := entries[0]
		name, _, deeper := strings.Cut(e.Name[len(prefix):], "/")
		if e.Folder() && e.Name == prefix+name+"/" {
			entries = entries[1:]
			p.ids[prefix+name] = e.ID()
			tree = objects.AppendEntry(tree, objects.ModeDir, name, e.Hash())
			continue
		}
		if deeper {
			entries = p.fold(entries, prefix+name)
			if id := p.ids[prefix+name]; id != "" {
				tree = objects.AppendEntry(tree, objects.ModeDir, name, id.Raw())
			}
			continue
		}
		entries = entries[1:]
		if !e.IntentToAdd() {
			tree = objects.AppendEntry(tree, e.Mode(), name, e.Hash())
		}
	}
	if len(tree) > 0 {
		p.ids[dir] = p.book.repo.format.Quick(objects.Tree, tree)
	}
	return entries
}

// compare notes the files of the index that a commit's folder has not. Folders
// that are the same are not opened.
func (p *presence) compare(entries []index.Entry, dir string, head objects.ID) error {
	if head != "" && p.ids[dir] == head {
		return nil
	}
	list, err := p.book.readTree(head)
	if err != nil {
		return err
	}
	there := map[string]objects.Entry{}
	for _, e := range list {
		there[e.Name] = e
	}
	prefix := dir + "/"
	for len(entries) > 0 {
		e := entries[0]
		name, _, deeper := strings.Cut(e.Name[len(prefix):], "/")
		if !deeper {
			p.staged[e.Name] = there[name].ID != e.ID()
			entries = entries[1:]
			continue
		}
		below := prefix + name + "/"
		n := 0
		for n < len(entries) && strings.HasPrefix(entries[n].Name, below) {
			n++
		}
		sub := there[name]
		if sub.Mode != objects.ModeDir {
			sub.ID = ""
		}
		inside := entries[:n]
		if e.Folder() && e.Name == below && p.ids[prefix+name] != sub.ID {
			inside = slices.Collect(p.index.Under(prefix + name))
		}
		if err := p.compare(inside, prefix+name, sub.ID); err != nil {
			return err
		}
		entries = entries[n:]
	}
	return nil
}

// unproven lists the records of the folder that may be other than in any commit,
// by their paths in the book.
func (p *presence) unproven() []string {
	dirs := []string{"parts"}
	for _, group := range p.list("engines") {
		if group.IsDir() {
			for _, engine := range p.list(path.Join("engines", group.Name())) {
				if engine.IsDir() {
					dirs = append(dirs, path.Join("engines", group.Name(), engine.Name()))
				}
			}
		}
	}
	found := make([][]string, len(dirs))
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(dirs)) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(dirs); i = int(next.Add(1)) - 1 {
				found[i] = p.below(dirs[i], dirs[i] != "parts")
			}
		})
	}
	all.Wait()
	return append([]string{}, slices.Concat(found...)...)
}

// list lists a folder; what cannot be listed holds nothing that is read.
func (p *presence) list(dir string) []os.DirEntry {
	entries, _ := os.ReadDir(p.book.osPath(dir))
	for _, e := range entries {
		if e.Name() == ".gitattributes" {
			p.doubt.Store(true)
		}
	}
	return entries
}

// below lists the unproven records of an engine's folder, or of parts/.
func (p *presence) below(dir string, engine bool) []string {
	known := map[string]index.Entry{}
	for e := range p.index.Under(p.book.inRepo(dir)) {
		known[e.Name] = e
	}
	var list []string
	for _, e := range p.list(dir) {
		name := path.Join(dir, e.Name())
		if engine && e.IsDir() {
			for _, file := range p.list(name) {
				list = p.file(list, known, path.Join(name, file.Name()), file)
			}
			continue
		}
		list = p.file(list, known, name, e)
	}
	return list
}

func (p *presence) file(list []string, known map[string]index.Entry, name string, entry os.DirEntry) []string {
	if !entry.Type().IsRegular() || !holdsWords(name) {
		return list
	}
	staged, ok := known[p.book.inRepo(name)]
	if ok && !staged.AssumeValid() && !staged.IntentToAdd() && !p.staged[staged.Name] && !staged.Racy(p.second) {
		if info, err := entry.Info(); err == nil && staged.Matches(statOf(info)) {
			return list
		}
	}
	return append(list, name)
}
