package reading

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"tawny/colour"
)

// ofWavelengths writes a file of two columns over a range.
func ofWavelengths(head string, first, last, step float64, value func(nm float64) float64) string {
	var b strings.Builder
	b.WriteString(head)
	for nm := first; nm <= last; nm += step {
		fmt.Fprintf(&b, "%g,%g\n", nm, value(nm))
	}
	return b.String()
}

func ramp(nm float64) float64        { return (nm - 300) / 500 }
func percentRamp(nm float64) float64 { return 100 * ramp(nm) }

func TestTwoColumns(t *testing.T) {
	for name, row := range map[string]struct {
		text     string
		excluded bool
		noted    bool
	}{
		"unit, 10 nm":         {ofWavelengths("wavelength,reflectance\n", 380, 730, 10, ramp), false, false},
		"unit, 5 nm, wider":   {ofWavelengths("wavelength_nm,R\n", 360, 780, 5, ramp), false, false},
		"unit, 20 nm":         {ofWavelengths("Wavelength,reflectance\n", 380, 740, 20, ramp), false, false},
		"per cent, header":    {ofWavelengths("wavelength,reflectance_percent\n", 380, 730, 10, percentRamp), false, false},
		"per cent, key":       {ofWavelengths("# scale: percent\nwavelength,r\n", 380, 730, 10, percentRamp), false, false},
		"per cent, detected":  {ofWavelengths("wavelength,r\n", 380, 730, 10, percentRamp), false, true},
		"excluded, with BOM":  {"\ufeff" + ofWavelengths("# specular: Excluded\nwavelength,r\n", 380, 730, 10, ramp), true, false},
		"blank lines, spaces": {"\n# a remark\n\n" + strings.ReplaceAll(ofWavelengths("wavelength , r\n", 380, 730, 10, ramp), ",", " , "), false, false},
		"CR LF":               {strings.ReplaceAll(ofWavelengths("wavelength,r\n", 380, 730, 10, ramp), "\n", "\r\n"), false, false},
	} {
		list, notes, err := Parse("a.csv", strings.NewReader(row.text))
		if err != nil || len(list) != 1 {
			t.Errorf("%s: %d samples, %v", name, len(list), err)
			continue
		}
		r := list[0]
		for i, got := range r.Spectrum {
			if want := ramp(colour.WavelengthNM(i)); math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: %g at %g nm, want %g", name, got, colour.WavelengthNM(i), want)
			}
		}
		if (r.Geometry == colour.DE) != row.excluded || strings.Contains(strings.Join(notes, "; "), "per cent") != row.noted || r.Viewing != colour.D65 || r.Lab != colour.D65.Lab(r.Spectrum) {
			t.Errorf("%s: %q, notes %q, %v", name, r.Geometry, notes, r.Lab)
		}
	}
}

func TestTwoColumnsRefuse(t *testing.T) {
	good := ofWavelengths("wavelength,r\n", 380, 730, 10, ramp)
	for name, row := range map[string]struct{ text, want string }{
		"empty":            {"", "a.csv:1: the file has no header"},
		"header only":      {"wavelength,r\n", "a.csv:1: no rows"},
		"no header":        {"380,0.1\n390,0.2\n", `a.csv:1: header: "380,0.1" names no colour`},
		"wrong header":     {strings.Replace(good, "wavelength", "length", 1), "names no colour; accepted: "},
		"three columns":    {strings.Replace(good, "\n400,", "\n400,1,", 1), "a.csv:4: 3 cells where the header has 2"},
		"a repeated row":   {strings.Replace(good, "\n400,", "\n390,", 1), "a.csv:4: wavelength: 390 nm was already given on line 3"},
		"a word":           {strings.Replace(good, "\n400,", "\n400,x", 1), "a.csv:4: r: "},
		"NaN":              {strings.Replace(good, "\n400,0.2", "\n400,NaN", 1), `a.csv:4: r: "NaN" is not a number`},
		"negative":         {strings.Replace(good, "\n400,", "\n400,-", 1), "a.csv:4: r: -0.2 is outside 0 to 200"},
		"over 200 %":       {ofWavelengths("wavelength,r_percent\n", 380, 730, 10, func(float64) float64 { return 201 }), "a.csv:2: r_percent: 201 is outside 0 to 200"},
		"a gap":            {ofWavelengths("wavelength,r\n", 380, 730, 25, ramp), "a gap of 25 nm between 380 and 405 nm; at most 20"},
		"too short":        {ofWavelengths("wavelength,r\n", 430, 680, 10, ramp), "samples cover 430 to 680 nm; at least 420 to 690"},
		"one row":          {"wavelength,r\n400,0.1\n", "at least two samples"},
		"unknown scale":    {"# scale: per mille\n" + good, `a.csv:1: scale: it is "per mille"; accepted: percent or unit`},
		"unknown specular": {"# specular: half\n" + good, `a.csv:1: specular: gloss "half" is not known; included or excluded is accepted`},
	} {
		_, _, err := Parse("a.csv", strings.NewReader(row.text))
		if err == nil || !strings.Contains(err.Error(), row.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v; want %q in it", name, err, row.want)
		}
	}
}
