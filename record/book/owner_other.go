//go:build !unix

package book

// ownedByUser trusts the file system where files have no numbered owner.
func ownedByUser(string) bool { return true }
