package shimmer

import (
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/skin"
)

// Film is how bare or filmed skin returns light.
type Film struct {
	// Reading is the reflectance under even light, its gloss as the skin was
	// read: what a flat patch of the same skin shows.
	Reading colour.Spectrum
	// Even is the radiance factor of the light returned alike in every
	// direction, for light at 45° incidence; gloss left out.
	Even colour.Spectrum
	// Flakes are the powders of flakes in the film; none for bare skin.
	Flakes []Flakes
	// LocalDeg are the angles of incidence on a flake inside the binder that its
	// beams are of, rising, degrees.
	LocalDeg [3]float64
	// TiltDeg is σ, how far the flakes lie from flat, degrees.
	TiltDeg float64
	// Index is the binder's refractive index; 0 means film.DefaultIndex.
	Index float64
	// Gloss is the surface that mirrors the light.
	Gloss Gloss
	// Filled is the part of the skin's relief that the film fills, 0 to 1.
	Filled float64
}

// Flakes is one powder in the film. Its flakes share one colour, the mean over
// their thicknesses: an eye sees many of them in each glint of a broad light.
type Flakes struct {
	PerCM2 float64 // flakes in the film over each cm² of skin
	Size   film.Size
	Beams  [3]colour.Spectrum // share of light mirrored in first order, by the film's LocalDeg
}

// Gloss is a surface of Gaussian slopes. None has Index 0.
type Gloss struct {
	Index float64 // refractive index
	Slope float64 // tan of the slope's standard deviation per axis
}

// halfFilled is the film, mg/cm², that fills half of the skin's relief: 17 µm of a
// product as dense as water, where furrows are some tens of µm deep (a convention
// of this tool, drawn by eye). A thinner one follows them: a film levels by the cube
// of its thickness (Orchard, Applied Scientific Research A 11, 451, 1962).
const halfFilled = 1.7

func filled(mgPerCM2 float64) float64 { return 1 / (1 + math.Pow(halfFilled/mgPerCM2, 3)) }

// Slopes of the surfaces that gloss, beside the relief that is drawn. Bare skin
// is dull; a film fills its furrows (conventions of this tool, chosen by eye).
const (
	bareSlope = 0.34
	filmSlope = 0.28
)

// Of returns the film that a blend makes on a skin, from the same model that
// predicts its colour. Powders without sizes or face area cannot glint and
// are an error.
func Of(w film.Worn) (*Film, error) {
	lit, err := w.Lit()
	if err != nil {
		return nil, err
	}
	// A surface that tilts with its flakes does so beside its own slopes.
	lay := film.LayOf(lit.Index, lit.TiltDeg, w.SurfaceShare)
	f := &Film{Filled: filled(w.Apply), TiltDeg: lit.TiltDeg, Index: lit.Index, LocalDeg: lit.LocalDeg, Reading: lit.Reading, Even: lit.Even, Gloss: Gloss{lit.Index, math.Hypot(filmSlope, math.Tan(lay.SurfaceDeg*degree))}}
	if w.Apply == 0 {
		f.Gloss = Gloss{skin.SurfaceIndex, bareSlope}
	}
	for i, p := range w.Parts {
		m := w.Apply * p.Percent / 100
		if !p.Pigment.Optics.Flake || m == 0 {
			continue
		}
		if p.Pigment.Optics.FaceArea <= 0 {
			return nil, fmt.Errorf("powder %q: its face area per mass is not known", p.Pigment.Name)
		}
		size := film.SizeOf(p.Pigment)
		f.Flakes = append(f.Flakes, Flakes{size.PerCM2(m * p.Pigment.Optics.FaceArea), size, lit.Beams[i]})
	}
	return f, nil
}

func (f *Film) index() float64 {
	if f.Index == 0 {
		return film.DefaultIndex
	}
	return f.Index
}

const degree = math.Pi / 180
