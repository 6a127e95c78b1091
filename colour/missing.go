package colour

import (
	"math"
	"strings"
)

// Missing is what a colour lacks of a target.
type Missing struct {
	DeltaE00 float64
	DL       float64 // ΔL*, target less colour
	DC       float64 // ΔC*
	DH       float64 // Δh, degrees, the short way round
	Words    string  // such as "lighter, yellower", the most wanting first; "" where no part reaches half a unit
}

// MissingOf returns what separates a colour from a target, both under one
// light. The words go by the terms of CIE 94 (CIE 116:1995), whose chroma and
// hue are CIELAB's own as the numbers beside them are.
func MissingOf(from, target Lab) Missing {
	a, b := from.LCh(), target.LCh()
	m := Missing{DeltaE00: DeltaE00(from, target), DL: b.L - a.L, DC: b.C - a.C, DH: HueTurn(a.H, b.H)}
	hue := 2 * math.Sqrt(a.C*b.C) * math.Sin(m.DH*math.Pi/360)
	m.Words = strings.Join(turns(from, target, m.DL, m.DC/(1+0.045*a.C), hue/(1+0.015*a.C)), ", ")
	return m
}

// HueTurn returns the hue change from a to b, −180 to 180 degrees.
func HueTurn(a, b float64) float64 { return math.Remainder(b-a, 360) }
