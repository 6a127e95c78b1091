// Package shimmer pictures a film of flakes on skin: a piece of arm whose edges
// turn away, under one key light and a soft fill, the film's colour changing with
// the angle and every glint a flake, or a share of many.
//
// A [Rig] is the light: a window (broad), a lamp (small) or even light, in which
// the picture is the reading itself. Lobes of flakes and of the skin's gloss are as
// wide as the light shows them, and so is Ω below: under a window many flakes
// share each glint, and its colour is the powder's own.
//
// The physics is the film's own, handed over as plain data in a [Film]; this
// package adds only geometry and chance. Notation:
//
//	θ_i, θ_o   angle of light and eye to the skin's normal, in air
//	θ_i′, θ_o′ the same inside the binder, by Snell's law
//	β          tilt of a flake that mirrors one into the other
//	θ_loc      angle of incidence on that flake
//	s = tan σ  slope of the flakes per axis, Gaussian
//	D(β)       = exp(−tan²β / 2s²) / (2π s² cos⁴β), so ∫D cosβ dω = 1
//	T_i, T_o   Fresnel transmittance at θ_i and θ_o
//
// Under the key light a point of skin has the radiance factor
//
//	R = R_even · T_i(θ_i)/T_i(45°) + Σ_powders P(θ_loc) · π T_i T_o D(β) / (4 n² cosθ_i′ cosθ_o′) + gloss
//
// and the second part comes from single flakes. The skin's own relief leans the
// normal of each pixel. On each cm² of skin
//
//	N = n_flake · D(β) cosβ · Ω / (4 n² cosθ_loc)
//
// flakes of a size are tilted so that they send the lamp to the eye, Ω being
// the solid angle, as seen in air, of lamp, eye and diffraction together. Each
// then carries the light R / N, so the light's mean is the model's colour
// however many flakes there are, while their number and brightness are those
// of the powder.
//
// Everything is kept in linear light, where 1 is the perfect diffuser lit best
// on the arm and a lit flake may be far above. Each glint is spread as an eye
// half a metre away spreads it, alike at every scale unless pixels are coarser; one
// far beyond a screen is first toned down as a whole, so that it stays a point, and
// what it loses is given to nothing but a white core: a sparkle under the lamp is
// pictured darker than its light is. Tone brings the rest to a screen.
package shimmer
