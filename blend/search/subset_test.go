package search

import "testing"

// Ranks run through every subset once and in step with advance.
func TestRanksNumberSubsets(t *testing.T) {
	for n := 1; n <= 9; n++ {
		for k := 1; k <= 4 && k <= n; k++ {
			c, d := make([]int, k), make([]int, k)
			unrank(0, k, c)
			for rank := 0; rank < binomial(n, k); rank++ {
				unrank(rank, k, d)
				for i := range c {
					if c[i] != d[i] || c[i] >= n {
						t.Fatalf("n %d, k %d, rank %d: advance gives %v, unrank %v", n, k, rank, c, d)
					}
				}
				if got := rankOf(c); got != rank {
					t.Fatalf("rankOf(%v) = %d, want %d", c, got, rank)
				}
				advance(c)
			}
		}
	}
	// 40 powders, at most 4: 40 + 780 + 9,880 + 91,390.
	total := 0
	for k := 1; k <= 4; k++ {
		total += binomial(40, k)
	}
	if total != 102090 {
		t.Errorf("%d subsets of at most 4 of 40, want 102090", total)
	}
}
