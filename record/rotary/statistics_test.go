package rotary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// TestStudentTClosedForms holds the two cases that elementary functions answer:
// nu = 1 is tan(pi(p-1/2)), nu = 2 is (2p-1)/sqrt(2p(1-p)).
func TestStudentTClosedForms(t *testing.T) {
	for _, p := range []float64{1e-6, 0.001, 0.025, 0.3, 0.499, 0.500001, 0.6, 0.9, 0.975, 0.9999, 0.999999} {
		one, err := StudentT(p, 1)
		require.NoError(t, err)
		assert.InEpsilon(t, math.Tan(math.Pi*(p-0.5)), one, 1e-9, "p = %v", p)
		two, err := StudentT(p, 2)
		require.NoError(t, err)
		assert.InEpsilon(t, (2*p-1)/math.Sqrt(2*p*(1-p)), two, 1e-9, "p = %v", p)
	}
	half, err := StudentT(0.5, 7)
	require.NoError(t, err)
	assert.InDelta(t, 0, half, 1e-15)
}

// TestStudentTInverse puts the quantile back into a library's distribution,
// which reaches it by another way than ours.
func TestStudentTInverse(t *testing.T) {
	for _, nu := range []float64{1, 1.5, 3, 4, 10, 20.3522, 34, 188.2, 1e4, 1e6} {
		for _, p := range []float64{0.0001, 0.025, 0.4, 0.55, 0.9, 0.975, 0.995, 0.99999} {
			q, err := StudentT(p, nu)
			require.NoError(t, err)
			assert.InEpsilon(t, p, distuv.StudentsT{Sigma: 1, Nu: nu}.CDF(q), 1e-9, "p = %v, nu = %v", p, nu)
		}
	}
}

// TestStudentTTendsToNormal: Student's t exceeds the normal quantile by about
// (z^3+z)/(4 nu) (Abramowitz and Stegun 26.7.5, from memory), on both sides of
// the change of method at a million degrees of freedom.
func TestStudentTTendsToNormal(t *testing.T) {
	z := mathext.NormalQuantile(0.975)
	for _, nu := range []float64{1e3, 1e5, 1e6, 1e6 + 1, 1e12} {
		q, err := StudentT(0.975, nu)
		require.NoError(t, err)
		assert.InDelta(t, z+(z*z*z+z)/(4*min(nu, 1e9)), q, 3e-6)
	}
}

func TestNormalCDF(t *testing.T) {
	for _, p := range []float64{1e-9, 0.001, 0.025, 0.3, 0.5, 0.8, 0.977, 0.9999} {
		assert.InEpsilon(t, p, NormalCDF(mathext.NormalQuantile(p)), 1e-12)
	}
	assert.Equal(t, 0.5, NormalCDF(0))
}
