package fitconstants

import (
	"maps"
	"math"
	"testing"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/flake/constants"
	"tawny/blend/flake/grain"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// paintIndex is the binder of the measured films, acrylic or oil.
const paintIndex = 1.5

// masstone is a measured opaque film.
type masstone struct {
	lab      colour.Lab
	geometry colour.Geometry
	at       map[int]float64 // reflectance by band, where it is known
}

// Readings of a masstone are trusted to 0.5 in L*, a* and b* and to 0.01 in a
// reflectance: it is one maker's grade.
const labError, bandError = 0.5, 0.01

// paint is a pigment whose constants are fitted to its masstone: numbers with
// what the literature says of each and how far they may stray from it.
type paint struct {
	material    string
	name        string // in the table of masstones
	from, sigma []float64
	start       []float64       // where the search begins, if not there
	high        []float64       // bounds, where there are any
	coats       bool            // its coats on mica are to keep their published colours
	memory      map[int]float64 // reflectance by band beside what is in the table
	epsilon     func(x []float64) func(nm float64) complex128
}

// paints are fitted in their usual grain. Peaks of bands stand as logarithms; the
// literature is quoted in package constants.
var paints = []paint{
	{material: "hematite", name: "red iron oxide",
		// Of Querry's k the share left at each of constants.HematiteSteps.
		from: []float64{1, 0.8, 0.75, 0.25}, sigma: []float64{0.05, 0.05, 0.05, 0.05},
		high: []float64{1, 1, 1, 1}, coats: true,
		epsilon: func(x []float64) func(nm float64) complex128 {
			return constants.Dimmed{Of: constants.Querry, NM: constants.HematiteSteps, Share: x}.Epsilon
		}},
	{material: "goethite", name: "yellow iron oxide",
		from: []float64{math.Log(0.10), math.Log(0.12), math.Log(0.82), 0.55, math.Log(0.70), math.Log(2.2)}, sigma: []float64{1, 1, 1, 0.1, 1, 0.5},
		epsilon: func(x []float64) func(nm float64) complex128 {
			return gaussians(constants.Sellmeier{A: 4.45, B: 0.16, C: 0.06},
				x[0], 1.352, 0.30, x[1], 1.910, 0.40, x[2], 2.583, x[3], x[4], 2.857, 0.50, x[5], 3.80, 1.00)
		}},
	{material: "chromia", name: "chromium oxide green",
		from: []float64{math.Log(0.30), math.Log(0.40), math.Log(1.20)}, sigma: []float64{1, 1, 1},
		// Two answers have a least sum; begun at the literature the search ends in
		// the greater of them (peak 55, ΔE00 0.7), begun at this peak in the lesser.
		start: []float64{math.Log(0.30), math.Log(0.40), math.Log(12)},
		epsilon: func(x []float64) func(nm float64) complex128 {
			return gaussians(constants.Sellmeier{A: 5.3, B: 0.20, C: 0.06}, x[0], 2.067, 0.36, x[1], 2.695, 0.42, x[2], 3.60, 0.65)
		}},
	{material: "ultramarine", name: "ultramarine blue",
		// The index is fixed at 1.55, apart from the binder's; then the blue band in
		// two halves, their peaks and widths, and the violet band's peak. Unlike
		// answers fit L*a*b* alone: the pigment's rise in the far red, 0.10 at 700 nm
		// (from memory), tells them apart.
		from:  []float64{math.Log(0.50), 0.22, math.Log(0.30), 0.22, math.Log(0.001)},
		sigma: []float64{0.1, 0.02, 0.1, 0.02, 2}, memory: map[int]float64{32: 0.10},
		epsilon: func(x []float64) func(nm float64) complex128 {
			return gaussians(constants.Sellmeier{A: 2.376, B: 0.009, C: 0.01}, x[0], 2.05, x[1], x[2], 2.22, x[3], x[4], 3.10, 0.50)
		}},
}

// series are coats on mica, nm, and the hues at 0° between which those of hematite
// lie where its names change: bronze, copper, red and red-violet (Pfaff and
// Reynders, Chem. Rev. 99 (1999) 1963, from memory, as package flake tests them).
var series = [][3]float64{{30, 70, 360}, {32, 70, 360}, {34, 70, 360}, {36, 70, 82}, {40, 70, 82}, {45, 70, 76}, {55, 60, 68}, {60, 40, 68}, {65, 40, 50}}

// A coat's hue is held to its range, and to redden from the last coat's, within
// hueError and by hueMargin, degrees.
const hueError, hueMargin = 0.1, 0.1

// mirrored fills r with how far coats leave their published series, 0 inside it.
func (p *paint) mirrored(m *constants.Material, r []float64) error {
	clear(r)
	if !p.coats {
		return nil
	}
	// Flakes find their coat by name: while it is fitted it is the tried one.
	known, err := constants.Find(p.material)
	if err != nil {
		return err
	}
	grid := known.OnGrid()
	kept := *grid
	defer func() { *grid = kept }()
	for b := range grid {
		grid[b] = m.Epsilon(colour.WavelengthNM(b))
	}
	last := 360.0
	for i, c := range series {
		mirrored, _, _, err := flake.New(flake.Layer{Material: p.material, ThicknessNM: c[0]}).At(0)
		if err != nil {
			return err
		}
		h := colour.D65.Lab(&mirrored).LCh().H
		r[i] = max(0, c[1]+hueMargin-h, h+hueMargin-min(c[2], last)) / hueError
		last = h
	}
	return nil
}

// gaussians is a background and bands given as peak's logarithm, energy and width.
func gaussians(background constants.Sellmeier, bands ...float64) func(nm float64) complex128 {
	g := constants.Gaussians{Background: background}
	for i := 0; i < len(bands); i += 3 {
		g.Bands = append(g.Bands, constants.Band{Peak: math.Exp(bands[i]), Energy: bands[i+1], Width: bands[i+2]})
	}
	return g.Epsilon
}

func TestMasstones(t *testing.T) {
	films := readMasstones(t)
	for i := range paints {
		p := &paints[i]
		t.Run(p.material, func(t *testing.T) {
			if films[p.name] == nil {
				t.Fatalf("no film of %s", p.name)
			}
			if err := p.fit(t, films[p.name]); err != nil {
				t.Fatal(err)
			}
		})
	}
}

// grainOf is the grain of the built-in pigment of a material.
func grainOf(t *testing.T, material string) grain.Grain {
	built, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range built.Pigments {
		if g.Optics.Grain.Material == material {
			return g.Optics.Grain
		}
	}
	t.Fatalf("no built-in pigment is of %s", material)
	return grain.Grain{}
}

// fit finds the numbers nearest the masstone and the literature together, and holds
// the committed ones to them.
func (p *paint) fit(t *testing.T, m *masstone) error {
	usual := grainOf(t, p.material)
	usual.Binder = paintIndex
	maps.Copy(m.at, p.memory)
	reader, err := film.Lay{Index: paintIndex, TiltDeg: 10}.Reader(m.geometry)
	if err != nil {
		return err
	}
	material, err := constants.Find(p.material)
	if err != nil {
		return err
	}
	tried := *material
	opaque := func() (colour.Spectrum, error) {
		o, err := usual.Of(&tried)
		if err != nil {
			return colour.Spectrum{}, err
		}
		powder := reader.Prepare(film.Grains(&o.K, &o.S, o.Moments))
		return reader.Infinite([]*film.Prepared{powder}, []float64{1}), nil
	}
	committed, err := opaque()
	if err != nil {
		return err
	}
	look := func(x []float64) (colour.Spectrum, error) {
		tried.Epsilon = p.epsilon(x)
		return opaque()
	}
	x := append([]float64(nil), p.from...)
	copy(x, p.start)
	var w leastsquares.Workspace
	_, err = w.Minimise(&leastsquares.Residuals{Count: len(x) + 3 + len(m.at) + len(series), At: func(x, r []float64) error {
		s, err := look(x)
		if err != nil {
			return err
		}
		for i := range x {
			r[i] = (x[i] - p.from[i]) / p.sigma[i]
		}
		lab := colour.D65.Lab(&s)
		r = r[len(x):]
		if err := p.mirrored(&tried, r[3+len(m.at):]); err != nil {
			return err
		}
		r[0], r[1], r[2] = (lab.L-m.lab.L)/labError, (lab.A-m.lab.A)/labError, (lab.B-m.lab.B)/labError
		i := 3
		for b := range s {
			if want, ok := m.at[b]; ok {
				r[i] = (s[b] - want) / bandError
				i++
			}
		}
		return nil
	}}, x, leastsquares.Settings{High: p.high, Gain: 1e-5})
	if err != nil {
		return err
	}
	s, err := look(x)
	if err != nil {
		return err
	}
	lab, sum := colour.D65.Lab(&s), 0.0
	for b, want := range m.at {
		sum += (s[b] - want) * (s[b] - want)
	}
	t.Logf("%.4g", x)
	t.Logf("L* %.1f a* %.1f b* %.1f, ΔE00 %.2f; of %d bands rms %.4f", lab.L, lab.A, lab.B,
		colour.DeltaE00(lab, m.lab), len(m.at), math.Sqrt(sum/float64(max(1, len(m.at)))))
	if off := colour.DeltaE00(lab, colour.D65.Lab(&committed)); off > 0.3 {
		t.Errorf("what is committed is ΔE00 %.2f from what is fitted", off)
	}
	// Bands that a film's colour tells little of are held by the absorption beside it:
	// within 1 %, but 4.3 % of chromia's charge transfer, 1 % by four times as many sizes
	// of grain.
	for nm := 350.0; nm <= 1000; nm += 10 {
		if c, f := imag(material.Epsilon(nm)), imag(tried.Epsilon(nm)); math.Abs(c-f) > 0.05*f {
			t.Errorf("at %g nm ε″ %.4g is committed, %.4g fitted", nm, c, f)
		}
	}
	return nil
}
