package passing

// Holding is who has a lock that was asked for.
type Holding int

// Who it may be. Unknown: nobody can tell, and so nothing is ever proven to be
// without an owner.
const (
	Unknown Holding = iota
	Held
	HeldByOther
)
