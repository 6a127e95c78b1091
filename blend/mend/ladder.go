package mend

import (
	"fmt"
	"math"
	"strings"

	"tawny/colour"
)

// Rung is one patch of a ladder.
type Rung struct {
	Words   string     // how it differs from the middle: "deeper, yellower"; "as predicted" for the middle
	Lab     colour.Lab // its colour, under the light of the middle
	L, C, H int        // steps from the middle in lightness, chroma and hue, −1 to 1
}

// Ladder returns patches about a colour for a maker without an instrument to
// pick the one most like her batch: three lightnesses by three chromas by three
// hues, a step of so many ΔE00 apart (3 to begin with; then about the pick with
// half of it, and half again). Patches past grey or past white and black are
// left out.
func Ladder(middle colour.Lab, step float64) ([]Rung, error) {
	if !middle.Finite() || !(step > 0 && step <= 20) {
		return nil, fmt.Errorf("a ladder of ΔE00 %g steps about (%g, %g, %g); a step over 0 and at most 20 is accepted", step, middle.L, middle.A, middle.B)
	}
	at := middle.LCh()
	// How far along each axis is one step.
	along := func(most float64, move func(by float64) colour.LCh) (by float64, ok bool) {
		if colour.DeltaE00(middle, move(most).Lab()) < step {
			return 0, false
		}
		low, high := 0.0, most
		for range 60 {
			half := (low + high) / 2
			if colour.DeltaE00(middle, move(half).Lab()) < step {
				low = half
			} else {
				high = half
			}
		}
		return high, true
	}
	type axis struct {
		by float64
		ok bool
	}
	var l, c, h [3]axis
	for i, sign := range [3]float64{-1, 0, 1} {
		if sign == 0 {
			l[i].ok, c[i].ok, h[i].ok = true, true, true
			continue
		}
		most := 100 - at.L
		mostC := 150.0
		if sign < 0 {
			most, mostC = at.L, at.C
		}
		l[i].by, l[i].ok = along(most, func(by float64) colour.LCh { return colour.LCh{L: at.L + sign*by, C: at.C, H: at.H} })
		c[i].by, c[i].ok = along(mostC, func(by float64) colour.LCh { return colour.LCh{L: at.L, C: at.C + sign*by, H: at.H} })
		h[i].by, h[i].ok = along(90, func(by float64) colour.LCh { return colour.LCh{L: at.L, C: at.C, H: at.H + sign*by} })
		l[i].by, c[i].by, h[i].by = sign*l[i].by, sign*c[i].by, sign*h[i].by
	}
	axes := [3]colour.Pair{colour.LightnessWords, colour.ChromaWords, colour.HueWords(at.H)}
	var rungs []Rung
	for i := range l {
		for j := range c {
			for k := range h {
				if !l[i].ok || !c[j].ok || !h[k].ok {
					continue
				}
				r := Rung{L: i - 1, C: j - 1, H: k - 1}
				r.Lab = colour.LCh{L: at.L + l[i].by, C: at.C + c[j].by, H: math.Mod(at.H+h[k].by+360, 360)}.Lab()
				var words []string
				for axis, steps := range [3]int{r.L, r.C, r.H} {
					if steps != 0 {
						words = append(words, axes[axis].Of(float64(steps)))
					}
				}
				if r.Words = strings.Join(words, ", "); r.Words == "" {
					r.Words = "as predicted"
				}
				rungs = append(rungs, r)
			}
		}
	}
	return rungs, nil
}
