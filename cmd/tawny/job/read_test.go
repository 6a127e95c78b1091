package job

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/colour"
)

const skinDemo = "../../../testdata/fit/skin-demo.csv"

// Samples by name are averaged, by number taken alone, and * is all of them.
func TestReadColourOfSample(t *testing.T) {
	forearm, err := desk.ReadColour(skinDemo + "#forearm")
	if err != nil {
		t.Fatal(err)
	}
	if forearm.SE == nil || forearm.SE.L <= 0 || colour.DeltaE00(forearm.Lab, colour.Lab{L: 55.1, A: 11.9, B: 18.6}) > 0.5 || !strings.Contains(forearm.Note, "mean of 4") {
		t.Errorf("%+v", forearm)
	}
	cheek, err := desk.ReadColour(skinDemo + "#5")
	if err != nil || cheek.SE != nil || cheek.Lab != (colour.Lab{L: 53.9, A: 14.2, B: 17.7}) {
		t.Errorf("%+v, %v", cheek, err)
	}
	all, err := desk.ReadColour(skinDemo + "#*")
	if err != nil || !strings.Contains(all.Note, "mean of 5") {
		t.Errorf("%+v, %v", all, err)
	}
	three, err := desk.ReadColour("lab:55.2,11.9,18.3/de; lab:54.8,12.1,18.5/de;lab:55.0,12.0,18.1/de")
	if err != nil || three.SE == nil || three.Geometry != colour.DE || math.Abs(three.Lab.L-55) > 1e-9 || math.Abs(three.SE.L-0.2/math.Sqrt(3)) > 1e-9 {
		t.Errorf("%+v, %v", three, err)
	}
	hex, err := desk.ReadColour("#8d5b3f")
	if err != nil || hex.Geometry != colour.Photo {
		t.Errorf("a hex: %+v, %v", hex, err)
	}
	// CGATS with spectra.
	lot, err := desk.ReadColour("../../../testdata/fit/pale-gold-lot-demo.txt#new lot")
	if err != nil || lot.Spectrum == nil {
		t.Errorf("%+v, %v", lot, err)
	}
}

// A file named with # in its own name is still that file.
func TestReadColourOfFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "skin #2.csv")
	text := "# specular: included\nwavelength,reflectance\n"
	for nm := 380; nm <= 730; nm += 10 {
		text += strings.ReplaceAll("NM,0.35\n", "NM", string(rune('0'+nm/100))+string(rune('0'+nm/10%10))+"0")
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	c, err := desk.ReadColour(path)
	if err != nil || c.Spectrum == nil || math.Abs(c.Spectrum[9]-0.35) > 1e-12 {
		t.Errorf("%+v, %v", c, err)
	}
}

func TestReadColourRefuses(t *testing.T) {
	for text, want := range map[string]string{
		skinDemo:                 "name one as",
		skinDemo + "#elbow":      "there are forearm, cheek",
		skinDemo + "#9":          "no sample",
		"none.csv#x":             "no such file",
		"puce":                   "not understood",
		";":                      "holds no colour",
		"lab:5,0,0;lab:6,0,0/de": "readings of one kind are accepted",
		"lab:5,0,0;x":            "not understood",
		"":                       "empty",
		"../../../go.mod#x":      "go.mod",
		"../../../testdata/fit":  "is not a file",
	} {
		if c, err := desk.ReadColour(text); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: want %q, got %+v, %v", text, want, c, err)
		}
	}
}

func TestRead(t *testing.T) {
	r, err := Read(desk, skinDemo)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Samples) != 5 || len(r.Means) != 1 || r.Means[0].N != 4 || r.Samples[0].Other["note"] == "" || r.Samples[0].Geometry != colour.DI {
		t.Errorf("%+v", r)
	}
	if _, err := Read(desk, "none.csv"); !errors.Is(err, ErrInput) {
		t.Error(err)
	}
}
