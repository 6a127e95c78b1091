package drawdown

import (
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

// paintFilms reads the published films (Geldof et al., Heritage Science 6:17,
// 2018) from the folder TAWNY_DATA names: spectra by "06A_ow" and the like, and
// each film's percentages by pigment.
func paintFilms(t *testing.T) (read map[string]colour.Spectrum, recipes map[string]map[string]float64) {
	t.Helper()
	dir := os.Getenv("TAWNY_DATA")
	if dir == "" {
		t.Skip("set TAWNY_DATA to the folder of paint-films.csv and paint-mixtures.csv")
	}
	rows := func(name string) [][]string {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		var out [][]string
		for line := range strings.Lines(string(text)) {
			if !strings.HasPrefix(line, "#") {
				out = append(out, strings.Split(strings.TrimSpace(line), ","))
			}
		}
		return out
	}
	number := func(cell string) float64 {
		v, err := table.Finite(cell)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	read = map[string]colour.Spectrum{}
	films := rows("paint-films.csv")
	var nm []float64
	for _, cell := range films[0][1:] {
		nm = append(nm, number(cell))
	}
	for _, row := range films[1:] {
		var r []float64
		for _, cell := range row[1:] {
			r = append(r, number(cell)/100)
		}
		s, err := colour.Resample(nm, r)
		if err != nil {
			t.Fatal(err)
		}
		read[row[0]] = s
	}
	recipes = map[string]map[string]float64{}
	for _, row := range rows("paint-mixtures.csv")[1:] {
		recipe, parts := map[string]float64{}, strings.Split(row[2], "-")
		for i, pigment := range strings.Split(row[1], "-") {
			if v := number(parts[i]); v > 0 {
				recipe[pigment] = v / 100
			}
		}
		recipes[row[0]] = recipe
	}
	return read, recipes
}

// letDown is a coloured pigment fitted in a white one.
type letDown struct {
	white, colour palette.Optics
	mass          float64 // of the tint's film, in units of the white's
}

// fitLetDown fits the pure white film, then the pure coloured film and one tint
// together. No film's thickness is published: the white's is the unit, the
// pure coloured one is free, and the tint's is what makes the fit best.
func fitLetDown(t *testing.T, film func(name string, mass Mass) []Reading, white, pure, tint string, share float64) letDown {
	t.Helper()
	w, err := FitPowder(film(white, Mass{MgPerCM2: 1}), nil)
	if err != nil {
		t.Fatalf("%s: %v", white, err)
	}
	at := func(lnMass float64) (float64, palette.Optics) {
		m := math.Exp(lnMass)
		readings := film(tint, Mass{MgPerCM2: m * share})
		for i := range readings {
			rest := w.Powder.Scaled(m * (1 - share))
			readings[i].BinderK, readings[i].BinderS = rest.K, rest.S
		}
		f, err := FitPowder(append(readings, film(pure, Mass{MgPerCM2: 1, Err: 1})...), nil)
		if err != nil {
			t.Fatalf("%s and %s: %v", pure, tint, err)
		}
		return f.Chi2, f.Powder
	}
	best, powder, least := 0.0, palette.Optics{}, math.Inf(1)
	for x := -2.0; x <= 2; x += 0.1 {
		if c, p := at(x); c < least {
			best, powder, least = x, p, c
		}
	}
	return letDown{w.Powder, powder, math.Exp(best)}
}

// Two-constant mixing against measured films: each pigment and the white from
// pure films and one tint, the other mixtures of the two predicted, over black
// and over white, at the tint's thickness. A series without a pure film of each
// of its pigments is left out.
func TestPaintFilms(t *testing.T) {
	read, recipes := paintFilms(t)
	// The blacks read less than a mirror of oil's index alone: gloss was left out.
	reader, err := film.Lay{Index: 1.5}.Reader(colour.Photo)
	if err != nil {
		t.Fatal(err)
	}
	readings := func(name string, mass Mass) []Reading {
		var out []Reading
		for _, side := range []string{"b", "w"} {
			out = append(out, Reading{Film: name, Ground: read[name+"_"+side], Read: read[name+"_o"+side], Mass: mass, Reader: reader})
		}
		return out
	}
	pure := map[string]string{}
	for _, name := range slices.Sorted(maps.Keys(recipes)) {
		for pigment, share := range recipes[name] {
			if _, seen := pure[pigment]; share == 1 && !seen {
				pure[pigment] = name
			}
		}
	}
	const whitePigment = "ZincWhite"
	var all []float64
	for _, pigment := range slices.Sorted(maps.Keys(pure)) {
		var films []string // mixtures of the two alone, least pigment first
		for name, recipe := range recipes {
			if len(recipe) == 2 && recipe[pigment] > 0 && recipe[whitePigment] > 0 {
				films = append(films, name)
			}
		}
		if pigment == whitePigment || len(films) < 2 {
			continue
		}
		slices.SortFunc(films, func(a, b string) int {
			return int(math.Copysign(1, recipes[a][pigment]-recipes[b][pigment]))
		})
		tint := films[0]
		fit := fitLetDown(t, readings, pure[whitePigment], pure[pigment], tint, recipes[tint][pigment])
		for _, name := range films[1:] {
			share := recipes[name][pigment]
			rest := fit.white.Scaled(fit.mass * (1 - share))
			for i, r := range readings(name, Mass{MgPerCM2: fit.mass * share}) {
				r.BinderK, r.BinderS = rest.K, rest.S
				got, err := Predict(&fit.colour, &r)
				if err != nil {
					t.Fatal(err)
				}
				d := colour.DeltaE00(colour.D65.Lab(&r.Read), colour.D65.Lab(&got))
				t.Logf("%-16s %s over %s from %s and %s: ΔE00 %.2f", pigment, name, []string{"black", "white"}[i], pure[pigment], tint, d)
				all = append(all, d)
			}
		}
	}
	if len(all) == 0 {
		t.Fatal("no series has a pure film of each pigment and a tint")
	}
	mean := floats.Sum(all) / float64(len(all))
	t.Logf("mean %.2f over %d readings", mean, len(all))
	if mean > 3.3 {
		t.Errorf("mean ΔE00 %.2f, want at most 3.3", mean)
	}
}
