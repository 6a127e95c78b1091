package colour

import "sort"

// Place finds where x lies among n places that rise: a share t of the way from place i
// to j, or at one, the nearest beyond either end, where i and j are the same.
func Place(x float64, n int, at func(i int) float64) (i, j int, t float64) {
	j = sort.Search(n, func(i int) bool { return at(i) >= x })
	switch {
	case j == n:
		return n - 1, n - 1, 0
	case j == 0 || at(j) == x:
		return j, j, 0
	}
	i = j - 1
	return i, j, (x - at(i)) / (at(j) - at(i))
}
