package book

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"stackbook/record/book/index"
	"stackbook/record/book/objects"
)

// folderSums are those of the working folder. A file of which git's index proves,
// by its stat, that it is as it was staged has the name it has there, as git
// itself takes it; any other is read.
type folderSums struct {
	tree  folder
	proof *proof // nil: nothing is proven

	parts func() (partSums, error) // looked at once
}

type partSums struct {
	entries []Entry // as folder.List gives them, with their names
	all     string  // "" where one of them is not known
}

func newFolderSums(t folder) (Sums, error) {
	p, err := t.book.proofOf()
	if err != nil {
		return nil, err
	}
	s := &folderSums{tree: t, proof: p}
	s.parts = sync.OnceValues(s.lookAtParts)
	return s, nil
}

// proof is git's index, where it can prove anything.
type proof struct {
	index  *index.Index
	second int64 // in which it was written
}

// proofOf takes git's index in; nil where it proves nothing: git keeps other
// bytes than the folder holds, or it is of a kind only git reads.
func (b *Book) proofOf() (*proof, error) {
	go b.settings() // the git program tells them, while the index is read
	x, err := b.readIndex()
	if err != nil {
		return nil, nil // told by those who need it
	}
	second, ok := b.indexes.second(x)
	if !ok {
		return nil, nil // there is none
	}
	places := []string{b.inRepo(path.Join(partsFolder, "x"))}
	groups, _ := os.ReadDir(b.osPath("engines")) // told where engines are listed
	for _, g := range groups {
		places = append(places, b.inRepo(path.Join("engines", g.Name(), "x")))
	}
	if converts, err := b.mayConvert(x, places); err != nil || converts {
		return nil, err
	}
	return &proof{x, second}, nil
}

// attributes is git's file that says, among other things, what it converts.
const attributes = ".gitattributes"

// staged gives what the index proves of a folder, sorted by name: nothing where
// git may convert what lies in it.
func (p *proof) staged(dir string) []index.Entry {
	if p == nil {
		return nil
	}
	entries := slices.Collect(p.index.Under(dir))
	if slices.ContainsFunc(entries, func(e index.Entry) bool { return path.Base(e.Name) == attributes }) {
		return nil
	}
	return entries
}

// proven gives the entry of a file that is as it was staged.
func (p *proof) proven(staged []index.Entry, name string, file os.DirEntry) (e index.Entry, ok bool) {
	i, found := slices.BinarySearchFunc(staged, name, func(e index.Entry, name string) int { return strings.Compare(e.Name, name) })
	if !found {
		return e, false
	}
	e = staged[i]
	if e.Stage() != 0 || e.AssumeValid() || e.IntentToAdd() || e.SkipWorktree() || !e.Mode().IsFile() || e.Racy(p.second) {
		return e, false
	}
	info, err := file.Info()
	return e, err == nil && e.Matches(statOf(info))
}

// sumWalk names one folder and all in it.
type sumWalk struct {
	sums   *folderSums
	staged []index.Entry
	detail map[string][]Entry // what each folder holds, with names; nil: not asked for
}

// errUnnamed says that something lies there that has no name: a link, a pipe, a
// file too large.
var errUnnamed = errors.New("no content of a book")

func (s *folderSums) Folder(dir string) string {
	w := &sumWalk{sums: s, staged: s.proof.staged(s.tree.book.inRepo(dir))}
	id, err := w.folder(dir)
	if err != nil {
		return ""
	}
	return string(id)
}

// folder gives the name git would give a folder. An empty one has a name here too.
func (w *sumWalk) folder(dir string) (objects.ID, error) {
	b := w.sums.tree.book
	files, err := os.ReadDir(b.osPath(dir))
	if err != nil {
		return "", err
	}
	var list []objects.Entry
	for _, e := range files {
		if e.Name() == attributes {
			w.staged = nil
		}
	}
	for _, e := range files {
		if strings.EqualFold(e.Name(), ".git") || isTemp(e.Name()) {
			continue // no more than in folder.List
		}
		one := objects.Entry{Name: e.Name(), Mode: objects.ModeFile}
		switch name := path.Join(dir, e.Name()); {
		case e.IsDir():
			one.Mode = objects.ModeDir
			one.ID, err = w.folder(name)
		case e.Type().IsRegular():
			one.ID, one.Mode, err = w.file(name, e)
		default:
			err = errUnnamed
		}
		if err != nil {
			return "", err
		}
		list = append(list, one)
	}
	if w.detail != nil {
		w.detail[dir] = listed(list)
	}
	return b.repo.format.Quick(objects.Tree, objects.EncodeTree(list)), nil
}

