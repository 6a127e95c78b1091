package film

import "math"

// Reflect returns the reflectance of a film over a ground, with its
// derivatives in K and S. A film with K = S = 0 gives rg itself, to the bit.
//
//	q = K(K+2S),  t = tanh(√q)/√q
//	Ri = [Rg + (S(1−Rg) − Rg K) t] / [1 + (K + S(1−Rg)) t]
//
// which is Kubelka's (1948) hyperbolic solution written so that neither K = 0
// nor S = 0 is a special case and a white ground costs no digits.
func Reflect(k, s, rg float64) (ri, dk, ds float64) {
	t, slope := tanhc(k * (k + 2*s))
	dark := 1 - rg
	over := 1 / (1 + (k+s*dark)*t)
	ri = (rg + (s*dark-rg*k)*t) * over
	byT := (s*dark*dark - 2*rg*k) * over // ∂Ri/∂t, without the last over
	dk = (byT*2*(k+s)*slope - (rg+ri)*t) * over
	ds = (byT*2*k*slope + dark*t*(dark+k*(1+rg)*t)*over) * over // 1−Ri is the bracket times over
	return ri, dk, ds
}

// Infinite returns the reflectance of a layer too deep to see through, such as
// a jar: R∞ = 1 + K/S − √((K/S)² + 2K/S), in a form that does not cancel.
// Only the ratio of k to s matters. With both 0 no light comes back, and it
// returns 0.
func Infinite(k, s float64) float64 {
	if s == 0 {
		return 0
	}
	return s / (k + s + math.Sqrt(k*(k+2*s)))
}

// Ratio returns K/S of a layer too deep to see through that reflects r,
// (1−r)²/2r, the inverse of Infinite.
func Ratio(r float64) float64 { return (1 - r) * (1 - r) / (2 * r) }

// Beam returns the light that flakes mirror at the first reflection and that
// no other flake has stopped on its way in or out, with its derivatives: in
// Sf, and in K or S, which are equal.
//
//	P = Sf (1 − e^(−2(K+S))) / 2(K+S)
//
// With y = K+S the fraction is t/(1 + y t), t = tanh(y)/y, which needs no
// exponential and no case for y = 0.
func Beam(sf, k, s float64) (p, dsf, dks float64) {
	y := k + s
	t, slope := tanhc(y * y)
	over := 1 / (1 + y*t)
	share := t * over
	return sf * share, share, sf * (2*y*slope - t*t) * over * over
}
