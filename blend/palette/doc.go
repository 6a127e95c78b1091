// Package palette holds powders and the drawers they lie in: what each is, what
// it costs, where it may be worn and what it does to light per areal mass. It
// reads and writes a maker's drawer and brings one of its own, all of it
// modelled, none measured.
//
// A powder's optics come from its coat (package flake) or from a spectrum file.
package palette
