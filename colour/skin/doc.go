// Package skin knows what a reading of bare skin means: its ITA° and class,
// its undertone, and the reflectance spectrum a film calculation needs.
//
// # Spectrum from three numbers
//
// Below its surface skin is taken as a two-flux medium, so the quantity that
// adds up is the ratio of absorption to scattering. With q = K/S in a band,
//
//	ln q = mean + s₁c₁ + s₂c₂ + s₃c₃
//	R_g  = 1 + q − √(q² + 2q)                       below the surface
//	R    = p·k1 + (1−k1)(1−k2) R_g / (1 − k2·R_g)   as an instrument reads it
//
// the mean and the three components c being fitted to the NIST skin data
// (Cooksey, Allen and Tsai, J. Res. NIST 122:26, 2017, 75 forearms) by the
// program in fit, and the three scores s solved for so that R has exactly the
// colour read. Scores are in standard deviations of the fitted subjects. k1 and
// k2 are the outer and inner losses at the surface of the outermost skin,
// n = 1.55 (Anderson and Parrish, J. Invest. Dermatol. 77:13, 1981, from memory:
// 4 to 7 per cent of the light returns from the surface at every wavelength).
// The data are directional-hemispherical (Cooksey and Allen, Proc. SPIE 8734,
// 2013, on the same authors' instrument), which takes in the surface's light;
// so p = 1 for them and for any specular-included reading, and p = 0 for an
// excluded one.
//
// Any scores at all give p·k1 < R < 1, so nothing is clamped and a film can
// always be laid on the result. Scores outside those of the fitted subjects
// mark the skin as extrapolated. Where no scores reproduce the reading the
// smoothest spectrum that does is used and the skin says so ([Smoothest]).
//
// # What was compared
//
// Each subject left out in turn and rebuilt from L*a*b* under D65; then the
// components of the very light and light subjects asked for the five tan and
// brown ones. Root mean square error of R, mean and largest; ΔE00 under
// illuminant A, mean and largest:
//
//	three numbers on                         leave one out               from light to deep
//	−ln R, principal components              0.0083 0.0190  0.39 1.12    0.0115 0.0157  0.88 1.17
//	−ln(R−k1), principal components          0.0076 0.0179  0.33 0.98    0.0071 0.0115  0.36 0.68
//	−ln R, melanin λ^−3.48 first             0.0108 0.0286  0.64 1.93    0.0161 0.0198  1.53 1.82
//	−ln R, melanin λ^−3.33 first             0.0108 0.0286  0.64 1.95    0.0160 0.0198  1.51 1.80
//	−ln R, melanin e^(−0.0062λ) first        0.0091 0.0204  0.52 1.44    0.0138 0.0178  1.31 1.59
//	ln K/S, melanin λ^−3.48 first            0.0083 0.0186  0.46 1.21    0.0127 0.0161  1.20 1.49
//	ln K/S, principal components (kept)      0.0058 0.0147  0.22 0.87    0.0032 0.0071  0.20 0.52
//
// The melanin laws (Jacques, Oregon Medical Laser Center, 1998, and the same
// author's earlier exponent; the exponential after Zonios and Dimou, Opt.
// Express 16:8263, 2008, its constant from memory) do worse than the data's own
// first component: what melanin does to the reflectance of skin is spread by
// the light's path, and is not its absorption law. Taking the surface's light
// off first and going by K/S do better everywhere, most of all where it
// matters, in carrying light skin to deep. It also does what is published of
// deep skin and −ln R does not: chroma rises as skin deepens to about L* 51
// and then falls again, the spectrum flattens and the haemoglobin bands fade.
//
// # Limits
//
// The subjects are mostly light and none is dark; the counts stand beside the
// presets. The skin is the inside of the forearm: faces are redder.
package skin
