// Package skin knows what a reading of bare skin means: its ITA° and class,
// its undertone, the reflectance spectrum a film calculation needs, and the
// ground it makes under a film.
//
// # Spectrum from three numbers
//
// What is predicted is y = ln K/S of the reading itself, K/S = (1 − R)²/2R, its
// surface's light not taken off: the lowest reflectance measured of deep skin
// is 0.027, and taking 0.03 or more off first ruins it. From L*, a*, b* (D65/2,
// gloss included):
//
//	y₀ = c₀ + c₁L* + c₂a* + c₃b* + Σ wₖ exp(−½ |(L*, a*, b*) − pₖ|²)
//	y  = y₀ + λ₁u₁ + λ₂u₂ + λ₃u₃
//	R  = 1 + q − √(q² + 2q), q = eʸ
//
// the distance to each of the 36 points pₖ of a lattice being in units of 15,
// 6 and 8. The curves u are the weights of X, Y and Z smoothed over 40 nm, and
// λ is solved for so that R has exactly the colour read. y₀ is the usual skin of
// that colour; the curves bend it by the little that is left.
//
// A reading without gloss is brought to one with it first, by the straight line
// that two geometries of one skin lie on, and the answer brought back.
//
// The coefficients are fitted by the program in fit to two sets of measured
// spectra, the readings of each class weighing alike together:
//
//   - Reference Data Set of Human Skin Reflectance: Cooksey, Allen and Tsai, J.
//     Res. NIST 122:26 (2017), data doi:10.18434/M38597; 75 forearms, US
//     government work, public domain.
//   - International Skin Spectra Archive: Lu, Xiao, Pointer et al., Scientific
//     Data 12:487 (2025), data doi:10.6084/m9.figshare.28228571.v4, CC BY 4.0;
//     246 of its records, of eight groups, 120 of them deep (ITA under −30).
//
// The medians the presets and undertones stand on are quoted from the same
// archive. Only the fit and these medians are kept here, not the data.
//
// # How near
//
// Each reading rebuilt from its L*a*b* by a fit to all but the people near it in
// the file. Root mean square error of R over 400 to 700 nm, and ΔE00 under
// illuminant A:
//
//	                archive             forearms
//	very light      0.0101  0.40  (12)  0.0056  0.26  (14)
//	light           0.0117  0.55  (14)  0.0054  0.20  (48)
//	intermediate    0.0103  0.46  (21)  0.0081  0.26   (8)
//	tan             0.0052  0.27  (21)  0.0041  0.02   (1)
//	brown           0.0032  0.19  (58)  0.0066  0.27   (4)
//	dark            0.0018  0.12 (120)  none
//	all             0.0041  0.21        0.0058  0.22
//
// What was tried on the way, cross-validated alike (archive; its dark; forearms):
//
//	quadratic and L*³, three components of y     0.0043 0.25  0.0022 0.19  0.0065 0.24
//	cubic                                        0.0044 0.24  0.0019 0.15  0.0060 0.23
//	Gaussian process on the readings themselves  0.0041 0.21  0.0018 0.12  0.0058 0.22
//	this lattice                                 0.0041 0.21  0.0018 0.12  0.0058 0.22
//	this lattice, components for the last step   0.0041 0.21  0.0018 0.12  0.0057 0.22
//
// The widths and the noise were chosen on the same cross-validation, but from
// half to one and a half of the widths, and half to twice the noise, these means
// move by a sixth at most.
//
// The two instruments disagree: light skin in the archive loses up to a tenth of
// its red against the forearms, as a small aperture does, and three numbers
// cannot tell which was used. That is most of what is left for light skin.
//
// Over L* 15 to 90 and C* 0 to 30 in every hue, 2,704 colours, 23 have no
// reflectance at all and the model has every other.
//
// # Limits
//
// No deep forearm was measured. The middle of people and how far the furthest
// lies from it stand in people.go; beyond that a spectrum is extrapolated and
// the skin says in which direction and how far.
package skin
