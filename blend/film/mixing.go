package film

import "gonum.org/v1/gonum/integrate/quad"

// mixing is what tilted flakes do to the diffuse streams, as weights of R or A
// at the local incidences, per unit of face area.
type mixing struct {
	exchange   [nodes]float64    // of R: σ_j h_j (U + V) between the cones
	turned     [nodes]float64    // of R: σ_j h_j (U − V) between the cones
	back       [2][nodes]float64 // of R: h_k U_kk
	absorption [2][nodes]float64 // of A: h_k
}

func newMixing(c *cones, g *grid, t *tilts) *mixing {
	const across = 16
	var x, w [across]float64
	var met [2][2][2]tally // by going on or turned back, from, to
	each := 1 / float64(len(t.fine))
	low := [2]float64{c.critical, 0}
	for j := range 2 {
		quad.Legendre{}.FixedLocations(x[:], w[:], low[j], low[j]+c.width[j])
		for i, mu := range x {
			sin := sine(mu)
			weight := w[i] / c.width[j] * each
			for q := range t.fine {
				n := &t.fine[q]
				cos := sin*n[0] + mu*n[2]
				z := mu - 2*cos*n[2]
				turned := 0
				if cos < 0 {
					cos = -cos
				}
				if z < 0 {
					turned, z = 1, -z
				}
				met[turned][j][c.of(z)].add(cos, weight*cos)
			}
		}
	}
	var mix mixing
	for j := range 2 {
		within, back := met[0][j][j].weights(g, 1), met[1][j][j].weights(g, 1)
		on, off := met[0][j][1-j].weights(g, 1), met[1][j][1-j].weights(g, 1)
		for q := range nodes {
			mix.back[j][q] = c.path[j] * back[q]
			mix.absorption[j][q] = c.path[j] * (within[q] + back[q] + on[q] + off[q])
			// σ_j l_j = 2Δ_j; sampled slopes leave the two directions unlike by
			// 5e-4, and their mean is symmetric.
			mix.exchange[q] += c.width[j] * (on[q] + off[q])
			mix.turned[q] += c.width[j] * (off[q] - on[q])
		}
	}
	return &mix
}
