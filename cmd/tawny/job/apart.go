package job

import (
	"math"
	"strings"
)

// apart says for each blend what sets it apart from the others of a list: what
// it has most or least of, where the difference is one a maker would notice.
func apart(list []BlendView) {
	says := make([][]string, len(list))
	least := func(word string, noticed float64, of func(*BlendView) float64) {
		best, second := -1, math.Inf(1)
		for i := range list {
			switch x := of(&list[i]); {
			case best < 0 || x < of(&list[best]):
				if best >= 0 {
					second = of(&list[best])
				}
				best = i
			case x < second:
				second = x
			}
		}
		if best >= 0 && second-of(&list[best]) >= noticed && !math.IsInf(second, 0) {
			says[best] = append(says[best], word)
		}
	}
	least("nearest", 0.1, func(b *BlendView) float64 { return b.DeltaE00 })
	least("fewest powders", 1, func(b *BlendView) float64 { return float64(len(b.Parts)) })
	least("shifts least between lights", 0.1, func(b *BlendView) float64 { return b.LightShift })
	least("covers most", 0.02, func(b *BlendView) float64 { return -b.Covered })
	least("sheerest", 0.02, func(b *BlendView) float64 { return b.Covered })
	least("cheapest", 0.01, func(b *BlendView) float64 { return b.Cost })
	least("brightest gleam", 1, func(b *BlendView) float64 { return b.Travel.DL })
	for i, words := range says {
		list[i].Apart = strings.Join(words, ", ")
	}
}
