package colour

import (
	"fmt"
	"math"
	"strings"
)

// LChShift is a change of lightness, chroma and hue.
type LChShift struct {
	DL float64 `json:"dL"` // ΔL*
	DC float64 `json:"dC"` // ΔC*
	DH float64 `json:"dh"` // Δh, degrees, the short way round, + towards yellow from red
}

// ShiftBetween returns the change from one colour to another.
func ShiftBetween(from, to Lab) LChShift {
	a, b := from.LCh(), to.LCh()
	return LChShift{b.L - a.L, b.C - a.C, HueTurn(a.H, b.H)}
}

// Words says a change from the skin in a maker's words: "1 lighter, 4 stronger,
// 5° warmer". Parts of nothing are left out.
func (d LChShift) Words() string {
	var list []string
	for _, part := range []struct {
		by   float64
		unit string
		word Pair
	}{{d.DL, "", LightnessWords}, {d.DC, "", ChromaWords}, {d.DH, "°", WarmthWords}} {
		if part.by != 0 {
			list = append(list, fmt.Sprintf("%.4g%s %s", math.Abs(part.by), part.unit, part.word.Of(part.by)))
		}
	}
	if len(list) == 0 {
		return "the skin itself"
	}
	return strings.Join(list, ", ")
}

// Missing is what a colour lacks of a target.
type Missing struct {
	DeltaE00 float64        `json:"deltaE00"`
	LChShift `json:"shift"` // target less colour
	Lab      Lab            `json:"lab"`   // the colour
	Words    string         `json:"words"` // such as "lighter, yellower", the most wanting first; "" where no part reaches half a unit
}

// MissingOf returns what separates a colour from a target, both under one
// light. The words go by the terms of CIE 94 (CIE 116:1995), whose chroma and
// hue are CIELAB's own as the numbers beside them are.
func MissingOf(from, target Lab) Missing {
	a, b := from.LCh(), target.LCh()
	m := Missing{Lab: from, DeltaE00: DeltaE00(from, target), LChShift: ShiftBetween(from, target)}
	hue := 2 * math.Sqrt(a.C*b.C) * math.Sin(m.DH*math.Pi/360)
	m.Words = strings.Join(turns(from, target, m.DL, m.DC/(1+0.045*a.C), hue/(1+0.015*a.C)), ", ")
	return m
}

// HueTurn returns the hue change from a to b, −180 to 180 degrees.
func HueTurn(a, b float64) float64 { return math.Remainder(b-a, 360) }
