// Package flake computes the thin-film optics of an effect pigment: a mica
// platelet with the same oxide coats on both faces, lying in a clear binder.
//
// # Notation
//
// Light of vacuum wavelength λ (nm) meets the flake at the angle θ in the
// binder of index n₀. N = n + ik is a complex index, ε = N², fields go as
// e^(−iωt), k₀ = 2π/λ. Along every film the tangential wave number
// β = n₀ sin θ is kept, and γ = √(ε − β²) is N cos θ within the film. With
// δ = k₀ t γ, a film of thickness t has the characteristic matrix
//
//	| cos δ        −i sin δ/η |
//	| −i η sin δ      cos δ   |     η = γ (s),  η = ε/γ (p)
//
// written here through S = k₀ t sin δ/δ, so that nothing is divided by γ and
// the film at its critical angle is no special case. A run of coats is the
// product of its films, outermost first, with elements a, b, c, d and ad − bc
// = 1. Between binder (η₀) and mica (η_m) it has, with
// D = η₀a + η₀η_m b + c + η_m d,
//
//	r  = (η₀a + η₀η_m b − c − η_m d)/D     from the binder
//	r′ = (η_m d + η₀η_m b − c − η₀a)/D     from the mica
//	t t′ = 4 η₀ η_m / D²                   in and out again
//
// # The substrate, averaged exactly
//
// Both faces carry the same coats, so with z = e^(iφ), φ = 2 k₀ t γ_m of the
// mica and q = r′² the whole flake has
//
//	ρ = r + t t′ r′ z/(1 − q z),   τ = t t′ z^½/(1 − q z)
//
// As a Fourier series in φ, with Σ′ = Σ_{m≥1} q^(m−1) z^m,
//
//	|τ|² = |tt′|²/(1 − |q|²) · [1 + 2 Re(q Σ′)]
//	|ρ|² = |r|² + |r′|² |τ|² + 2 Re(r* tt′ r′ Σ′)
//
// and a thickness that varies as a Gaussian, mean t and standard deviation s,
// only multiplies z^m by e^(−m²σ²/2), σ = 2 k₀ s γ_m. The average over
// substrates is thus exact and needs no sampling. The series is periodic in t,
// so the Gaussian's small tail below zero thickness is harmless.
//
// # The other averages
//
// The coats of one flake scale together; from flake to flake they vary as a
// lognormal of mean 1 and relative standard deviation CoatSpread, taken by
// Gauss–Hermite. Directions uniform in sin²θ are taken by Gauss–Legendre in
// cos θ with weight 2 cos θ, which stays smooth at grazing. The numbers of
// nodes follow from the fastest fringe present.
//
// # As a medium
//
// Flakes lie nearly parallel to the skin, so per unit areal mass the film of
// flakes scatters S = a·R and absorbs K = a·A, where a is the area of one face
// per mass, a = 1/(t_mica ρ_mica + 2 Σ t ρ), and R, T, A = 1 − R − T are the
// averages above. Edges scatter too; that is not in this model.
package flake
