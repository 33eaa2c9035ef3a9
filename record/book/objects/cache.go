package objects

// baseCache remembers what was read from packs lately, since the objects of
// one walk through history are mostly deltas against each other. It holds two
// generations: what is met in the older moves to the newer, and when that is
// full the older is forgotten and the newer takes its place.
type baseCache struct {
	newer, older map[place]object
	bytes        int // of the newer
	most         int // bytes both may hold; 0: mostHeld
}

// mostHeld is how many bytes a store keeps of what it read.
const mostHeld = 8 << 20

// mostBases is the same of one who asks for most objects: of what is forgotten too
// early, whole chains of deltas are read again.
const mostBases = 32 << 20

type place struct {
	pack *pack
	at   int64
}

type object struct {
	kind Kind
	data []byte
}

func (c *baseCache) get(p *pack, at int64) (Kind, []byte) {
	key := place{p, at}
	if o, ok := c.newer[key]; ok {
		return o.kind, o.data
	}
	o, ok := c.older[key]
	if ok {
		c.put(p, at, o.kind, o.data)
	}
	return o.kind, o.data
}

func (c *baseCache) put(p *pack, at int64, kind Kind, data []byte) {
	limit := c.most
	if limit == 0 {
		limit = mostHeld
	}
	if len(data) > limit/8 {
		return
	}
	if c.newer == nil || c.bytes+len(data) > limit/2 {
		c.older, c.newer, c.bytes = c.newer, map[place]object{}, 0
	}
	c.newer[place{p, at}] = object{kind, data}
	c.bytes += len(data)
}
