// Package grain models ordinary pigments, grains that lie every way and
// diffuse light, from optical constants and grain size.
//
// Each grain is a sphere of its volume (package mie). Over a lognormal of
// diameters d by volume, with material density ρ,
//
//	μ = Σ share · 3 Q/(2 d ρ)        cm²/mg, absorption and scattering alike
//	μ_s′ = Σ share · 3 Q_sca (1 − g)/(2 d ρ)
//
// For Kubelka and Munk's two fluxes of diffuse light
//
//	K = 2 μ_a
//	S = μ_s′ (0.75 + 0.107 s − 0.039 s²),   s = √(μ_a/(μ_a + μ_s′))
//
// S is chosen so that an infinitely thick layer returns what radiative
// transfer says it does (isotropic scattering of μ_s′, Chandrasekhar's H
// function). It runs from ¾ μ_s′ without absorption to 0.82 μ_s′ with nothing
// but. The often quoted S = ¾ μ_s′ − ¼ μ_a is its diffusion limit, right for
// pale pigments only: from albedos of a quarter down it is negative and would
// make red, black and blue pigments return no light at all.
// [Optics.DiffusionS] gives it for comparison.
//
// # Limits
//
// Grains scatter alone: crowding at more than a few per cent by volume lowers
// S. Needles (yellow iron oxide) and flocs are taken as spheres of one size
// distribution. A grain whose index is near the binder's, ultramarine in oil,
// hardly scatters: it is a glaze, and its masstone in oil is almost black.
// Everything here is modelled; a drawdown measures it.
package grain
