package job

import (
	"cmp"
	"slices"
	"strconv"

	"tawny/colour"
)

func trimNumber(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func deltaE(a, b BlendView) float64 { return colour.DeltaE00(a.Lab, b.Lab) }

// sortByAB orders colours by a*, then b*.
func sortByAB(list []colour.Lab) {
	slices.SortFunc(list, func(p, q colour.Lab) int {
		return cmp.Or(cmp.Compare(p.A, q.A), cmp.Compare(p.B, q.B))
	})
}
