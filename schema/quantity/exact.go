package quantity

import (
	"math/big"
	"sync"
)

// pi rounded to 50 decimals; a test computes them again. It stands in the few factors no
// fraction can give exactly.
var pi = sync.OnceValue(func() *big.Rat { return exact("3.14159265358979323846264338327950288419716939937511") })

// exact makes a fraction of a decimal number or of a quotient, "127/5000".
// It serves the constants of this package, so a slip in one stops the program
// at once.
func exact(text string) *big.Rat {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		panic("quantity: not a number: " + text)
	}
	return r
}

func whole(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

// mul multiplies any number of factors.
func mul(factors ...*big.Rat) *big.Rat {
	p := whole(1)
	for _, f := range factors {
		p.Mul(p, f)
	}
	return p
}

func cube(a *big.Rat) *big.Rat { return mul(a, a, a) }
