package film

import (
	"tawny/blend/palette"
	"tawny/colour"
)

// Limits of what may be worn. A load over 30 % is a paste, not a lotion, and
// 20 mg/cm² is ten times the laboratory amount of ISO 24444.
const (
	MaxLoad  = 30.0 // % w/w
	MaxApply = 20.0 // mg/cm²
)

// Ground is bare skin, or whatever the film lies on.
type Ground struct {
	Reflectance colour.Spectrum
	Geometry    colour.Geometry // it was read in
	Card        bool            // it is flat and was read under the binder alone, as a drawdown's card is
}

// Base is what the dried vehicle itself does to light, per areal mass of
// product; the zero Base is clear.
type Base struct {
	Index float64         // refractive index; 0 means film.DefaultIndex
	K, S  colour.Spectrum // cm²/mg of product
}

// Powder returns the base as one more powder, or nil of a clear one.
func (b *Base) Powder() *Powder {
	var clear colour.Spectrum
	if b.K == clear && b.S == clear {
		return nil
	}
	return Grains(&b.K, &b.S, nil)
}

// Part is one powder of a blend.
type Part struct {
	Pigment *palette.Pigment
	Percent float64 // % w/w of the product
}

var stageView = colour.NewViewing(mustStage(), colour.CIE1931)

func mustStage() colour.Illuminant {
	l, err := colour.FindIlluminant("stage")
	if err != nil {
		panic(err)
	}
	return l
}

// StageView is the stage lantern and the 2° observer, the second light unless
// another is asked for.
func StageView() *colour.Viewing { return stageView }

// LoadOf is the load of a blend, % w/w.
func LoadOf(parts []Part) (load float64) {
	for _, p := range parts {
		load += p.Percent
	}
	return load
}

// Scaled returns a blend at another load, % w/w, its powders kept in their
// proportions.
func Scaled(parts []Part, load float64) []Part {
	by := load / LoadOf(parts)
	scaled := append([]Part(nil), parts...)
	for i := range scaled {
		scaled[i].Percent *= by
	}
	return scaled
}
