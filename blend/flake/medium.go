package flake

import "math/cmplx"

// bruggeman returns the dielectric function of a mixture with a share of one
// material by volume and the rest of another, from
//
//	share (ε₁ − ε)/(ε₁ + 2ε) + (1 − share)(ε₂ − ε)/(ε₂ + 2ε) = 0
//
// (Bruggeman, Ann. Phys. 416 (1935) 636, spheres). Of the two roots the one
// that does not amplify light is the mixture.
func bruggeman(one, two complex128, share float64) complex128 {
	if share == 1 {
		return one
	}
	b := complex(3*share-1, 0)*one + complex(2-3*share, 0)*two
	root := cmplx.Sqrt(b*b + 8*one*two)
	mixed := (b + root) / 4
	if imag(mixed) < 0 || real(mixed) < 0 && imag(mixed) == 0 {
		mixed = (b - root) / 4
	}
	return mixed
}
