package constants

// Goethite, magnetite, ultramarine and chromium oxide green have no committed
// table behind them. Each is modelled: bands where the literature puts them,
// refractive index from a handbook, strength as the comment says. What can be
// checked of them is in the tests.

// goethite, α-FeOOH, of yellow iron oxide. Mean index 2.39 in the yellow
// (handbook of mineralogy: α 2.26–2.275, β 2.393–2.409, γ 2.398–2.515).
// Ligand-field bands at 917, 649, 480 and 435 nm and the foot of the charge
// transfer in the ultraviolet (Sherman and Waite, Am. Mineral. 70 (1985) 1262,
// from memory). Strength: k 0.09 in mid-visible (Bedidi and Cervelle, J.
// Geophys. Res. 98 (1993) 11941, as quoted by Conny and Ortiz-Montalvo 2017),
// falling to a few hundredths in the red, as the ochre colour demands.
// Density 4.26 (handbook).
func goethite() *Material {
	return &Material{
		Name: "goethite", Density: 4.26, Packing: 1, Modelled: true,
		Source: "bands of Sherman & Waite 1985, k 0.09 in mid-visible of Bedidi & Cervelle 1993, handbook index",
		epsilon: Gaussians{Sellmeier{4.45, 0.16, 0.06}, []Band{
			{0.10, 1.352, 0.30},
			{0.12, 1.910, 0.40},
			{0.82, 2.583, 0.55},
			{0.70, 2.857, 0.50},
			{2.20, 3.80, 1.00},
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
		Name: "magnetite", Density: 5.18, Packing: 1, Modelled: true, Coat: true,
		Source: "bands of Fontijn 1997 with the strength of the polished mineral's reflectance, 20–21 %",
		epsilon: Gaussians{Sellmeier{4.45, 0.05, 0.05}, []Band{
			{3.0, 0.60, 1.00},
			{2.5, 1.90, 1.20},
			{2.5, 3.10, 1.20},
			{2.5, 3.95, 1.20},
		}}.Epsilon,
	}
}

// ultramarine, sodalite cages holding S₃⁻ (blue, 600 nm) and a little S₂⁻
// (violet, 400 nm). Index 1.50 of the cage (lazurite, handbook). Strength of
// the blue band: at most 4.4 cages a litre-mole (two to a cell of 9.1 Å) of
// which some two fifths are filled, at about 9000 L/(mol cm), gives
// k ≈ 0.17 at its middle (from memory of both). Widths 0.38 and 0.5 eV (from
// memory). Density 2.35 (handbook).
func ultramarine() *Material {
	return &Material{
		Name: "ultramarine", Density: 2.35, Packing: 1, Modelled: true,
		Source: "S₃⁻ at 600 nm and S₂⁻ at 400 nm, strength from the number of cages, index 1.50",
		epsilon: Gaussians{Sellmeier{2.21, 0.009, 0.01}, []Band{
			{0.50, 2.067, 0.38},
			{0.02, 3.100, 0.50},
		}}.Epsilon,
	}
}

// chromia, Cr₂O₃, of chromium oxide green. Ligand-field bands at 600 and
// 460 nm (McClure, J. Chem. Phys. 38 (1963) 2289, from memory), charge
// transfer beyond 370 nm, index 2.5 (handbook). Strength: k of some hundredths,
// from memory of thin films. Density 5.21 (handbook).
func chromia() *Material {
	return &Material{
		Name: "chromia", Density: 5.21, Packing: 1, Modelled: true, Coat: true,
		Source: "ligand-field bands of McClure 1963 at 600 and 460 nm, k some hundredths from memory of films, handbook index",
		epsilon: Gaussians{Sellmeier{5.3, 0.20, 0.06}, []Band{
			{0.30, 2.067, 0.36},
			{0.40, 2.695, 0.42},
			{1.20, 3.60, 0.65},
		}}.Epsilon,
	}
}
