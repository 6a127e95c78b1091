package job

import (
	"strings"
	"testing"

	"tawny/colour"
)

func TestBandsRoundTrip(t *testing.T) {
	var r colour.Reading
	r.Spectrum = new(colour.Spectrum)
	for j := range r.Spectrum {
		r.Spectrum[j] = float64(j*211%9000) / 1e4
	}
	r.Geometry = colour.At45
	got, err := parseBands(strings.TrimPrefix(formatBands(r), bandsPrefix))
	if err != nil || *got.Spectrum != *r.Spectrum || got.Geometry != colour.At45 {
		t.Errorf("%v, %v", got, err)
	}
}

// Seen on stage, a look is compared with daylight and not with itself.
func TestSecondLight(t *testing.T) {
	for light, want := range map[string]string{"D65": "stage", "A": "stage", "stage": "D65"} {
		s, err := Input{Skin: "tan", Illuminant: light}.open()
		if err != nil || s.second.Illuminant.Name != want {
			t.Errorf("seen in %s the second light is %q, %v", light, s.second.Illuminant.Name, err)
		}
	}
}
