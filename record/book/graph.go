package book

import (
	"bytes"
	"crypto/sha1"
	"os"
	"path/filepath"

	"github.com/go-git/go-git/v5/plumbing"
	commitgraph "github.com/go-git/go-git/v5/plumbing/format/commitgraph/v2"

	"stackbook/record/book/objects"
)

// graph is what git wrote down of commits beside their objects: tree, parents and
// time of each (gitformat-commit-graph(5)). It has neither the committer's zone,
// and so no day, nor an author or a subject, and serves a walk alone. nil is none.
type graph struct{ layers commitgraph.Index }

// noted is what a graph has of one commit.
type noted struct {
	tree    objects.ID
	parents []objects.ID
	time    int64
}

// readGraph reads the graph, one file or a chain of them. Where it is not sound,
// or git would not trust it, there is none: it saves time and decides nothing.
func (b *Book) readGraph() *graph {
	set, err := b.settings()
	if err != nil || !set.is("core.commitgraph", true) || b.repo.format != objects.SHA1 {
		return nil
	}
	if cut, err := b.shallow(); err != nil || len(cut) > 0 {
		return nil
	}
	info := filepath.Join(b.repo.common, "objects", "info")
	if layers := openGraph(filepath.Join(info, "commit-graph"), nil); layers != nil {
		return &graph{layers}
	}
	chain, err := os.Open(filepath.Join(info, "commit-graphs", "commit-graph-chain"))
	if err != nil {
		return nil
	}
	defer chain.Close()
	hashes, err := commitgraph.OpenChainFile(chain)
	if err != nil || len(hashes) == 0 {
		return nil
	}
	var layers commitgraph.Index
	for _, hash := range hashes {
		if layers = openGraph(filepath.Join(info, "commit-graphs", "graph-"+hash+".graph"), layers); layers == nil {
			return nil
		}
	}
	return &graph{layers}
}

// graphFile is one file of a graph in memory.
type graphFile struct{ *bytes.Reader }

func (graphFile) Close() error { return nil }

// openGraph reads one file of a graph that builds on another; nil where its
// checksum is not that of what it holds.
func openGraph(name string, below commitgraph.Index) commitgraph.Index {
	data, err := os.ReadFile(name)
	if err != nil || len(data) < sha1.Size {
		return nil
	}
	body, sum := data[:len(data)-sha1.Size], data[len(data)-sha1.Size:]
	if worked := sha1.Sum(body); !bytes.Equal(worked[:], sum) {
		return nil
	}
	layers, err := commitgraph.OpenFileIndexWithParent(graphFile{bytes.NewReader(data)}, below)
	if err != nil {
		return nil
	}
	return layers
}

// lastTime is the latest time a graph can hold, in 34 bits; git notes 0 for one
// before 1970.
const lastTime = 1<<34 - 1

// find gives what is noted of a commit; ok is false where that is not all of it.
func (g *graph) find(id objects.ID) (n noted, ok bool) {
	if g == nil {
		return noted{}, false
	}
	at, err := g.layers.GetIndexByHash(plumbing.Hash(id.Raw()))
	if err != nil {
		return noted{}, false
	}
	data, err := g.layers.GetCommitDataByIndex(at)
	if err != nil {
		return noted{}, false
	}
	n = noted{tree: objects.FromRaw(data.TreeHash[:]), time: data.When.Unix()}
	for _, p := range data.ParentHashes {
		n.parents = append(n.parents, objects.FromRaw(p[:]))
	}
	return n, n.time > 0 && n.time < lastTime
}
