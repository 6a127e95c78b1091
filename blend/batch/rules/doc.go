// Package rules holds the published limits a base and a blend are held to, as
// data: preservatives (Annex V of Regulation (EC) No 1223/2009), colour
// additives (21 CFR part 73 subpart C and Annex IV) and scent allergens
// (Annex III). Each row names its entry or section. Rules change: local rules
// and a qualified safety assessor decide.
package rules
