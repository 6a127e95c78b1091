package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"tawny/colour"
	"tawny/colour/skin"
)

// subjects reads the NIST skin data, or skips the test where it is not to hand.
func subjects(t testing.TB) []Subject {
	t.Helper()
	dir := os.Getenv("TAWNY_DATA")
	if dir == "" {
		dir = filepath.Join(moduleRoot(t), "..", "shared", "data")
	}
	f, err := os.Open(filepath.Join(dir, "skin-reflectance-nist.csv"))
	if err != nil {
		t.Skip("the NIST skin data is not here; set TAWNY_DATA to its directory to run this test")
	}
	defer f.Close()
	s, err := ReadSubjects(f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func moduleRoot(t testing.TB) string {
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if filepath.Dir(dir) == dir {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
}

// The committed model is what this program makes of the data, and its
// undertone limit is what the comment says.
func TestCommittedModelIsTheFit(t *testing.T) {
	all := subjects(t)
	m, err := Fit(all)
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := m.Write(&got, note); err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile("../model.csv")
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Error("colour/skin/model.csv is not what the fit gives; run it again")
	}
	_, away := fitHue(all)
	cool, neutral, warm := 0, 0, 0
	var size []float64
	for _, d := range away {
		size = append(size, math.Abs(d))
		switch {
		case d < -skin.NeutralDegrees:
			cool++
		case d > skin.NeutralDegrees:
			warm++
		default:
			neutral++
		}
	}
	sort.Float64s(size)
	median := size[len(size)/2]
	t.Logf("undertone: %d cool, %d neutral, %d warm; median distance %.2f°", cool, neutral, warm, median)
	if got := math.Round(2*median) / 2; got != skin.NeutralDegrees {
		t.Errorf("the median distance to the nearest half degree is %g°, the undertone's limit %g°", got, skin.NeutralDegrees)
	}
}

// Subjects made from a known model give back a model that spans them: their
// spectra are rebuilt from three numbers to rounding.
func TestFitFindsAKnownModel(t *testing.T) {
	truth := skin.Standard()
	rng := rand.New(rand.NewPCG(11, 12))
	made := make([]Subject, 40)
	for i := range made {
		made[i] = Subject{Number: i, Reflectance: truth.At([3]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}, false)}
	}
	m, err := Fit(made)
	if err != nil {
		t.Fatal(err)
	}
	for i := range made {
		c := made[i].Lab()
		s, err := m.Solve(c, colour.D65, false)
		if err != nil {
			t.Fatal(err)
		}
		r := m.At(s, false)
		if rms := colour.RMS(&r, &made[i].Reflectance); rms > 1e-8 {
			t.Errorf("subject %d is off by %.2g", i, rms)
		}
		if !m.Inside(s) {
			for k := range s {
				if s[k] < m.Low[k]-1e-6 || s[k] > m.High[k]+1e-6 {
					t.Errorf("subject %d scores %v outside %v to %v", i, s, m.Low, m.High)
				}
			}
		}
	}
}

func TestFitNeedsSubjects(t *testing.T) {
	if _, err := Fit(make([]Subject, 3)); err == nil {
		t.Error("three subjects were accepted")
	}
}

func row(number, value string) string {
	return number + strings.Repeat(","+value, colour.Bands) + "\n"
}

func header() string {
	var b strings.Builder
	b.WriteString("subject")
	for i := 0; i < colour.Bands; i++ {
		b.WriteString("," + string(rune('0'+(380+10*i)/100)) + string(rune('0'+(380+10*i)/10%10)) + "0")
	}
	return b.String() + "\n"
}

func TestReadSubjectsRefuses(t *testing.T) {
	if s, err := ReadSubjects(strings.NewReader("# remark\n" + header() + row("7", "0.4"))); err != nil || len(s) != 1 || s[0].Number != 7 {
		t.Fatalf("good file: %v, %v", s, err)
	}
	for name, text := range map[string]string{
		"header":    row("subject", "380"),
		"columns":   header() + "1,0.4\n",
		"number":    header() + row("one", "0.4"),
		"too dark":  header() + row("1", "0.02"),
		"too light": header() + row("1", "1.1"),
		"NaN":       header() + row("1", "NaN"),
	} {
		if _, err := ReadSubjects(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), "line ") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func FuzzReadSubjects(f *testing.F) {
	f.Add(header() + row("1", "0.4"))
	f.Add("subject,380\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ReadSubjects(strings.NewReader(text))
		if err != nil {
			return
		}
		for i := range s {
			for _, r := range s[i].Reflectance {
				if !(r > skin.Surface && r < 1) {
					t.Fatalf("reflectance %g was let in", r)
				}
			}
		}
	})
}
