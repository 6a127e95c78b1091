package colour

import (
	"fmt"
	"math"
)

// The wavelength grid every spectrum in tawny stands on: 36 bands, 380 to
// 730 nm in steps of 10 nm, the range most hand-held instruments report.
const (
	Bands   = 36
	FirstNM = 380.0
	StepNM  = 10.0
	LastNM  = FirstNM + StepNM*(Bands-1)
)

// Spectrum holds one value per band of the grid. For a reflectance it is the
// reflectance factor relative to the perfect diffuser, 1 being all light
// returned; effect pigments may pass 1 in a direction. The zero Spectrum is
// perfect black.
type Spectrum [Bands]float64

// WavelengthNM returns the centre of band i in nanometres.
func WavelengthNM(i int) float64 { return FirstNM + StepNM*float64(i) }

// Wavelengths returns the centres of all bands in nanometres.
func Wavelengths() []float64 {
	w := make([]float64, Bands)
	for i := range w {
		w[i] = WavelengthNM(i)
	}
	return w
}

// Constant returns the spectrum that is v in every band.
func Constant(v float64) Spectrum {
	var s Spectrum
	for i := range s {
		s[i] = v
	}
	return s
}

// RMS returns the root mean square difference of two spectra over the bands.
func RMS(a, b *Spectrum) float64 {
	sum := 0.0
	for i := range a {
		d := a[i] - b[i]
		sum += d * d
	}
	return math.Sqrt(sum / Bands)
}

// MaxGapNM is the widest step between samples that Resample will bridge. A
// reading sampled more coarsely says too little about skin's haemoglobin bands
// (common practice: instruments report at 10 or 20 nm).
const MaxGapNM = 20.0

// Resample puts samples at the given wavelengths (nm, any order, no repeats)
// on the grid: linear interpolation between samples, and the nearest value
// beyond them, as CIE 15 allows. Gaps over MaxGapNM inside the grid, repeats
// and values that are not finite are errors; so are samples that begin more
// than 40 nm inside the grid at either end, since that much of the spectrum
// would be invented.
func Resample(nm, value []float64) (Spectrum, error) {
	var s Spectrum
	if len(nm) != len(value) {
		return s, fmt.Errorf("%d wavelengths but %d values", len(nm), len(value))
	}
	if len(nm) < 2 {
		return s, fmt.Errorf("a spectrum needs at least two samples, got %d", len(nm))
	}
	order, gap := rising(nm)
	w := make([]float64, len(nm))
	v := make([]float64, len(nm))
	for i, k := range order {
		w[i], v[i] = nm[k], value[k]
		if !finite(w[i]) || !finite(v[i]) {
			return s, fmt.Errorf("wavelength %g nm has value %g; both must be finite numbers", w[i], v[i])
		}
		if i > 0 && w[i] == w[i-1] {
			return s, fmt.Errorf("wavelength %g nm is given twice", w[i])
		}
	}
	if gap != nil {
		return s, gap
	}
	const mostInvented = 40
	last := len(w) - 1
	if w[0] > FirstNM+mostInvented || w[last] < LastNM-mostInvented {
		return s, fmt.Errorf("samples cover %g to %g nm; at least %g to %g nm is needed", w[0], w[last], FirstNM+mostInvented, LastNM-mostInvented)
	}
	for b := range s {
		i, j, t := Place(WavelengthNM(b), len(w), func(k int) float64 { return w[k] })
		s[b] = v[i] + t*(v[j]-v[i])
	}
	return s, nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
