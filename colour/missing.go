package colour

import (
	"math"
	"sort"
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

// missingTerm is the least part of a difference that is put into words.
const missingTerm = 0.5

// MissingOf returns what separates a colour from a target, both under one
// light.
func MissingOf(from, target Lab) Missing {
	a, b := from.LCh(), target.LCh()
	m := Missing{DeltaE00: DeltaE00(from, target), DL: b.L - a.L, DC: b.C - a.C, DH: HueTurn(a.H, b.H)}
	// The terms of CIE 94 (CIE 116:1995), whose chroma and hue are CIELAB's own
	// as the numbers beside them are.
	l := m.DL
	c := m.DC / (1 + 0.045*a.C)
	h := 2 * math.Sqrt(a.C*b.C) * math.Sin(m.DH*math.Pi/360) / (1 + 0.015*a.C)
	up, down := HueWords(a, b)
	terms := []struct {
		size     float64
		up, down string
	}{{l, "lighter", "deeper"}, {c, "stronger", "duller"}, {h, up, down}}
	sort.SliceStable(terms, func(i, j int) bool { return math.Abs(terms[i].size) > math.Abs(terms[j].size) })
	var words []string
	for _, t := range terms {
		switch {
		case math.Abs(t.size) < missingTerm:
		case t.size > 0:
			words = append(words, t.up)
		default:
			words = append(words, t.down)
		}
	}
	m.Words = strings.Join(words, ", ")
	return m
}

// HueWords names the way to a higher and to a lower hue angle by the next of
// red, yellow, green and blue (0°, 90°, 180°, 270°) on the way.
func HueWords(a, b LCh) (up, down string) {
	middle := math.Mod(a.H+HueTurn(a.H, b.H)/2+360, 360)
	names := [4]string{"redder", "yellower", "greener", "bluer"}
	q := int(middle/90) % 4 // between names q and q+1
	return names[(q+1)%4], names[q]
}

// HueTurn returns the hue change from a to b, −180 to 180 degrees.
func HueTurn(a, b float64) float64 { return math.Remainder(b-a, 360) }
