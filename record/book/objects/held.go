package objects

import (
	"io"
	"os"
	"sync"
)

// Held is memory in which stores that ask for most objects hold packs and their
// indexes as a whole, each of them once for all these stores.
type Held struct {
	mu    sync.Mutex
	files map[string][]byte
	left  int64 // bytes that are free for packs
}

// mostPacks is how many bytes of packs are held; what is beyond is read where it
// lies. An index, a fraction of its pack, is always held.
const mostPacks = 128 << 20

// NewHeld gives memory that holds nothing yet.
func NewHeld() *Held { return &Held{files: map[string][]byte{}, left: mostPacks} }

// pack holds a pack, where there is room, and its index. The bytes are those of
// the files that are open, whatever may have the name by now.
func (h *Held) pack(p *pack) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	index, ok := h.files[p.idx.name]
	if !ok {
		var err error
		if index, err = os.ReadFile(p.idx.name); err != nil {
			return err
		}
		h.files[p.idx.name] = index
	}
	p.idx.holdIn(index)
	if data, ok := h.files[p.file.Name()]; ok {
		p.held = data
		return nil
	}
	info, err := p.file.Stat()
	if err != nil || info.Size() > h.left {
		return err
	}
	data := make([]byte, info.Size())
	if _, err := io.ReadFull(io.NewSectionReader(p.file, 0, info.Size()), data); err != nil {
		return err
	}
	h.left -= info.Size()
	h.files[p.file.Name()], p.held = data, data
	return nil
}
