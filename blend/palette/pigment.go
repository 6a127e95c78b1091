package palette

import (
	"slices"
	"strconv"

	"tawny/blend/flake"
	"tawny/blend/flake/grain"
	"tawny/colour"
)

// Source says where a powder's optical data come from. It is printed wherever
// a prediction is, so that a modelled look is never taken for a measured one.
type Source string

// The four kinds of source a row of a drawer may name.
const (
	Modelled Source = "modelled" // computed from coat, grade and optical constants
	Guessed  Source = "guessed"  // a modelled coat fitted to a name or a photo
	Measured Source = "measured" // inverted from drawdowns
	Demo     Source = "demo"     // invented for examples
)

// Area is a place on the body a colourant is allowed to be worn.
type Area string

// The areas the cosmetic colour additive rules tell apart (21 CFR 70.3 (s)
// and (v), 70.5).
const (
	Body Area = "body" // external use, neither eye area nor lips
	Eyes Area = "eyes" // area of the eye, 21 CFR 70.3(s)
	Lips Area = "lips" // lips count as ingestion, 21 CFR 70.3(v)
)

// Ingredient is one substance of a powder, by INCI name, with its share.
type Ingredient struct {
	INCI      string  // e.g. "Mica"
	Percent   float64 // % w/w of the powder
	Estimated bool    // the share is no supplier's, but an estimate
}

// String writes it as ParseINCI reads it.
func (i Ingredient) String() string {
	share := "="
	if i.Estimated {
		share = "~"
	}
	return i.INCI + share + strconv.FormatFloat(i.Percent, 'g', 8, 64)
}

// Pigment is one powder in the drawer: what it is, what it costs and what it
// does to light. Optics are per unit areal mass, so they scale with how much
// powder lies on each cm² of skin.
type Pigment struct {
	Name          string
	Family        string // "silver", "gold", "bronze", "interference", "oxide" …
	INCI          []Ingredient
	CI            []string // colour index numbers, e.g. "CI 77891"
	Layers        []flake.Layer
	Substrate     float64 // flake substrate thickness, nm; 0 for ordinary pigments
	Spectrum      string  // file of K and S, where not computed from Layers
	D10, D50, D90 float64 // particle size percentiles, µm
	Density       float64 // g/cm³ of the powder's solid
	BulkDensity   float64 // g/ml, loose in the spoon
	OilAbsorption float64 // g oil per 100 g powder (ISO 787-5 / ASTM D281)
	PricePerG     float64 // in the maker's own currency
	StockG        float64 // g on hand
	Invented      bool    // price and stock are: it was lent to a maker's own drawer
	Lot           string
	// Dispersion is the share of an ordinary pigment's strength that shows when it
	// is rubbed in by hand and not milled, 1 with every grain apart, 0 where unsaid;
	// Doubt is its standard error, likewise a share. Optics have it in them. Of a
	// guessed flake Doubt is that of its coats' thickness, as a share of it.
	Dispersion, Doubt float64
	Areas             []Area
	Assumed           []string // of CI and Areas those that its jar leaves open, with ~ in the drawer
	Source            Source
	Optics            Optics
}

// MarshalText is a powder as documents tell of it: its name.
func (p *Pigment) MarshalText() ([]byte, error) { return []byte(p.Name), nil }

// UnmarshalText reads the name alone.
func (p *Pigment) UnmarshalText(name []byte) error {
	p.Name = string(name)
	return nil
}

// A grade of flakes lies between these, µm: midway in ratio between the 4–14, 10–55 and
// 28–118 µm of the trade, by their middles of 8, 24 and 62 (common practice).
const (
	satinUM   = 14.0
	sparkleUM = 39.0
)

// GradeWord names a size, d10, d50 and d90 in µm, by what is in the bottle, whatever the
// skin and however much is worn; "" where no middle is known. Ordinary pigment is fine.
func GradeWord(d [3]float64) string {
	switch {
	case !(d[1] > 0):
		return ""
	case d[2] > 0 && d[2] <= 7.5:
		return "fine"
	case d[1] < satinUM:
		return "satin"
	case d[1] > sparkleUM:
		return "sparkle"
	}
	return "pearl"
}

// Optics is what one powder does to light, per unit areal mass.
type Optics struct {
	K colour.Spectrum // absorption, cm²/mg
	S colour.Spectrum // scattering, cm²/mg
	// Flake is true when the scattering is mirror-like reflection from flakes
	// lying near parallel to the skin (S_f of the film), false for ordinary
	// diffusing pigment.
	Flake bool
	// FaceArea is the area of one flake face per mass, cm²/mg; 0 where unknown.
	FaceArea float64
	// R and T are a coated flake's at each of flake.Incidences, with the averages
	// over incoming light that K and S were made of; none where no coat is known.
	R, T         []colour.Spectrum
	MeanR, MeanA colour.Spectrum
	// Coat is what R, T and the averages were computed of, in its binder.
	Coat flake.Flake
	// Moments are the Legendre moments of ordinary pigment's phase function, from
	// χ_0 = 1 and χ_1 = g; none where it is taken to scatter alike every way.
	Moments [][colour.Bands]float64
	// Grain is what K, S and Moments were modelled by, its material empty where
	// they were not.
	Grain grain.Grain
}

// StrengthDoubt is the standard error of the powder's strength for its dispersion,
// relative.
func (g *Pigment) StrengthDoubt() float64 {
	if g.Dispersion == 0 {
		return g.Doubt
	}
	return g.Doubt / g.Dispersion
}

// Scaled returns the optics of a powder f times as strong: f times as much of it
// on the same area.
func (o Optics) Scaled(f float64) Optics {
	for j := range o.K {
		o.K[j] *= f
		o.S[j] *= f
	}
	o.FaceArea *= f
	return o
}

// AtStrength returns a powder that does so much of what g does to light, per mass.
func (g *Pigment) AtStrength(factor float64) *Pigment {
	s := *g
	s.Optics = g.Optics.Scaled(factor)
	return &s
}

// AllowedOn reports whether the powder's listed areas include a.
func (g *Pigment) AllowedOn(a Area) bool { return slices.Contains(g.Areas, a) }
