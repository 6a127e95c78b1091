package skin

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"tawny/colour"
)

// Each bump is one at its own point and the slopes are what they say.
func TestTerms(t *testing.T) {
	points := Lattice()
	if len(points) != Terms-Slopes {
		t.Fatalf("%d points for %d bumps", len(points), Terms-Slopes)
	}
	for i, p := range points {
		terms := TermsOf(p)
		if terms[Slopes+i] != 1 {
			t.Errorf("bump %d is %g at its own point", i, terms[Slopes+i])
		}
		for j, q := range points {
			d := math.Pow((p.L-q.L)/15, 2) + math.Pow((p.A-q.A)/6, 2) + math.Pow((p.B-q.B)/8, 2)
			if want := math.Exp(-d / 2); math.Abs(terms[Slopes+j]-want) > 1e-12 {
				t.Errorf("bump %d is %g at point %d, want %g", j, terms[Slopes+j], i, want)
			}
		}
	}
	if terms := TermsOf(colour.Lab{L: 63, A: 16, B: 6}); terms[0] != 1 || terms[1] != 1 || terms[2] != 1 || terms[3] != -1 {
		t.Errorf("slopes %v, want 1, 1, 1, -1", terms[:Slopes])
	}
}

func TestModelComesBackFromItsFile(t *testing.T) {
	back, err := readModel(bytes.NewReader(written(t, standard())))
	if err != nil {
		t.Fatal(err)
	}
	if back != *standard() {
		t.Error("the model written and read is another")
	}
}

func TestReadModelRefuses(t *testing.T) {
	good := string(modelCSV)
	for name, text := range map[string]string{
		"empty":        "",
		"header":       strings.Replace(good, strings.Join(modelKind.Header, ","), "wavelength,mean", 1),
		"band missing": good[:strings.LastIndex(strings.TrimSpace(good), "\n")+1],
		"band twice":   strings.Replace(good, "\n390,", "\n380,", 1),
		"band more":    good + "740" + strings.Repeat(",0", Terms) + "\n",
		"not finite":   strings.Replace(good, "\n390,", "\n390"+strings.Repeat(",NaN", Terms)+"\n400,", 1),
		"column more":  strings.Replace(good, "\n390,", "\n390,0,", 1),
		"readings":     strings.Replace(good, "# readings: ", "# readings: 1,", 1),
	} {
		if _, err := readModel(strings.NewReader(text)); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
}

func FuzzReadModel(f *testing.F) {
	f.Add(modelCSV)
	f.Add([]byte("# readings: 1,2,3,4,5,6\n" + strings.Join(modelKind.Header, ",") + "\n380,1,2,3,4\n"))
	f.Add([]byte("# readings: 1e300,0,0,0,0,0\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := readModel(bytes.NewReader(b))
		if err != nil {
			return
		}
		m.Mean(colour.Lab{L: 50, A: 10, B: 15})
	})
}
