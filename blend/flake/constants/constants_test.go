package constants

import (
	"encoding/csv"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tawny/colour"
)

func TestDevore(t *testing.T) {
	// Handbook: rutile n_o 2.61, n_e 2.90 at the sodium line.
	if n := RutileOrdinary.N(589.3); math.Abs(n-2.613) > 0.002 {
		t.Errorf("n_o %.4f, want 2.613", n)
	}
	if n := RutileExtraordinary.N(589.3); math.Abs(n-2.909) > 0.004 {
		t.Errorf("n_e %.4f, want 2.909", n)
	}
}

// Values from the sources the fits stand for, so that the fits are held also
// where the whole table is not at hand: Querry's hematite, 2:1 mean of n and k,
// the anatase film, and fused silica by Malitson at 587.6 nm.
func TestQuotedValues(t *testing.T) {
	for _, c := range []struct {
		name     string
		nm, n, k float64
		inN, inK float64
	}{
		{"hematite", 400, (2*2.756 + 2.475) / 3, (2*1.294 + 1.096) / 3, 0.007, 0.007},
		{"hematite", 550, (2*3.318 + 2.927) / 3, (2*0.498 + 0.460) / 3, 0.007, 0.007},
		{"hematite", 600, (2*3.265 + 2.898) / 3, (2*0.149 + 0.186) / 3, 0.007, 0.007},
		{"hematite", 700, (2*2.972 + 2.675) / 3, (2*0.031 + 0.075) / 3, 0.007, 0.007},
		{"rutile", 589.3, (2*2.613 + 2.909) / 3, 0, 0.003, 0},
		{"anatase", 400, 2.7733, 0, 0.003, 0},
		{"anatase", 590, 2.4910, 0, 0.003, 0},
		{"silica", 587.6, 1.4585, 0, 0.0002, 0},
		{"tin oxide", 550, 2.00, 0, 0.01, 0},
	} {
		m, err := Find(c.name)
		if err != nil {
			t.Fatal(err)
		}
		z := m.Index(c.nm)
		if c.name == "hematite" {
			z = cmplx.Sqrt(Querry.Epsilon(c.nm)) // of whose k the material has a share
		}
		if math.Abs(real(z)-c.n) > c.inN || math.Abs(imag(z)-c.k) > c.inK {
			t.Errorf("%s at %g nm: %.4f + %.4fi, want %.4f + %.4fi", c.name, c.nm, real(z), imag(z), c.n, c.k)
		}
	}
}

func TestEveryMaterialIsPassive(t *testing.T) {
	for _, name := range Names() {
		m := registry[name]
		if m.Source == "" || m.Density < 1 || m.Density > 8 || !(m.Packing > 0.3 && m.Packing <= 1) {
			t.Errorf("%s: source %q, density %g, packing %g", m.Name, m.Source, m.Density, m.Packing)
		}
		for nm := 380.0; nm <= 730; nm++ {
			z := m.Index(nm)
			if !(imag(z) >= 0 && real(z) > 1 && real(z) < 4 && imag(z) < 2) {
				t.Fatalf("%s at %g nm: index %v", m.Name, nm, z)
			}
		}
		for b, eps := range m.OnGrid() {
			if cmplx.Abs(eps-m.Epsilon(colour.WavelengthNM(b))) > 1e-14 {
				t.Errorf("%s: band %d is %v", m.Name, b, eps)
			}
		}
	}
}

// The residuals quoted in the comments, against the table itself.
func TestQuotedFitErrors(t *testing.T) {
	table := readTable(t)
	hematite, _ := Find("hematite")
	anatase, _ := Find("anatase")
	var worstN, worstK, worstA, sumN, sumK float64
	for i, nm := range table["nm"] {
		z := cmplx.Sqrt(Querry.Epsilon(nm))
		if n := real(hematite.Index(nm)); math.Abs(n-real(z)) > 1e-12 {
			t.Errorf("hematite at %g nm: n %.4f, Querry's %.4f", nm, n, real(z))
		}
		dn := real(z) - (2*table["hematite_o_n"][i]+table["hematite_e_n"][i])/3
		dk := imag(z) - (2*table["hematite_o_k"][i]+table["hematite_e_k"][i])/3
		worstN, worstK = max(worstN, math.Abs(dn)), max(worstK, math.Abs(dk))
		sumN, sumK = sumN+dn*dn, sumK+dk*dk
		worstA = max(worstA, math.Abs(real(anatase.Index(nm))-table["anatase_n"][i]))
		if d := math.Abs(RutileOrdinary.N(nm) - table["rutile_o_n"][i]); d > 6e-5 {
			t.Errorf("rutile n_o at %g nm differs by %g", nm, d)
		}
	}
	count := float64(len(table["nm"]))
	t.Logf("hematite n: rms %.4f, largest %.4f; k: rms %.4f, largest %.4f; anatase n: largest %.4f",
		math.Sqrt(sumN/count), worstN, math.Sqrt(sumK/count), worstK, worstA)
	if worstN > 0.00635 || worstK > 0.00675 || math.Sqrt(sumN/count) > 0.00225 || math.Sqrt(sumK/count) > 0.00235 || worstA > 0.00275 {
		t.Error("the fits are worse than the comments say")
	}
}

// readTable reads the shared table of optical constants where there is one.
func readTable(t *testing.T) map[string][]float64 {
	dir := os.Getenv("TAWNY_DATA")
	if dir == "" {
		t.Skip("set TAWNY_DATA to the folder of optical-constants.csv")
	}
	f, err := os.Open(filepath.Join(dir, "optical-constants.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	table := map[string][]float64{}
	for _, row := range rows[1:] {
		for j, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			table[rows[0][j]] = append(table[rows[0][j]], v)
		}
	}
	return table
}

// Dimmed leaves n alone and takes the share of k told for that wavelength.
func TestDimmed(t *testing.T) {
	d := Dimmed{Querry, []float64{500, 540, 585}, []float64{1, 0.8, 0.2}}
	for _, c := range []struct{ nm, share float64 }{
		{400, 1}, {500, 1}, {510, 0.95}, {540, 0.8}, {570, 0.4}, {585, 0.2}, {700, 0.2},
	} {
		whole, got := cmplx.Sqrt(Querry.Epsilon(c.nm)), cmplx.Sqrt(d.Epsilon(c.nm))
		if want := complex(real(whole), imag(whole)*c.share); !(cmplx.Abs(got-want) < 1e-12) {
			t.Errorf("%g nm: %v, want %v", c.nm, got, want)
		}
	}
}

func TestFindSuggests(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"rutille", "did you mean rutile?"},
		{"tinoxide", "did you mean tin oxide?"},
		{"rotille", "did you mean rutile?"},              // two letters of seven
		{"rutxx", `unknown material "rutxx"; known are`}, // three of five
		{"", "known are"},
		{"zzzzzzzz", "known are"},
	} {
		if _, err := Find(c.name); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.name, err, c.want)
		}
	}
	if m, err := Find(" Rutile "); err != nil || m.Name != "rutile" {
		t.Errorf("Rutile: %v, %v", m, err)
	}
}
