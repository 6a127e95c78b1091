package colour

import (
	_ "embed"
	"fmt"
	"math"
	"strings"

	"tawny/colour/table"
)

// Illuminant is a light: relative spectral power from 360 to 780 nm, in even
// steps of StepNM (1 or 5 nm). Only the shape matters, not the scale.
type Illuminant struct {
	Name   string
	Plain  string    // in a maker's words
	StepNM int       // nm between samples
	Power  []float64 // from 360 nm to 780 nm
}

const (
	powerFirstNM = 360
	powerLastNM  = 780
)

//go:embed data/illuminants.csv
var illuminantsCSV []byte

// builtin holds the CIE lights in the order they are offered.
//
// The published white points of A, D50 and the F and LED series are sums of
// 5 nm tables, that of D65 of a 1 nm table (linear between 5 nm samples, which
// is how CIE defines it), so each is summed at its own step; summing F11's
// mercury lines at another step moves its white by 0.06.
var builtin = readIlluminants()

func readIlluminants() []Illuminant {
	lights := []Illuminant{
		{Name: "A", Plain: "household tungsten lamp", StepNM: 5},
		{Name: "D50", Plain: "daylight, morning or print booth", StepNM: 5},
		{Name: "D65", Plain: "daylight, noon", StepNM: 1},
		{Name: "F2", Plain: "cool white fluorescent tube", StepNM: 5},
		{Name: "F11", Plain: "shop fluorescent tube, three narrow bands", StepNM: 5},
		{Name: "LED-B3", Plain: "white LED lamp, about 4100 K", StepNM: 5},
	}
	rows := mustTable("illuminants.csv", illuminantsCSV, len(lights)+1)
	for i := range lights {
		nm := make([]float64, len(rows))
		power := make([]float64, len(rows))
		for k, row := range rows {
			nm[k], power[k] = row[0], row[i+1]
		}
		lights[i].Power = onSteps(nm, power, lights[i].StepNM)
	}
	return append(lights, stageLight())
}

// StageKelvin is the colour temperature of a stage lantern's tungsten-halogen
// lamp: 3200 K, common practice in theatre lighting.
const StageKelvin = 3200

func stageLight() Illuminant {
	l, _ := Planckian(StageKelvin)
	l.Name, l.Plain = "stage", "stage lantern, tungsten halogen, 3200 K"
	return l
}

// Illuminants returns the built-in lights. The slice is a copy.
func Illuminants() []Illuminant { return append([]Illuminant(nil), builtin...) }

// FindIlluminant returns a built-in light by name ("D65", "stage" …) or, for
// a number with K such as "2856K", a Planckian radiator. Case is ignored, and
// CIE's newer names FL2 and FL11 are understood.
func FindIlluminant(name string) (Illuminant, error) {
	key := strings.ToUpper(strings.TrimSpace(name))
	if key == "FL2" || key == "FL11" {
		key = "F" + key[2:]
	}
	for _, l := range builtin {
		if strings.ToUpper(l.Name) == key {
			return l, nil
		}
	}
	if t, ok := strings.CutSuffix(key, "K"); ok {
		if kelvin, err := table.Finite(t); err == nil {
			return Planckian(kelvin)
		}
	}
	return Illuminant{}, fmt.Errorf("illuminant %q is not known; %s, a temperature such as 2700K, or a CSV file of wavelength and power is accepted", name, illuminantNames())
}

func illuminantNames() string {
	names := make([]string, len(builtin))
	for i, l := range builtin {
		names[i] = l.Name
	}
	return strings.Join(names, ", ")
}

// Planckian returns the black-body radiator of the given temperature in
// kelvin, by Planck's law with c₂ = 1.4388·10⁻² m·K (ITS-90, as CIE 15 uses).
func Planckian(kelvin float64) (Illuminant, error) {
	if !(kelvin >= 1000 && kelvin <= 20000) {
		return Illuminant{}, fmt.Errorf("%g K is outside 1000 to 20000 K", kelvin)
	}
	const c2 = 1.4388e-2
	l := Illuminant{Name: fmt.Sprintf("%gK", kelvin), Plain: "black body", StepNM: 5}
	for nm := powerFirstNM; nm <= powerLastNM; nm += l.StepNM {
		m := float64(nm) * 1e-9
		l.Power = append(l.Power, 1e-30/(math.Pow(m, 5)*math.Expm1(c2/(m*kelvin))))
	}
	return l, nil
}

// NewIlluminant makes a light from samples of wavelength (nm, rising) and
// relative power. Between samples it is linear; beyond them it is 0, since a
// lamp says nothing of the light it was not measured to give.
func NewIlluminant(name string, nm, power []float64) (Illuminant, error) {
	if len(nm) != len(power) || len(nm) < 2 {
		return Illuminant{}, fmt.Errorf("a light needs two columns of equal length with at least two rows, got %d and %d", len(nm), len(power))
	}
	seen, most := 0.0, 0.0
	for i := range nm {
		if !finite(nm[i]) || !finite(power[i]) || power[i] < 0 {
			return Illuminant{}, fmt.Errorf("sample %d: %g nm, power %g; finite numbers and power of at least 0 are accepted", i+1, nm[i], power[i])
		}
		if i > 0 && nm[i] <= nm[i-1] {
			return Illuminant{}, fmt.Errorf("sample %d: %g nm follows %g nm; wavelengths must rise", i+1, nm[i], nm[i-1])
		}
		if nm[i] >= 400 && nm[i] <= 700 {
			seen = math.Max(seen, power[i])
		}
		most = math.Max(most, power[i])
	}
	// A millionth of the peak would be lost in it.
	if seen <= 1e-6*most {
		return Illuminant{}, fmt.Errorf("next to no power between 400 and 700 nm; nothing could be seen by this light")
	}
	if nm[0] > 420 || nm[len(nm)-1] < 700 {
		return Illuminant{}, fmt.Errorf("samples cover %g to %g nm; at least 420 to 700 nm is needed", nm[0], nm[len(nm)-1])
	}
	// To a peak of 1, so that sums stay in range whatever unit the file is in.
	shape := make([]float64, len(power))
	for i := range power {
		shape[i] = power[i] / most
	}
	return Illuminant{Name: name, Plain: "light from a file", StepNM: 1, Power: onSteps(nm, shape, 1)}, nil
}

// onSteps samples a light at even steps, linear between samples, 0 beyond.
func onSteps(nm, power []float64, step int) []float64 {
	var out []float64
	k := 0
	for w := powerFirstNM; w <= powerLastNM; w += step {
		x := float64(w)
		if x < nm[0] || x > nm[len(nm)-1] {
			out = append(out, 0)
			continue
		}
		for k < len(nm)-2 && nm[k+1] < x {
			k++
		}
		t := (x - nm[k]) / (nm[k+1] - nm[k])
		out = append(out, power[k]+t*(power[k+1]-power[k]))
	}
	return out
}
