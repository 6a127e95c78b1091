package constants

import (
	"fmt"
	"maps"
	"math/cmplx"
	"slices"
	"strings"

	"tawny/colour"
)

// Material is a substance with optical constants on 380 to 730 nm.
type Material struct {
	Name    string  `json:"material"`         // as written in a palette, "rutile"
	Density float64 `json:"-"`                // g/cm³ of the solid without pores
	Source  string  `json:"source"`           // of n and k: what is measured, fitted by us or from memory
	HeldTo  string  `json:"heldTo,omitempty"` // what the look of its powders was held to; empty where nothing
	Coat    bool    `json:"-"`                // true where it is met as a coat on mica
	// Packing is the share of a coat's volume that is solid as coats are
	// usually made, the rest being pores; 1 where nothing is known.
	Packing float64 `json:"-"`
	// Epsilon returns the dielectric function ε = (n + ik)² at a vacuum
	// wavelength in nm. Outside 380 to 730 nm it extrapolates.
	Epsilon func(nm float64) complex128 `json:"-"`
	onGrid  [colour.Bands]complex128
}

// Index returns n + ik at a vacuum wavelength in nm.
func (m *Material) Index(nm float64) complex128 { return cmplx.Sqrt(m.Epsilon(nm)) }

// OnGrid returns ε in the bands of a [colour.Spectrum]. The array is shared:
// read it only.
func (m *Material) OnGrid() *[colour.Bands]complex128 { return &m.onGrid }

// registry holds every material by name; it is filled once, before main.
var registry = register(
	rutile(), anatase(), hematite(), tinOxide(), silica(),
	goethite(), magnetite(), ultramarine(), chromia(),
)

func register(all ...*Material) map[string]*Material {
	byName := make(map[string]*Material, len(all))
	for _, m := range all {
		for i := range m.onGrid {
			m.onGrid[i] = m.Epsilon(colour.WavelengthNM(i))
		}
		byName[m.Name] = m
	}
	return byName
}

// Names lists every material, sorted.
func Names() []string { return slices.Sorted(maps.Keys(registry)) }

// Find returns the material of that name, written in any case. An unknown
// name is an error that suggests the nearest and lists what there is.
func Find(name string) (*Material, error) {
	key := strings.ToLower(strings.TrimSpace(name))
	if m := registry[key]; m != nil {
		return m, nil
	}
	names := Names()
	if near := colour.NearBy(key, names); near != "" {
		return nil, fmt.Errorf("unknown material %q; did you mean %s? Known are %s", name, near, strings.Join(names, ", "))
	}
	return nil, fmt.Errorf("unknown material %q; known are %s", name, strings.Join(names, ", "))
}
