// Package film says what a thin film of powder in a clear binder does to the
// colour of what lies under it. It is where powders are mixed into a film: a
// Worn blend goes in, its Look comes out (predict.go).
//
// All of it is per band, and inside the binder unless a name says otherwise:
//
//	K, S   absorption and scattering of the whole film: Σ areal mass × (K, S per mass)
//	Sf     the part of S that is mirror-like reflection from near-parallel flakes
//	Rg     reflectance of the ground (skin) just below the surface
//	Ri     reflectance of film and ground together, two-constant Kubelka–Munk
//	P      the part of Ri that flakes return at the first reflection, a beam
//	R      what is read in air, through a Surface
//
// The light a flake mirrors leaves in a beam and mostly escapes the surface at
// once; the rest is diffuse and is turned back many times (Saunderson 1942).
// Treating both alike would halve the shimmer, so they are kept apart and added.
//
// Formulae: P. Kubelka, J. Opt. Soc. Am. 38:448 (1948); J. L. Saunderson,
// J. Opt. Soc. Am. 32:727 (1942). Functions of one band allocate nothing and
// return their derivatives; K, S and Sf are not negative, Rg is 0 to 1.
package film
