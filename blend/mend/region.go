package mend

import (
	"cmp"
	"fmt"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// Reachable returns the outline, on the a*b* plane, of the colours that two of a
// list of powders reach at a load in %, worn as w: the hull of every pair in steps.
func Reachable(w film.Worn, list []*palette.Pigment, load float64) ([]colour.Lab, error) {
	w.Light = cmp.Or(w.Light, colour.D65)
	var points []colour.Lab
	for i := range list {
		for j := i; j < len(list); j++ {
			steps := 4
			if i == j {
				steps = 0
			}
			for k := 0; k <= steps; k++ {
				t := 1.0
				if steps > 0 {
					t = float64(k) / float64(steps)
				}
				w.Parts = []film.Part{{Pigment: list[i], Percent: t * load}, {Pigment: list[j], Percent: (1 - t) * load}}
				r, err := film.Diffuse(w)
				if err != nil {
					return nil, fmt.Errorf("reachable region: %w", err)
				}
				points = append(points, w.Light.Lab(&r))
			}
		}
	}
	return hull(points), nil
}

// hull is the convex hull on the a*b* plane, counter-clockwise (Andrew's
// monotone chain).
func hull(points []colour.Lab) []colour.Lab {
	if len(points) < 3 {
		return points
	}
	sorted := append([]colour.Lab(nil), points...)
	slices.SortFunc(sorted, func(p, q colour.Lab) int {
		return cmp.Or(cmp.Compare(p.A, q.A), cmp.Compare(p.B, q.B))
	})
	cross := func(o, a, b colour.Lab) float64 { return (a.A-o.A)*(b.B-o.B) - (a.B-o.B)*(b.A-o.A) }
	var out []colour.Lab
	for pass := 0; pass < 2; pass++ {
		start := len(out)
		for i := range sorted {
			p := sorted[i]
			if pass == 1 {
				p = sorted[len(sorted)-1-i]
			}
			for len(out) >= start+2 && cross(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1]
	}
	return out
}
