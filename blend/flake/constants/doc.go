// Package constants holds the optical constants of the oxides found on and
// beside mica flakes, as compact dispersion models.
//
// The complex refractive index is written N = n + ik with k ≥ 0 for an
// absorbing material (time dependence e^(−iωt)), and the dielectric function
// is ε = N². Four forms are used:
//
//	Sellmeier   n² = A + B/(λ² − C)                    λ in µm, k = 0
//	Lorentz     ε(E) = ε∞ + Σ f_j E_j²/(E_j² − E² − iγ_j E)   E in eV
//	Dimmed      a Lorentz sum with a share of its k
//	Gaussians   a Sellmeier background and Gaussian bands in ε″ over eV, each
//	            with the ε′ that goes with it
//
// Lorentz and Gaussian sums obey Kramers and Kronig, so n and k are bound to each
// other; Dimmed does not, its k being cut and its n left. Where a sum is a fit to tabulated data its oscillators are means to that end
// and not assignments of electronic transitions: an amplitude may be negative.
// It stands for the data on 380 to 730 nm only.
//
// Every material says what of it is measured, fitted by us or from memory
// ([Material.Source]) and what its powders' look was held to
// ([Material.HeldTo]).
package constants
