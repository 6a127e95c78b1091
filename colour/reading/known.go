package reading

import (
	"fmt"
	"image"
	"math"
	"strconv"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// Known is a patch whose colour is known before the photo is taken.
type Known struct {
	Name string
	Lab  colour.Lab // under D65 and the 2° observer
	SE   float64    // how far it may be off, ΔE00; 0 for a patch read with an instrument
}

// GreyCard is the photographer's 18 % card: Y = 18 is L* 116·0.18^⅓ − 16 =
// 49.5 by CIELAB's own definition. Cards differ by a point or two (common
// practice: makers state 18 % to about ± 1 %), hence its SE.
func GreyCard() Known {
	return Known{Name: "grey card, 18 %", Lab: colour.Lab{L: 116*math.Cbrt(0.18) - 16}, SE: 1}
}

// WhitePaper is plain office paper: about L* 94 and bluish from its
// brightener (from memory; papers lie between L* 91 and 97, b* between −12
// and +3, and the brightener depends on the light). It settles the tint only
// roughly, and its SE says so.
func WhitePaper() Known {
	return Known{Name: "white paper", Lab: colour.Lab{L: 94, A: 1, B: -4}, SE: 4}
}

// GreyStrip is a strip of n even greys from L* 90 to L* 20, printed by the
// maker. A printer does not hit its numbers: until the strip has been read
// with an instrument they are nominal, to about 4 ΔE00 (guessed).
func GreyStrip(n int) ([]Known, error) {
	const fewest, most = 3, 24
	if n < fewest || n > most {
		return nil, fmt.Errorf("a grey strip of %d steps; %d to %d is accepted", n, fewest, most)
	}
	strip := make([]Known, n)
	for i := range strip {
		l := 90 - 70*float64(i)/float64(n-1)
		strip[i] = Known{Name: fmt.Sprintf("grey L* %.0f", l), Lab: colour.Lab{L: l}, SE: 4}
	}
	return strip, nil
}

// FindKnown returns a set by name: grey-card, white-paper, grey-strip,
// grey-strip:n; or a colour as [colour.ParseReading] takes it, for one patch.
// [KnownFrom] makes a set of a file's samples.
func FindKnown(text string) ([]Known, Notes, error) {
	word := strings.ToLower(strings.TrimSpace(text))
	base, count, numbered := strings.Cut(word, ":")
	switch {
	case word == "grey-card":
		return []Known{GreyCard()}, nil, nil
	case word == "white-paper":
		return []Known{WhitePaper()}, nil, nil
	case base == "grey-strip":
		n := 5
		if numbered {
			var err error
			if n, err = strconv.Atoi(count); err != nil {
				return nil, nil, fmt.Errorf("%q: a whole number of steps is accepted after the colon", text)
			}
		}
		known, err := GreyStrip(n)
		return known, nil, err
	case strings.HasPrefix(word, "lab:"), strings.HasPrefix(word, "lch:"), strings.HasPrefix(word, "#"):
		r, err := colour.ParseReading(text)
		if err != nil {
			return nil, nil, err
		}
		return KnownFrom([]Sample{{Name: strings.TrimSpace(text), Reading: r}})
	}
	return nil, nil, fmt.Errorf("nothing known is called %q; grey-card, grey-strip, white-paper, lab:L,a,b or a file of name,L,a,b is accepted", text)
}

// KnownFrom makes known patches of a file's readings, a row for each: name,L,a,b
// and, where it is known, se; or any that [Parse] takes. A spectrum is seen under D65/2;
// L*a*b* under another light is carried over by CAT16, which is good to
// about 1 ΔE00, and noted. A column se gives each one's error.
func KnownFrom(samples []Sample) ([]Known, Notes, error) {
	var notes Notes
	known := make([]Known, 0, len(samples))
	for _, s := range samples {
		k := Known{Name: s.Name, Lab: s.Lab}
		switch {
		case s.Spectrum != nil:
			k.Lab = colour.D65.Lab(s.Spectrum)
		case s.Viewing != nil && !sameViewing(s.Viewing, colour.D65):
			k.Lab = colour.D65.LabOf(colour.Adapt(s.Viewing.XYZOf(s.Lab), s.Viewing.White(), colour.D65.White()))
			k.SE = 1
			notes.add("patches given under %s were carried to D65/2, to about 1 ΔE00; their spectra would be exact", s.Viewing.Name())
		}
		if !k.Lab.Finite() || k.Lab.L < 1 || k.Lab.L > 100 {
			return nil, nil, fmt.Errorf("patch %q has L* %.4g; 1 to 100 is accepted for a patch to measure by", s.Name, k.Lab.L)
		}
		for header, text := range s.Other {
			if strings.EqualFold(header, "se") {
				x, err := table.Finite(text)
				if err != nil || x < 0 || x > 20 {
					return nil, nil, fmt.Errorf("patch %q: se is %q; a ΔE00 of 0 to 20 is accepted", s.Name, text)
				}
				k.SE = x
			}
		}
		known = append(known, k)
	}
	return known, notes, nil
}

// Patch is a known colour and where it is in the photo.
type Patch struct {
	Known
	Area image.Rectangle
}

// Strip splits a rectangle into equal patches along its longer side, from left
// to right or top to bottom. A fifth of each patch's width is left out towards
// its neighbours, since a hand-drawn rectangle never divides exactly.
func Strip(area image.Rectangle, known []Known) []Patch {
	n := len(known)
	patches := make([]Patch, n)
	for i, k := range known {
		r := area
		lengthwise, from, to := area.Dx(), &r.Min.X, &r.Max.X
		if area.Dy() > area.Dx() {
			lengthwise, from, to = area.Dy(), &r.Min.Y, &r.Max.Y
		}
		start := *from
		inset := lengthwise / (10 * n)
		*from = start + lengthwise*i/n + inset
		*to = start + lengthwise*(i+1)/n - inset
		patches[i] = Patch{k, r}
	}
	return patches
}
