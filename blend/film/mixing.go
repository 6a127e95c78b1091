package film

import "gonum.org/v1/gonum/integrate/quad"

// lattice is how many slopes an average over tilt takes.
const lattice = 1500

// mixing is what tilted flakes do to the diffuse streams, as weights of R or A
// at the local incidences, per unit of face area.
type mixing struct {
	exchange   [nodes]float64    // of R: σ_j h_j (U + V) between the cones
	turned     [nodes]float64    // of R: σ_j h_j (U − V) between the cones
	back       [2][nodes]float64 // of R: h_k U_kk
	absorption [2][nodes]float64 // of A: h_k
}

func newMixing(c *cones, g *grid, slope float64) *mixing {
	const across = 16
	var x, w [across]float64
	var cross [2][2]tally // [onward, back][from]
	var back, all [2]tally
	m := normals(slope, lattice)
	each := 1 / float64(len(m))
	low := [2]float64{c.critical, 0}
	for j := range 2 {
		quad.Legendre{}.FixedLocations(x[:], w[:], low[j], low[j]+c.width[j])
		for i, mu := range x {
			d := vec{sine(mu), 0, mu}
			weight := w[i] / c.width[j] * each
			for _, n := range m {
				cos := d.dot(n)
				z := d[2] - 2*cos*n[2]
				turned := 0
				if cos < 0 {
					cos = -cos
				}
				if z < 0 {
					turned, z = 1, -z
				}
				all[j].add(cos, weight*cos)
				switch k := c.of(z); {
				case k != j:
					cross[turned][j].add(cos, weight*cos)
				case turned == 1:
					back[j].add(cos, weight*cos)
				}
			}
		}
	}
	var mix mixing
	for j := range 2 {
		mix.back[j] = back[j].weights(g, c.path[j])
		mix.absorption[j] = all[j].weights(g, c.path[j])
		// σ_j l_j = 2Δ_j; sampled slopes leave the two directions unlike by
		// 5e-4, and their mean is symmetric.
		on, off := cross[0][j].weights(g, c.width[j]), cross[1][j].weights(g, c.width[j])
		for q := range nodes {
			mix.exchange[q] += on[q] + off[q]
			mix.turned[q] += off[q] - on[q]
		}
	}
	return &mix
}
