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
		Source: "Devore 1951, 2:1 mean of ordinary and extraordinary; extrapolated below 430 nm, no absorption",
		epsilon: func(nm float64) complex128 {
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
		Source:  "own fit to a film grown by atomic layer deposition (Jolivet et al.)",
		epsilon: transparent(s),
	}
}

// hematite is our fit to the 2:1 mean of the ordinary and extraordinary n and
// k of Querry, Contractor Report CRDC-CR-85034 (1985); error in n: rms 0.0022,
// largest 0.0063; in k: rms 0.0023, largest 0.0066. Density 5.26 (handbook).
func hematite() *Material {
	return &Material{
		Name: "hematite", Density: 5.26, Coat: true, Packing: 1,
		Source: "own fit to Querry 1985, 2:1 mean of ordinary and extraordinary",
		epsilon: Lorentz{3.45049, []Oscillator{
			{3.00000, 3.04291, 1.40206},
			{-0.43819, 1.76122, 0.95388},
			{0.25395, 2.23150, 0.31587},
			{1.13834, 4.31077, 0.45235},
			{-0.52111, 2.14270, 0.57646},
		}}.Epsilon,
	}
}

// tinOxide is the thin layer that makes titania grow as rutile. n ≈ 2.0 in the
// yellow with the dispersion of a wide-gap oxide (from memory of sputtered and
// sol-gel films, 1.9 to 2.05). Density 6.95 (cassiterite, handbook).
func tinOxide() *Material {
	return &Material{
		Name: "tin oxide", Density: 6.95, Coat: true, Packing: 1, Modelled: true,
		Source:  "n 2.0 at 550 nm, from memory of thin films",
		epsilon: transparent(Sellmeier{3.82, 0.0485, 0.035}),
	}
}

// silica is fused silica in one term: n within 0.0001 of Malitson, J. Opt. Soc.
// Am. 55 (1965) 1205, on the grid. Density 2.20 (handbook).
func silica() *Material {
	return &Material{
		Name: "silica", Density: 2.20, Coat: true, Packing: 1,
		Source:  "one-term fit to Malitson 1965, fused silica",
		epsilon: transparent(Sellmeier{2.09610, 0.010877, -0.006969}),
	}
}

// transparent is the dielectric function of a material without absorption.
func transparent(s Sellmeier) func(nm float64) complex128 {
	return func(nm float64) complex128 {
		n := s.N(nm)
		return complex(n*n, 0)
	}
}
