// Package grain models ordinary pigments, grains that lie every way and
// diffuse light, from optical constants and grain size.
//
// Each grain is a sphere of its volume (package mie). Over a lognormal of
// diameters d by volume, with material density ρ,
//
//	μ = Σ share · 3 Q/(2 d ρ)        cm²/mg, absorption and scattering alike
//	μ_s′ = Σ share · 3 Q_sca (1 − g)/(2 d ρ)
//
// with the phase function's Legendre moments, its forward peak cut off past the
// order Kept (W. J. Wiscombe, J. Atmos. Sci. 34:1408, 1977; package film puts them
// into its two cones). Where two numbers must do,
//
//	K = 2 μ_a        S = ¾ μ_s′
//
// in the diffusion limit.
//
// The grains of the built-in pigments stand in their spectra (package palette). Sizes
// are common practice for each: iron oxides a sixth to a quarter of a micrometre,
// chromium oxide about half, ultramarine one to two. Titanium dioxide's follows how its
// scattering in epoxy falls with the wavelength, rms 0.3 % from 400 to 730 nm (A. B.
// Walter et al., J. Biomed. Opt. 28:025002, 2023; fitconstants), of an index of 1.55
// (from memory).
//
// # Limits
//
// Grains scatter alone: crowding at more than a few per cent by volume lowers
// S. Needles (yellow iron oxide) and flocs are taken as spheres of one size
// distribution. A grain whose index is near the binder's, ultramarine in oil,
// hardly scatters.
// Everything here is modelled; a drawdown measures it.
package grain
