package search

// Subsets of k out of n are numbered in colexicographic order by the
// combinatorial number system: the rank of c₁ < c₂ < … < c_k is Σ C(c_i, i).

// binomial returns C(n, k), 0 for k > n.
func binomial(n, k int) int {
	if k < 0 || k > n {
		return 0
	}
	r := 1
	for i := 1; i <= k; i++ {
		r = r * (n - k + i) / i
	}
	return r
}

// choose2, choose3 … unrolled keep rankOf free of divisions in the hot path.
func rankOf(c []int) int {
	r := 0
	for i, v := range c {
		switch i {
		case 0:
			r += v
		case 1:
			r += v * (v - 1) / 2
		case 2:
			r += v * (v - 1) * (v - 2) / 6
		default:
			r += binomial(v, i+1)
		}
	}
	return r
}

// unrank fills c, ascending, with the subset of len(c) that has the rank.
func unrank(rank, k int, c []int) {
	for i := k; i >= 1; i-- {
		v := i - 1
		for binomial(v+1, i) <= rank {
			v++
		}
		c[i-1] = v
		rank -= binomial(v, i)
	}
}

// advance steps c to the subset of the next rank.
func advance(c []int) {
	for i := range c {
		if i == len(c)-1 || c[i]+1 < c[i+1] {
			c[i]++
			for j := range i {
				c[j] = j
			}
			return
		}
	}
}
