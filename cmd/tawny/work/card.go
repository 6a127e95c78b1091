package work

import (
	"fmt"
	"math"
	"strings"
	"time"

	"tawny/blend"
	"tawny/blend/film"
	"tawny/colour"
	"tawny/swatches"
)

// Card lays a blend out as a swatch card: bare skin beside each coverage, the
// one matched at among them.
func (s *setting) card(title, note string, v *BlendView, t *target, weighed map[string]float64) (*swatches.Card, error) {
	c := &swatches.Card{
		Title: title, Note: note, Date: Today(), Source: v.Source, Viewing: s.viewing, Light: s.lightWords(),
		Skin: swatches.Patch{Name: "bare skin", Lab: s.viewing.Lab(&s.skin.Reflectance)},
	}
	if t != nil {
		c.Target = &swatches.Patch{Name: t.view.Text, Lab: t.view.Lab}
	}
	matched := -1
	for i, cov := range film.Coverages {
		if cov.MgPerCM2 == s.apply && cov.SigmaDeg == s.tilt {
			matched = i
		}
	}
	add := func(name string, apply, tilt float64) error {
		look, err := blend.Predict(s.worn(v.parts, apply, tilt))
		if err != nil {
			return input(err)
		}
		c.Coverages = append(c.Coverages, swatches.Coverage{Name: name, MgPerCM2: apply, Lab: look.Lab})
		return nil
	}
	for _, cov := range film.Coverages {
		if matched < 0 && s.apply <= cov.MgPerCM2 {
			matched = len(c.Coverages)
			if err := add("as matched", s.apply, s.tilt); err != nil {
				return nil, err
			}
		}
		if err := add(cov.Name, cov.MgPerCM2, cov.SigmaDeg); err != nil {
			return nil, err
		}
	}
	if matched < 0 {
		matched = len(c.Coverages)
		if err := add("as matched", s.apply, s.tilt); err != nil {
			return nil, err
		}
	}
	c.Matched = matched
	c.Blend = swatches.Blend{Name: title, LoadPercent: v.LoadPercent, Base: s.base.Name, Decimals: decimals(s.balance())}
	for _, p := range v.Parts {
		part := swatches.Part{Powder: p.Powder, Percent: p.Percent, Grams: weighed[p.Powder]}
		c.Blend.Parts = append(c.Blend.Parts, part)
	}
	if len(weighed) > 0 {
		c.Blend.BatchGrams = s.batchGrams()
	}
	c.Undertone = undertoneWords(c.Skin.Lab, v.Lab)
	c.Remarks = append(c.Remarks, fmt.Sprintf("From %s to %s the colour moves ΔE00 %.1f, the bare skin %.1f.", s.viewing.Illuminant.Name, s.second.Illuminant.Name, v.LightShift, colour.Shift(&s.skin.Reflectance, s.viewing, s.second)))
	if s.skin.Extrapolated {
		c.Remarks = append(c.Remarks, "Skin deeper than those the model was fitted to: extrapolated.")
	}
	return c, nil
}

// undertoneWords compares the hue of a worn blend with that of the bare skin.
func undertoneWords(bare, worn colour.Lab) string {
	d := math.Remainder(worn.LCh().H-bare.LCh().H, 360)
	switch {
	case worn.Chroma() < 3:
		return "almost colourless"
	case d > 2:
		return fmt.Sprintf("warmer than the skin by %.0f°", d)
	case d < -2:
		return fmt.Sprintf("cooler than the skin by %.0f°", -d)
	}
	return "as warm as the skin"
}

func (s *setting) lightWords() string {
	if l := s.viewing.Illuminant; l.Plain != "" {
		return l.Plain
	}
	return s.viewing.Illuminant.Name
}

func (s *setting) balance() float64 {
	if s.in.Balance == 0 {
		return DefaultBalance
	}
	return s.in.Balance
}

// decimals of a balance's display.
func decimals(step float64) int {
	n := 0
	for step < 0.999 && n < 4 {
		step *= 10
		n++
	}
	return n
}

// Today is the date as cards and sheets print it.
func Today() string { return time.Now().Format("2006-01-02") }

// PowderList names a blend's powders for a heading.
func PowderList(v *BlendView) string {
	var names []string
	for _, p := range v.Parts {
		names = append(names, p.Powder)
	}
	return strings.Join(names, ", ")
}
