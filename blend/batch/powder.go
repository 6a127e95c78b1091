package batch

import (
	"fmt"

	"tawny/blend"
)

// fineness is the largest particle of a mica colour additive, µm: 21 CFR
// 73.2496 takes its specification from 73.1496(b), which has 100 % pass a
// 100-mesh sieve, 150 µm.
const fineness = 150

// fineEnough refuses powders that cannot be within the fineness of the mica
// colour additive.
func fineEnough(p *blend.Pigment) error {
	if p.D90 > fineness {
		return fmt.Errorf("powder %s has d90 %.4g µm; over 150 µm is outside the fineness of the mica colour additive (21 CFR 73.1496(b) by way of 73.2496) and is not for cosmetics", p.Name, p.D90)
	}
	return nil
}
