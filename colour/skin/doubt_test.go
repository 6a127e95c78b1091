package skin

import (
	"slices"
	"strings"
	"testing"

	"tawny/colour"
)

// A spectrum as skin has it says nothing; the same with its red held down does,
// and is used as it is. Held down by 0.85 at 700 nm is what the archive's
// doubtful records are like.
func TestFlatInTheRed(t *testing.T) {
	for _, p := range Presets() {
		r := p.Reflectance
		for _, row := range []struct {
			hold float64
			want string
		}{{1, ""}, {0.95, ""}, {0.8, "flat in the red"}} {
			for i := range r {
				if nm := colour.WavelengthNM(i); nm > 620 {
					r[i] = p.Reflectance[i] * (1 + (row.hold-1)*min(1, (nm-620)/80))
				}
			}
			s, err := FromReading(colour.Reading{Text: "arm.csv", Lab: colour.D65.Lab(&r), Spectrum: &r})
			if err != nil {
				t.Fatal(err)
			}
			if s.Reflectance != r || s.Method != Measured || !strings.Contains(s.Note, row.want) || (row.want == "" && s.Note != "") {
				t.Errorf("%s held to %g: note %q", p.Name, row.hold, s.Note)
			}
		}
	}
}

// The archive's record 11510, L* 24.8 among fellows of 30 to 37, is found.
func TestHalfAsBright(t *testing.T) {
	list := func(lightness ...float64) (r []colour.Reading) {
		for _, l := range lightness {
			r = append(r, colour.Reading{Lab: colour.Lab{L: l, A: 8, B: 9}})
		}
		return r
	}
	for _, row := range []struct {
		l    []float64
		want []int
	}{
		{[]float64{35.1, 35.8, 37.4, 37.3, 24.8, 32.8, 34.4}, []int{4}},
		{[]float64{60, 61, 45, 60.5}, []int{2}},
		{[]float64{35.1, 35.8, 37.4, 32.8, 34.4}, nil},
		{[]float64{60, 40}, nil},
		{nil, nil},
	} {
		if got := HalfAsBright(list(row.l...)); !slices.Equal(got, row.want) {
			t.Errorf("%v: places %v, want %v", row.l, got, row.want)
		}
	}
}
