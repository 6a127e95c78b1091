// Package batch takes a blend to filled bottles: a base, a size and a balance
// go in, and a sheet a maker can stand at a bench with comes out.
//
// Bases are data (see ReadBase and the files under bases/). Scale turns a
// Request into a Batch. Inside, every weight is a whole number of the
// balance's steps, so the total is exact by construction and not by luck of
// rounding. All percentages are % w/w of the finished product unless a field
// says otherwise.
//
// Common-practice figures are marked so beside the number. Rules are quoted
// by article or section; local rules and a qualified safety assessor decide.
package batch
