// Package drawdown turns readings of films of known areal mass into a powder's
// absorption K and scattering S, per mg/cm².
//
// Films, loads and grounds are fitted together (Fit) on package film's own film,
// in the geometry they were read in. The fit also says whether one K and S
// explain them all, how far to trust the figures, and which film
// seems not to carry what it was said to.
//
// K and S are in cm²/mg; areal masses are of powder, not of film, in mg/cm².
// Readings are reflectances in air, as a film.Reader takes them; grounds are
// read the same way, under a film of the binder alone, and taken so: its surface is
// the binder's and throws nothing sideways. A dry card has another.
//
// What a drawdown cannot say: a reading by a sphere adds up all directions and
// one at 45°:0° sees a single one, so neither tells how flakes' light is
// spread over angles. For a flake powder that spread is assumed (the surface's
// tilt), and K and S hold for that tilt.
package drawdown
