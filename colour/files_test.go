package colour

import (
	"strings"
	"testing"
)

// A file on the grid comes back to the bit.
func TestResampleKeepsItsOwnGrid(t *testing.T) {
	var want Spectrum
	for i := range want {
		want[i] = 0.1 + 0.7*float64(i*i%17)/17.3
	}
	got, err := Resample(Wavelengths(), append([]float64(nil), want[:]...))
	if err != nil {
		t.Fatal(err)
	}
	if got != want {
		t.Error("samples on the grid changed in resampling")
	}
}

// What is too long is refused, not cut.
func TestLongFileIsRefused(t *testing.T) {
	text := "wavelength,power\n380,0.2\n730,0.3\n" + strings.Repeat("# filler filler filler\n", int(twoColumns.MaxBytes)/22)
	if _, err := ParseIlluminant("long.csv", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), "over 1 MB") {
		t.Errorf("error %v, want the length refused", err)
	}
}
