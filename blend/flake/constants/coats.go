package constants

// MuscoviteIndex is the refractive index of the mica substrate across the
// visible: between the principal indices α 1.56 and β, γ 1.60 (handbook of
// mineralogy, from memory). Its dispersion, some 0.01 over the grid, is left
// out.
const MuscoviteIndex = 1.58

// MuscoviteDensity is in g/cm³ (handbook of mineralogy: 2.77 to 2.88).
const MuscoviteDensity = 2.82

// rutile is Devore's formula, J. Opt. Soc. Am. 41 (1951) 416, for the ordinary
// and the extraordinary ray, and the 2:1 mean of the two indices, since the
// crystallites of a coat lie every way. Devore measured from 430 nm up; below
// that the formula is extrapolated, and the absorption that begins near 410 nm
// is not in it. Density 4.23 (handbook).
//
// Coats precipitated from water hold pores. With bulk index every interference
// colour would come at a coat some 4 % thinner than published (Pfaff and
// Reynders, Chem. Rev. 99 (1999) 1963, from memory): 100 nm, the thin end of
// the published blues, would be violet and 130 nm already turquoise. A packing
// of 0.92 in binder brings the mean of 2.71 at 589 nm down to 2.61 and the
// colours to their published thicknesses; that is how the figure was set.
func rutile() *Material {
	return &Material{
		Name: "rutile", Density: 4.23, Coat: true, Packing: 0.92,
		Source: "n measured by Devore 1951, 2:1 mean of ordinary and extraordinary; extrapolated below 430 nm, no absorption",
		HeldTo: "the published colours of titania coats on mica, 40 to 160 nm; as a white pigment the strength measured in epoxy (Walter et al. 2023) and in one other binder (from memory)",
		Epsilon: func(nm float64) complex128 {
			n := (2*RutileOrdinary.N(nm) + RutileExtraordinary.N(nm)) / 3
			return complex(n*n, 0)
		},
	}
}

// Devore's two rays of rutile.
var (
	RutileOrdinary      = Sellmeier{5.913, 0.2441, 0.0803}
	RutileExtraordinary = Sellmeier{7.197, 0.3322, 0.0843}
)

// anatase is our fit to n of an atomic-layer film (Jolivet et al.); error in
// n: rms 0.0008, largest 0.0027. Density 3.89 (handbook).
func anatase() *Material {
	s := Sellmeier{5.59434, 0.160906, 0.083569}
	return &Material{
		Name: "anatase", Density: 3.89, Coat: true, Packing: 1,
		Source:  "our fit to n measured of a film grown by atomic layer deposition (Jolivet et al.): rms 0.0008",
		Epsilon: transparent(s),
	}
}

// Querry is our fit to the 2:1 mean of the ordinary and extraordinary n and k of
// hematite by Querry, Contractor Report CRDC-CR-85034 (1985); error in n: rms
// 0.0022, largest 0.0062; in k: rms 0.0023, largest 0.0067.
var Querry = Lorentz{3.48928, []Oscillator{
	{-0.54114, 2.14431, 0.57884},
	{0.26265, 2.23123, 0.31919},
	{3.00000, 3.04299, 1.40146},
	{-0.41198, 1.75136, 0.91047},
	{1.10415, 4.28360, 0.43963},
}}

// HematiteSteps are where a share of Querry's k is known of hematite, nm.
var HematiteSteps = []float64{500, 540, 565, 585}

// hematite, α-Fe₂O₃, of red iron oxide and of coats on mica. Querry's n; of his k,
// which makes an opaque film of red oxide far too dark in the red, the share that
// a measured masstone leaves, its reflectance at eleven wavelengths among it (rms
// 0.008), while coats keep their published colours (Pfaff and Reynders, Chem. Rev.
// 99 (1999) 1963, from memory). The masstone alone would be met to ΔE00 0.5, with
// the step at 565 nm, and would turn the coats by 7 to 15°. Density 5.26 (handbook).
func hematite() *Material {
	return &Material{
		Name: "hematite", Density: 5.26, Coat: true, Packing: 1,
		Source:  "n our fit to the mean of Querry 1985's two rays, k the share of his that a measured masstone and the published colours of coats on mica leave, fitted by us",
		HeldTo:  "the masstone of a red iron oxide acrylic, L* 39.7, a* 30.1, b* 23.2 with gloss: ΔE00 1.8; and the published colours of hematite coats, 35 to 75 nm",
		Epsilon: Dimmed{Querry, HematiteSteps, []float64{1, 0.8329, 0.7152, 0.2185}}.Epsilon,
	}
}

// tinOxide is the thin layer that makes titania grow as rutile. n ≈ 2.0 in the
// yellow with the dispersion of a wide-gap oxide (from memory of sputtered and
// sol-gel films, 1.9 to 2.05). Density 6.95 (cassiterite, handbook).
func tinOxide() *Material {
	return &Material{
		Name: "tin oxide", Density: 6.95, Coat: true, Packing: 1,
		Source:  "n 2.0 at 550 nm, from memory of thin films",
		Epsilon: transparent(Sellmeier{3.82, 0.0485, 0.035}),
	}
}

// silica is fused silica in one term: n within 0.0001 of Malitson, J. Opt. Soc.
// Am. 55 (1965) 1205, on the grid. Density 2.20 (handbook).
func silica() *Material {
	return &Material{
		Name: "silica", Density: 2.20, Coat: true, Packing: 1,
		Source:  "our one-term fit to n measured by Malitson 1965, fused silica: within 0.0001",
		Epsilon: transparent(Sellmeier{2.09610, 0.010877, -0.006969}),
	}
}

// transparent is the dielectric function of a material without absorption.
func transparent(s Sellmeier) func(nm float64) complex128 {
	return func(nm float64) complex128 {
		n := s.N(nm)
		return complex(n*n, 0)
	}
}
