package colour

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestParseReading(t *testing.T) {
	for _, row := range []struct {
		text     string
		lab      Lab
		viewing  string
		geometry Geometry
	}{
		{"lab:64.1,11.3,14.4", Lab{64.1, 11.3, 14.4}, "D65/2", ""},
		{"  LAB: 64.1 , 11.3 , 14.4 ", Lab{64.1, 11.3, 14.4}, "D65/2", ""},
		{"lab:64.1,11.3,14.4@D65/2", Lab{64.1, 11.3, 14.4}, "D65/2", ""},
		{"lab:64.1,11.3,14.4@d50", Lab{64.1, 11.3, 14.4}, "D50/2", ""},
		{"lab:64.1,11.3,14.4@A/10°", Lab{64.1, 11.3, 14.4}, "A/10", ""},
		{"lab:64.1,11.3,14.4/de", Lab{64.1, 11.3, 14.4}, "D65/2", DE},
		{"lab:64.1,11.3,14.4@F11/10/DE", Lab{64.1, 11.3, 14.4}, "F11/10", DE},
		{"lab:64.1,11.3,14.4@D65/de/2", Lab{64.1, 11.3, 14.4}, "D65/2", DE},
		{"lab:64.1,11.3,14.4@D65/2/di", Lab{64.1, 11.3, 14.4}, "D65/2", DI},
		{"lab:64.1,11.3,14.4@FL2", Lab{64.1, 11.3, 14.4}, "F2/2", ""},
		{"lab:50,1,2@2700K", Lab{50, 1, 2}, "2700K/2", ""},
		{"lab:64.1,11.3,14.4/45", Lab{64.1, 11.3, 14.4}, "D65/2", At45},
		{"lab:64.1,11.3,14.4@D65/2/45", Lab{64.1, 11.3, 14.4}, "D65/2", At45},
		{"lab:64.1,11.3,14.4@A/10/photo", Lab{64.1, 11.3, 14.4}, "A/10", Photo},
		{"lch:50,20,90/Photo", Lab{50, 0, 20}, "D65/2", Photo},
		{"lab:0,0,0", Lab{}, "D65/2", ""},
		{"lab:100,-150,150", Lab{100, -150, 150}, "D65/2", ""},
		{"lch:50,20,90", Lab{50, 0, 20}, "D65/2", ""},
		{"lch:50,20,-90", Lab{50, 0, -20}, "D65/2", ""},
		{"#ffffff", Lab{100, 0, 0}, "D65/2", Photo},
		{"#fff", Lab{100, 0, 0}, "D65/2", Photo},
		{"#000000/de", Lab{}, "D65/2", DE},
	} {
		r, err := ParseReading(row.text)
		if err != nil {
			t.Errorf("%q: %v", row.text, err)
			continue
		}
		if DeltaE76(r.Lab, row.lab) > 0.02 || r.Viewing.Name() != row.viewing || r.Geometry != row.geometry || r.Spectrum != nil {
			t.Errorf("%q: %v under %s, geometry %q", row.text, r.Lab, r.Viewing.Name(), r.Geometry)
		}
		if (row.viewing == "D65/2") != (r.Viewing == D65) {
			t.Errorf("%q: the usual viewing must be D65 itself", row.text)
		}
	}
}

func TestParseReadingRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                 "empty",
		"  ":               "empty",
		"lab:":             "three separated by commas",
		"lab:1,2":          "2 numbers",
		"lab:1,2,3,4":      "4 numbers",
		"lab:x,2,3":        `"x" is not a finite number`,
		"lab:NaN,2,3":      `"NaN" is not a finite number`,
		"lab:50,Inf,3":     `"Inf" is not a finite number`,
		"lab:1e999,0,0":    "not a finite number",
		"lab:101,0,0":      "L* is 101; 0 to 100 is accepted",
		"lab:-1,0,0":       "L* is -1",
		"lab:50,151,0":     "a* is 151; -150 to 150 is accepted",
		"lab:50,0,-151":    "b* is -151",
		"lch:50,-1,0":      "C* is -1; 0 to 200 is accepted",
		"lch:50,20,361":    "h is 361; -360 to 360 degrees is accepted",
		"lab:50,0,0@":      "illuminant",
		"lab:50,0,0@D99":   `illuminant "D99" is not known; A, D50, D65`,
		"lab:50,0,0@D65/3": `observer "3" is not known; 2 or 10 is accepted`,
		"lab:50,0,0@100K":  "100 K is outside 1000 to 20000 K",
		"#12345":           "six hexadecimal digits",
		"#1234567":         "six hexadecimal digits",
		"#gggggg":          "six hexadecimal digits",
		"#":                "six hexadecimal digits",
		"#12345é":          "six hexadecimal digits",
		"teal":             "is not understood; lab:L,a,b",
	} {
		_, err := ParseReading(text)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v; want %q in it", text, err, want)
		}
	}
}

func TestReadingString(t *testing.T) {
	for _, text := range []string{"lab:64.10,11.30,14.40", "lab:64.10,11.30,14.40@A/10", "lab:64.10,11.30,14.40@F11/2/de", "lab:64.10,11.30,14.40/de", "lab:50.00,-3.00,2.00@2700K/10"} {
		r, err := ParseReading(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.String(); got != text {
			t.Errorf("%s is written %s", text, got)
		}
	}
	if got := (Reading{}).String(); got != "lab:0.00,0.00,0.00" {
		t.Errorf("the zero reading is written %s", got)
	}
}

// table writes a two-column file over a range.
func rowsOf(head string, first, last, step float64, value func(nm float64) float64) string {
	var b strings.Builder
	b.WriteString(head)
	for nm := first; nm <= last; nm += step {
		fmt.Fprintf(&b, "%g,%g\n", nm, value(nm))
	}
	return b.String()
}

func ramp(nm float64) float64 { return (nm - 300) / 500 }

// Resampling is linear between samples, the nearest value beyond them, and
// does not mind the order.
func TestResample(t *testing.T) {
	nm := []float64{700, 385, 395, 405, 415, 425, 435, 455, 465, 485, 505, 525, 545, 565, 585, 605, 625, 645, 665, 685}
	v := make([]float64, len(nm))
	for i, w := range nm {
		v[i] = ramp(w)
	}
	s, err := Resample(nm, v)
	if err != nil {
		t.Fatal(err)
	}
	for i, got := range s {
		want := ramp(math.Min(math.Max(WavelengthNM(i), 385), 700))
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%g nm: %g, want %g", WavelengthNM(i), got, want)
		}
	}
	nm[9] = 486 // 465, then 486
	if _, err := Resample(nm, v); err == nil || !strings.Contains(err.Error(), "a gap of 21 nm between 465 and 486 nm") {
		t.Errorf("a gap of 21 nm: %v", err)
	}
	nm[9] = 485
	// Beyond the grid a gap is no matter.
	if _, err := Resample(append([]float64{FirstNM - 80, FirstNM, 715, LastNM, LastNM + 90}, nm...), append(make([]float64, 5), v...)); err != nil {
		t.Errorf("gaps beyond the grid: %v", err)
	}
	if _, err := Resample(nm, v[1:]); err == nil {
		t.Error("columns of unequal length were accepted")
	}
	nm[3] = math.NaN()
	if _, err := Resample(nm, v); err == nil {
		t.Error("a wavelength that is no number was accepted")
	}
}

// Words are told from a notation and a file, so that what is not understood is
// answered with the words that are.
func TestInWords(t *testing.T) {
	for text, want := range map[string]bool{
		"dark brown": true, "dark, warm": true, "tan2": true, "decade": true,
		"b98a6e": false, "120000": false, "#b98a6e": false, "lab:1,2,3": false, "64,11,14": false, "skin.csv": false, "a/b": false,
	} {
		if InWords(text) != want {
			t.Errorf("%q in words: %t", text, !want)
		}
	}
}

