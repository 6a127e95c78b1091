package film

import (
	"math"

	"tawny/blend/flake"
)

// The local incidences at which R and T of flakes are known.
const (
	grazingNodes = flake.GrazingCosines
	nodes        = flake.SteepCosines + grazingNodes
)

// grid interpolates between the local incidences.
type grid struct {
	critical float64
	cosine   [nodes]float64
	over     [nodes]float64           // barycentric weights within the node's panel
	tally    [bins + 1][nodes]float64 // what at gives for a tally's bins
}

func newGrid(index float64) *grid {
	g := &grid{critical: math.Sqrt(1 - 1/(index*index))}
	cosine, _ := flake.Incidences(index)
	copy(g.cosine[:], cosine)
	for _, span := range [][2]int{{0, grazingNodes}, {grazingNodes, nodes}} {
		for i := span[0]; i < span[1]; i++ {
			g.over[i] = 1
			for j := span[0]; j < span[1]; j++ {
				if j != i {
					g.over[i] /= 4 * (g.cosine[i] - g.cosine[j])
				}
			}
		}
	}
	for i := range g.tally {
		g.tally[i] = g.at(float64(i) / bins)
	}
	return g
}

// at returns the weights that interpolate to a cosine; they sum to one.
func (g *grid) at(cos float64) (w [nodes]float64) {
	lo, hi := 0, grazingNodes
	if cos > g.critical {
		lo, hi = grazingNodes, nodes
	}
	sum := 0.0
	for i := lo; i < hi; i++ {
		if cos == g.cosine[i] {
			w = [nodes]float64{}
			w[i] = 1
			return w
		}
		w[i] = g.over[i] / (cos - g.cosine[i])
		sum += w[i]
	}
	for i := lo; i < hi; i++ {
		w[i] /= sum
	}
	return w
}

// tally gathers how often flakes are met at each local cosine.
const bins = 512

type tally [bins + 1]float64

// add shares a weight between the two bins nearest a cosine of 0 to 1.
func (t *tally) add(cos, weight float64) {
	at := cos * bins
	i := min(int(at), bins-1)
	part := weight * (at - float64(i))
	t[i] += weight - part
	t[i+1] += part
}

// weights turns a tally into weights of the flake's values at the nodes.
func (t *tally) weights(g *grid, scale float64) (w [nodes]float64) {
	for i, v := range t {
		if v == 0 {
			continue
		}
		for j, x := range g.tally[i] {
			w[j] += scale * v * x
		}
	}
	return w
}
