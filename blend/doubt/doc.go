// Package doubt says how far a worn blend may lie from its prediction: one
// linear propagation of everything the prediction rests on, to the ΔE00 that 95
// of 100 wearings stay within.
package doubt
