package flake

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

func TestParseLayers(t *testing.T) {
	for _, c := range []struct {
		text string
		want []Layer
	}{
		{"", nil},
		{"  ", nil},
		{"rutile:75", []Layer{{"rutile", 75}}},
		{"rutile:75+hematite:20", []Layer{{"rutile", 75}, {"hematite", 20}}},
		{" Tin Oxide : 8.5 + RUTILE:60 ", []Layer{{"tin oxide", 8.5}, {"rutile", 60}}},
		{"silica:0", []Layer{{"silica", 0}}},
	} {
		got, err := ParseLayers(c.text)
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"rutile", "material:thickness"},
		{"rutile:", "thickness"},
		{"rutile:thick", "thickness"},
		{"rutile:-3", "0 to 2000"},
		{"rutile:NaN", "0 to 2000"},
		{"rutile:Inf", "0 to 2000"},
		{"rutile:75+", "layer 2"},
		{"rutil:75", "did you mean rutile?"},
		{"haematite:40", "did you mean hematite?"},
		{"gold:75", "known are"},
		{strings.Repeat("silica:1+", 8) + "silica:1", "more than 8"},
	} {
		if _, err := ParseLayers(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: error %v, want one that says %q", c.text, err, c.want)
		}
	}
}

func FuzzParseLayers(f *testing.F) {
	for _, s := range []string{"", "rutile:75", "rutile:75+hematite:20", "a:b:c", "++", ":", "tin oxide:1e3", "rutile:0x1p4", "silica:\x00", "rütile:9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		layers, err := ParseLayers(text)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an error without words")
			}
			return
		}
		again, err := ParseLayers(FormatLayers(layers))
		if err != nil || !reflect.DeepEqual(layers, again) {
			t.Fatalf("%q gives %v, written and read again %v, %v", text, layers, again, err)
		}
		for _, l := range layers {
			if !(l.ThicknessNM >= 0 && l.ThicknessNM <= MaxCoatNM) || math.IsNaN(l.ThicknessNM) {
				t.Fatalf("%q gives a thickness of %g", text, l.ThicknessNM)
			}
		}
	})
}
