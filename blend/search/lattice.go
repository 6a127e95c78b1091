package search

import (
	"cmp"
	"math"
	"slices"
	"tawny/blend/nnls"
)

// latticeBest is how many of the lattice points nearest the optimum by the
// quadratic model are tried in earnest.
const latticeBest = 96

// latticePoint is whole numbers of balance steps.
type latticePoint struct {
	q float64 // of the quadratic model
	n [MostParts]int
}

// lattice finds the whole-number points of a given sum nearest a real one in
// the metric of a quadratic, by the search of Fincke and Pohst in the order of
// Schnorr and Euchner: with the last coordinate eliminated by the sum, the
// quadratic is a sum of squares, one more coordinate in each, so a branch is
// given up as soon as its squares so far pass the worst of the best.
type lattice struct {
	k      int // coordinates
	total  int
	lo, hi [MostParts]int
	l      [MostParts]nnls.Vector // upper triangle: Σ_i l_ii² (z_i + Σ_j>i l_ij z_j)²
	centre [MostParts]float64
	order  [MostParts]int // coordinate of each variable; the last is eliminated

	best  []latticePoint
	worst float64
	z     [MostParts]int
	tries int
}

// latticeTries bounds the search where the quadratic is nearly flat.
const latticeTries = 400_000

// newLattice prepares the search about centre c, a minimiser of ½dᵀHd + gᵀd
// over Σd = 0; h need only be positive semidefinite.
func newLattice(k, total int, lo, hi [MostParts]int, c [MostParts]float64, h *[MostParts]nnls.Vector) *lattice {
	t := &lattice{k: k, total: total, lo: lo, hi: hi, worst: math.Inf(1)}
	// The largest amount is eliminated: it has most room.
	last := 0
	for i := range k {
		if c[i] > c[last] {
			last = i
		}
	}
	m := 0
	for i := range k {
		if i != last {
			t.order[m] = i
			m++
		}
	}
	t.order[m] = last
	for i := range m {
		t.centre[i] = c[t.order[i]]
	}
	// H over the others when the last takes up what they change.
	var a [MostParts]nnls.Vector
	trace := 0.0
	for i := range m {
		for j := range m {
			p, q := t.order[i], t.order[j]
			a[i][j] = h[p][q] - h[p][last] - h[last][q] + h[last][last]
		}
		trace += a[i][i]
	}
	for i := range m {
		a[i][i] += 1e-9*trace + 1e-30 // flat directions prefer the near point
	}
	// Cholesky in the form aᵢⱼ → dᵢ(zᵢ + Σ μᵢⱼ zⱼ)².
	t.l = a
	for i := range m {
		for j := i + 1; j < m; j++ {
			t.l[j][i] = t.l[i][j]
			t.l[i][j] /= t.l[i][i]
		}
		for j := i + 1; j < m; j++ {
			for p := j; p < m; p++ {
				t.l[j][p] -= t.l[j][i] * t.l[i][p]
			}
		}
	}
	return t
}

// search fills best, nearest first.
func (l *lattice) search() {
	l.descend(l.k-2, 0)
	slices.SortFunc(l.best, comparePoints)
}

func comparePoints(a, b latticePoint) int {
	return cmp.Or(cmp.Compare(a.q, b.q), slices.Compare(a.n[:], b.n[:]))
}

// descend chooses variable i given those above it.
func (l *lattice) descend(i int, soFar float64) {
	if i < 0 {
		l.leaf(soFar)
		return
	}
	shift := 0.0
	for j := i + 1; j < l.k-1; j++ {
		shift += l.l[i][j] * (float64(l.z[j]) - l.centre[j])
	}
	mid := l.centre[i] - shift
	lo, hi := l.lo[l.order[i]], l.hi[l.order[i]]
	up := int(math.Floor(math.Min(math.Max(mid, float64(lo)), float64(hi)))) + 1
	down := up - 1
	for up <= hi || down >= lo {
		// The nearer of the next two either side of the middle.
		z := down
		if down < lo || up <= hi && float64(up)-mid < mid-float64(down) {
			z = up
			up++
		} else {
			down--
		}
		d := float64(z) - mid
		q := soFar + l.l[i][i]*d*d
		if q > l.worst || l.tries > latticeTries {
			return
		}
		l.tries++ // every node counts: a flat quadratic has endless ones
		l.z[i] = z
		l.descend(i-1, q)
	}
}

// leaf keeps a point whose last coordinate is within its bounds.
func (l *lattice) leaf(q float64) {
	last := l.total
	var p latticePoint
	for i := range l.k - 1 {
		last -= l.z[i]
		p.n[l.order[i]] = l.z[i]
	}
	at := l.order[l.k-1]
	if last < l.lo[at] || last > l.hi[at] {
		return
	}
	p.n[at], p.q = last, q
	if len(l.best) < latticeBest {
		l.best = append(l.best, p)
		if len(l.best) < latticeBest {
			return
		}
	} else {
		worst := 0
		for i := range l.best {
			if comparePoints(l.best[i], l.best[worst]) > 0 {
				worst = i
			}
		}
		if comparePoints(p, l.best[worst]) < 0 {
			l.best[worst] = p
		}
	}
	l.worst = 0
	for i := range l.best {
		l.worst = math.Max(l.worst, l.best[i].q)
	}
}
