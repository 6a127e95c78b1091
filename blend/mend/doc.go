// Package mend brings shades within reach: a made batch back to its shade by
// additions alone (Options), a target out of reach by another load, coverage or
// powder (Reach), a recipe to its old look with a new lot (BringBack), a range
// of shades to one small set of powders (Range).
package mend