// listed gives entries as folder.List does, with their names.
func listed(list []objects.Entry) []Entry {
	entries := []Entry{}
	for _, e := range list {
		entries = append(entries, Entry{e.Name, e.Mode == objects.ModeDir, e.Mode.IsFile(), string(e.ID)})
	}
	slices.SortFunc(entries, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	return entries
}

func (w *sumWalk) file(name string, e os.DirEntry) (objects.ID, objects.Mode, error) {
	b := w.sums.tree.book
	if staged, ok := w.sums.proof.proven(w.staged, b.inRepo(name), e); ok {
		return staged.ID(), staged.Mode(), nil
	}
	data, err := w.sums.tree.Read(name)
	if err != nil {
		return "", 0, err
	}
	mode := objects.ModeFile
	if info, err := e.Info(); err == nil && info.Mode()&0o100 != 0 {
		mode = objects.ModeExec
	}
	return b.repo.format.Sum(objects.Blob, data), mode, nil
}

func (s *folderSums) lookAtParts() (partSums, error) {
	info, err := s.tree.book.lstat(partsFolder)
	if errors.Is(err, fs.ErrNotExist) {
		return partSums{all: "none"}, nil
	}
	if err != nil || !info.IsDir() {
		return partSums{}, errors.Join(err, errUnnamed)
	}
	w := &sumWalk{sums: s, staged: s.proof.staged(s.tree.book.inRepo(partsFolder)), detail: map[string][]Entry{}}
	id, err := w.folder(partsFolder)
	return partSums{w.detail[partsFolder], string(id)}, err
}

func (s *folderSums) Parts() (files map[string]string, all string, ok bool) {
	p, err := s.parts()
	if err != nil {
		return nil, "", false
	}
	files = map[string]string{}
	for _, e := range p.entries {
		if e.File {
			files[e.Name] = e.Hash
		}
	}
	return files, p.all, true
}

// witness reads the folder, and holds what it reads against the names.
type witness struct {
	Tree
	format objects.Format
	detail map[string][]Entry // by folder
	root   string
	other  atomic.Bool
}

func (s *folderSums) Witness(dir, named string) (Tree, func() bool) {
	walk := &sumWalk{sums: s, staged: s.proof.staged(s.tree.book.inRepo(dir)), detail: map[string][]Entry{}}
	id, err := walk.folder(dir)
	w := &witness{Tree: s.tree, format: s.tree.book.repo.format, detail: walk.detail, root: dir}
	p, missing := s.parts()
	if err != nil || missing != nil || string(id) != named {
		w.other.Store(true)
	} else {
		w.detail[partsFolder] = p.entries
	}
	return w, func() bool { return !w.other.Load() }
}

// watches tells whether a folder is one of those that are held against names.
func (w *witness) watches(dir string) bool {
	return dir == w.root || dir == partsFolder || strings.HasPrefix(dir, w.root+"/")
}

func (w *witness) Read(p string) ([]byte, error) {
	data, err := w.Tree.Read(p)
	if dir := path.Dir(p); w.watches(dir) && !w.other.Load() {
		list := w.detail[dir]
		i := slices.IndexFunc(list, func(e Entry) bool { return e.Name == path.Base(p) })
		switch {
		case err == nil && i >= 0 && list[i].File && list[i].Hash == string(w.format.Sum(objects.Blob, data)):
		case errors.Is(err, fs.ErrNotExist) && i < 0:
		default:
			w.other.Store(true)
		}
	}
	return data, err
}

func (w *witness) List(dir string) ([]Entry, error) {
	list, err := w.Tree.List(dir)
	if w.watches(dir) && !w.other.Load() && (err != nil && !errors.Is(err, fs.ErrNotExist) || !slices.EqualFunc(list, w.detail[dir], sameEntry)) {
		w.other.Store(true)
	}
	return list, err
}

func sameEntry(a, b Entry) bool { return a.Name == b.Name && a.Dir == b.Dir && a.File == b.File }

// SumOf names some bytes that were read of no named state.
func SumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return fmt.Sprintf("%d %s", len(data), hex.EncodeToString(sum[:]))
}