func TestParseIlluminant(t *testing.T) {
	flat := func(float64) float64 { return 3 }
	l, err := ParseIlluminant("dir/follow spot.csv", strings.NewReader(rowsOf("wavelength,power\n", 380, 780, 10, flat)))
	if err != nil || l.Name != "follow spot" {
		t.Fatalf("%q, %v", l.Name, err)
	}
	// An equal-energy light sees x = y = 1/3 (CIE 15), less what lies beyond
	// 380 to 780 nm, which is next to nothing.
	w := NewViewing(l, CIE1931).White()
	if math.Abs(w.X-100) > 0.1 || math.Abs(w.Z-100) > 0.1 {
		t.Errorf("equal energy: white %v, want (100, 100, 100)", w)
	}
	l, err = ParseIlluminant("a.csv", strings.NewReader("# name: my lamp\n"+rowsOf("wavelength,power\n", 400, 720, 20, flat)))
	if err != nil || l.Name != "my lamp" {
		t.Errorf("%q, %v", l.Name, err)
	}
	for name, row := range map[string]struct{ text, want string }{
		"empty":    {"", "no header"},
		"dark":     {rowsOf("wavelength,power\n", 380, 780, 10, func(float64) float64 { return 0 }), "no power between 400 and 700 nm"},
		"negative": {rowsOf("wavelength,power\n", 380, 780, 10, func(float64) float64 { return -1 }), "power of at least 0"},
		"short":    {rowsOf("wavelength,power\n", 430, 690, 10, flat), "at least 420 to 700 nm is needed"},
		"falling":  {"wavelength,power\n700,1\n400,1\n", "wavelengths must rise"},
		"one row":  {"wavelength,power\n700,1\n", "at least two rows"},
	} {
		if _, err := ParseIlluminant("a.csv", strings.NewReader(row.text)); err == nil || !strings.Contains(err.Error(), row.want) || !strings.Contains(err.Error(), "a.csv") {
			t.Errorf("%s: %v; want %q in it", name, err, row.want)
		}
	}
}

func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"lab:64.1,11.3,14.4", "lab:64.1,11.3,14.4@A/10/de", "lch:64.1,18.3,51.9", "#b98a6e", "#fff/de", "lab:1,2", "lab:NaN,0,0", "lab:0,0,0@", "lab:50,0,0@1e9K", "@", "lab:50,1,1@2700K/10", "lch:0,200,-360"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		lower := strings.ToLower(strings.TrimSpace(text))
		if !strings.HasPrefix(lower, "lab:") && !strings.HasPrefix(lower, "lch:") && !strings.HasPrefix(lower, "#") {
			return // would be a file's name
		}
		r, err := ParseReading(text)
		if err != nil {
			return
		}
		if !r.Lab.Finite() || r.Lab.L < -1e-9 || r.Lab.L > 100+1e-9 || r.Viewing == nil {
			t.Fatalf("%q: %v under %v", text, r.Lab, r.Viewing)
		}
		back, err := ParseReading(r.String())
		if r.Lab.Chroma() > 150 {
			return // an lch: of chroma up to 200 is written as lab:, which stops at 150
		}
		if err != nil {
			t.Fatalf("%q is written %q: %v", text, r, err)
		}
		if DeltaE76(back.Lab, r.Lab) > 0.01 || back.Geometry != r.Geometry || back.Viewing.Name() != r.Viewing.Name() {
			t.Errorf("%q is written %q", text, r)
		}
	})
}

func FuzzParseIlluminant(f *testing.F) {
	f.Add(rowsOf("wavelength,power\n", 380, 780, 10, ramp))
	f.Add("# name: lamp\nwavelength,power\n400,1\n720,2\n")
	f.Add("wavelength,power\n400,1e308\n720,1e308\n")
	f.Add("wavelength,power\n400,1e-320\n720,1e-320\n")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := ParseIlluminant("fuzz.csv", strings.NewReader(text))
		if err != nil {
			return
		}
		v := NewViewing(l, CIE1931)
		w := v.White()
		if !finite(w.X) || !finite(w.Z) || math.Abs(w.Y-100) > 1e-6 {
			t.Errorf("white %v", w)
		}
	})
}
