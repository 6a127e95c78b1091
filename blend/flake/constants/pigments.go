package constants

// Goethite, magnetite, ultramarine and chromium oxide green have no committed
// table behind them. Bands stand where the literature puts them, refractive
// indices are from handbooks, and how strong the bands are is fitted, except of
// the black one, to the colour of one measured opaque film (fitconstants). The
// films are quoted figures of published tables of artists' paints, D65/2°; a few units
// between makers and grades are normal, and so they hold a family, not a lot.

// goethite, α-FeOOH, of yellow iron oxide. Mean index 2.39 in the yellow
// (handbook of mineralogy: α 2.26–2.275, β 2.393–2.409, γ 2.398–2.515).
// Ligand-field bands at 917, 649, 480 and 435 nm and the foot of the charge
// transfer in the ultraviolet (Sherman and Waite, Am. Mineral. 70 (1985) 1262,
// from memory). Strengths, and the width of the 480 nm band, are fitted to a
// masstone and its reflectance at eleven wavelengths: rms 0.005. The k of 0.09 in
// mid-visible quoted from Bedidi and Cervelle (J. Geophys. Res. 98 (1993) 11941)
// is twice what the film has. Density 4.26 (handbook).
func goethite() *Material {
	return &Material{
		Name: "goethite", Density: 4.26, Packing: 1,
		Source: "index from a handbook, places of the bands from memory (Sherman & Waite 1985), their strengths fitted by us to a measured masstone",
		HeldTo: "the masstone of a yellow iron oxide acrylic, L* 63.9, a* 10.6, b* 47.4 with gloss: ΔE00 0.1",
		Epsilon: Gaussians{Sellmeier{4.45, 0.16, 0.06}, []Band{
			{0.144, 1.352, 0.30},
			{0.0212, 1.910, 0.40},
			{0.239, 2.583, 0.3875},
			{0.183, 2.857, 0.50},
			{3.114, 3.80, 1.00},
		}}.Epsilon,
	}
}

// magnetite, Fe₃O₄, of black iron oxide. Bands at 0.6, 1.9, 3.1 and 3.9 eV
// (Fontijn et al., Phys. Rev. B 56 (1997) 5432, from memory) of such strength
// that the polished mineral reflects 20 to 21 % in air across the visible (ore
// microscopy tables, from memory). Querry's table of 1985, with k near 0.1, is
// not used: it gives 16 % and a powder that is not black. Density 5.18
// (handbook).
func magnetite() *Material {
	return &Material{
		Name: "magnetite", Density: 5.18, Packing: 1, Coat: true,
		Source: "bands from memory (Fontijn 1997), with the strength of the polished mineral's reflectance, 20–21 % (from memory)",
		HeldTo: "the reflectance of the polished mineral alone; no measured film",
		Epsilon: Gaussians{Sellmeier{4.45, 0.05, 0.05}, []Band{
			{3.0, 0.60, 1.00},
			{2.5, 1.90, 1.20},
			{2.5, 3.10, 1.20},
			{2.5, 3.95, 1.20},
		}}.Epsilon,
	}
}

// ultramarine, sodalite cages holding S₃⁻ (blue, 600 nm) and a little S₂⁻
// (violet, 400 nm). The index is set at 1.55, at the top of what handbooks give
// the cage (lazurite 1.50 and above, from memory): nearer the binder's a grain
// would not scatter, and its masstone would be black. Strength of the blue band
// starts from at most 4.4 cages a litre-mole (two to a cell of 9.1 Å) of which
// some two fifths are filled, at about 9000 L/(mol cm), k ≈ 0.17 at its middle,
// and from a width of 0.38 eV (from memory of all). Fitted to a masstone and to
// its rise to 0.10 at 700 nm (from memory), it is a band of that width with steep
// flanks, two halves of 0.19 eV each, and that strength. Density 2.35 (handbook).
func ultramarine() *Material {
	return &Material{
		Name: "ultramarine", Density: 2.35, Packing: 1,
		Source: "index 1.55 and places of the bands from memory, their strengths and widths fitted by us to a measured masstone",
		HeldTo: "the masstone of an ultramarine blue oil paint, L* 4.8, a* 24.9, b* -37.9 without gloss: ΔE00 1.5",
		Epsilon: Gaussians{Sellmeier{2.376, 0.009, 0.01}, []Band{
			{0.4934, 2.05, 0.1882},
			{0.2941, 2.22, 0.1887},
			{6.6e-4, 3.10, 0.50},
		}}.Epsilon,
	}
}

// chromia, Cr₂O₃, of chromium oxide green. Ligand-field bands at 600 and
// 460 nm (McClure, J. Chem. Phys. 38 (1963) 2289, from memory), charge
// transfer beyond 370 nm, index 2.5 (handbook). Strengths are fitted to a
// masstone. Density 5.21 (handbook).
func chromia() *Material {
	return &Material{
		Name: "chromia", Density: 5.21, Packing: 1, Coat: true,
		Source: "index from a handbook, places of the bands from memory (McClure 1963), their strengths fitted by us to a measured masstone",
		HeldTo: "the masstone of a chromium oxide green paint, L* 39.0, a* -19.8, b* 18.9 without gloss: ΔE00 0.2",
		Epsilon: Gaussians{Sellmeier{5.3, 0.20, 0.06}, []Band{
			{0.281, 2.067, 0.36},
			{0.251, 2.695, 0.42},
			{12.0, 3.60, 0.65},
		}}.Epsilon,
	}
}
