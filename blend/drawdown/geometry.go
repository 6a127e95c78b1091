package drawdown

import (
	"fmt"
	"strings"
	"time"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/colour/table"
)

// Geometry is how the films of a file were read.
type Geometry struct {
	Read   colour.Geometry // "" where the file does not say
	Index  float64         // of the binder
	Tilt   float64         // degrees, assumed of flakes
	Flake  bool
	Demo   bool   // the readings are invented
	Date   string // YYYY-MM-DD
	Reader *film.Reader
}

// Geometry reads the keys that all readings share; today is the date of a file
// without one.
func (d *File) Geometry(today string) (g Geometry, err error) {
	g.Index, g.Tilt = film.DefaultIndex, 10
	for _, k := range []struct {
		key       string
		to        *float64
		low, high float64
	}{{"binder_index", &g.Index, 1.3, 1.57}, {"tilt", &g.Tilt, 1, 40}} {
		if text := d.Keys[k.key]; text != "" {
			if *k.to, err = table.Number(text, k.low, k.high); err != nil {
				return g, d.keyFault(k.key, err.Error(), fmt.Sprintf("a number from %g to %g", k.low, k.high))
			}
		}
	}
	switch kind := strings.ToLower(d.Keys["kind"]); kind {
	case "flake":
		g.Flake = true
	case "ordinary", "diffuse":
	default:
		return g, d.keyFault("kind", fmt.Sprintf("it is %q", table.Clip(kind)), "flake (mica and other shimmer) or ordinary (oxides, whites)")
	}
	switch src := strings.ToLower(d.Keys["source"]); {
	case strings.HasPrefix(src, "demo"):
		g.Demo = true
	case src != "" && !strings.HasPrefix(src, "measured"):
		return g, d.keyFault("source", fmt.Sprintf("it is %q", table.Clip(src)), "measured, or demo for invented readings")
	}
	if g.Date = d.Keys["date"]; g.Date == "" {
		g.Date = today
	} else if _, err := time.Parse(time.DateOnly, g.Date); err != nil {
		return g, d.keyFault("date", fmt.Sprintf("it is %q", table.Clip(g.Date)), "YYYY-MM-DD")
	}
	return g, d.boundary(&g)
}

// boundary works out how the readings were taken.
func (d *File) boundary(g *Geometry) (err error) {
	for i, f := range d.Films {
		if i > 0 && f.Reading.Geometry != g.Read {
			return d.table.LineFault(f.Line, "", fmt.Sprintf("%s; the rows before: %s", f.Reading.Geometry.Words(), g.Read.Words()), "one kind of reading")
		}
		g.Read = f.Reading.Geometry
	}
	g.Reader, err = film.Lay{Index: g.Index, TiltDeg: g.Tilt}.Reader(g.Read.Assumed())
	return err
}

// Readings turns the rows into readings of reflectance.
func (d *File) Readings(g Geometry) ([]Reading, error) {
	floor := g.Reader.Gloss(&film.Under{})
	grounds := map[string]colour.Spectrum{}
	for name, list := range d.Bare {
		var sum colour.Spectrum
		for _, c := range list {
			if c.Geometry != g.Read {
				return nil, fmt.Errorf("%s: ground %q: %s; the films: %s; one kind of reading is accepted", d.Name, table.Clip(name), c.Geometry.Words(), g.Read.Words())
			}
			s, _, err := Reflectance(c, floor)
			if err != nil {
				return nil, fmt.Errorf("%s: ground %q: %w", d.Name, name, err)
			}
			for j := range sum {
				sum[j] += s[j] / float64(len(list))
			}
		}
		if _, err := g.Reader.Card(&sum); err != nil {
			return nil, fmt.Errorf("%s: ground %q: %w", d.Name, name, err)
		}
		grounds[name] = sum
	}
	var list []Reading
	for _, f := range d.Films {
		s, smooth, err := Reflectance(f.Reading, floor)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: film %q: %w", d.Name, f.Line, table.Clip(f.Film), err)
		}
		list = append(list, Reading{Film: f.Film, Ground: grounds[f.Ground], Read: s, Mass: f.Mass, Reader: g.Reader, FromLab: smooth})
	}
	return list, nil
}

// Reflectance returns a reading's spectrum, or a smooth one of its colour.
func Reflectance(c colour.Reading, floor float64) (s colour.Spectrum, smooth bool, err error) {
	if c.Spectrum != nil {
		return *c.Spectrum, false, nil
	}
	v := c.Viewing
	if v == nil {
		v = colour.D65
	}
	s, err = skin.SmoothSpectrum(c.Lab, v, floor)
	return s, true, err
}
