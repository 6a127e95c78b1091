package flake

// Layer is one oxide coat of a flake: a material this package has optical
// constants for, and its thickness in nanometres. Both faces of the flake
// carry the same coats.
type Layer struct {
	Material    string  // "rutile", "anatase", "hematite" …
	ThicknessNM float64 // nm, on each face
}
