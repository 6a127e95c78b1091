// Package search finds the blend of a drawer's powders that comes nearest a
// target on a skin.
//
// # The quantities
//
// The amount of each powder that matters is its areal mass on the skin,
//
//	m_i = application [mg/cm²] × percent_i [% w/w of the product] / 100
//
// and package film's own film is what every answer is settled on, with its slopes
// by each areal mass; the search before that reads it in fewer bands (quick.go).
// Inside the search, amounts are shares x_i = m_i / M of the largest areal mass
// allowed, M = application × LoadHi / 100.
//
// # The match
//
// Over the powders of a subset it minimises
//
//	f(x) = Σ_goals weight · ΔE00²(L*a*b*(x), target)    (+ mean square of R − R_target, in %²)
//
// with x ≥ 0, the powders' own bounds, and LoadLo ≤ load ≤ LoadHi, an exact
// load where the two are equal. ΔE00² is smooth where ΔE00 has a kink. Each
// step linearises the colours, asks package nnls for the least-squares shares
// under the bounds, and goes as far that way as f falls (solve.go). Every
// subset of up to four powders is settled so (search.go says why most need no
// solve of their own, narrow.go what is left out of a large drawer) and what is found is ranked by what a maker cares for
// (rank.go).
//
// ../MODEL.md tells what the model was checked against and what it leaves out.
package search
