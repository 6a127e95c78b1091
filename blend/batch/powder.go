package batch

import (
	"fmt"

	"tawny/blend"
)

// fineness is the largest particle of a mica colour additive, µm: 21 CFR
// 73.2496 takes its specification from 73.1496(b), which has 100 % pass a
// 100-mesh sieve, 150 µm.
const fineness = 150

// fineEnough refuses flakes that cannot be within the fineness of the mica
// colour additive.
func fineEnough(p *blend.Pigment) error {
	if p.D90 > fineness && (isFlake(p) || holdsMica(p)) {
		return fmt.Errorf("powder %s has d90 %.4g µm; over 150 µm is outside the fineness of the mica colour additive (21 CFR 73.1496(b) by way of 73.2496), so it is refused for cosmetics", p.Name, p.D90)
	}
	return nil
}

// holdsMica reports whether the powder has mica in it.
func holdsMica(p *blend.Pigment) bool {
	for _, c := range coloursOf(p) {
		if c.INCI == "Mica" {
			return true
		}
	}
	return false
}
