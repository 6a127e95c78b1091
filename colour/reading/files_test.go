package reading

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"tawny/colour"
	"tawny/colour/skin"
)

const testdata = "../../testdata/reading/"

var update = flag.Bool("update", false, "write the files that other tools then read")

// reflect is a plain skin-like spectrum, 0 to 1.
func reflect(k int, nm float64) float64 {
	return 0.12 + 0.08*float64(k) + 0.40/(1+math.Exp(-(nm-580-5*float64(k))/30))
}

func spectrum(k int) *colour.Spectrum {
	var s colour.Spectrum
	for i := range s {
		s[i] = reflect(k, colour.WavelengthNM(i))
	}
	return &s
}

func parse(t testing.TB, text string) ([]Sample, Notes) {
	t.Helper()
	s, notes, err := Parse("file.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s, notes
}

// One set of samples written in every dialect must come out the same.
func TestDialectsAgree(t *testing.T) {
	row := func(k int, delimiter, point string, factor float64, from, to int) string {
		var b strings.Builder
		for nm := from; nm <= to; nm += 10 {
			b.WriteString(delimiter + strings.Replace(strconv.FormatFloat(reflect(k, float64(nm))*factor, 'g', -1, 64), ".", point, 1))
		}
		return b.String()
	}
	header := func(format, delimiter string, from, to int) string {
		var b strings.Builder
		for nm := from; nm <= to; nm += 10 {
			b.WriteString(delimiter + fmt.Sprintf(format, nm))
		}
		return b.String()
	}
	wide := func(first, format, delimiter, point string, factor float64) string {
		var b strings.Builder
		b.WriteString(first + header(format, delimiter, 380, 730) + "\n")
		for k := range 3 {
			b.WriteString("wrist " + strconv.Itoa(k) + row(k, delimiter, point, factor, 380, 730) + "\n")
		}
		return b.String()
	}
	long := func(head, delimiter, point string, factor float64) string {
		var b strings.Builder
		b.WriteString(head + "\n")
		for nm := 380; nm <= 730; nm += 10 {
			b.WriteString(strconv.Itoa(nm))
			for k := range 3 {
				b.WriteString(delimiter + strings.Replace(strconv.FormatFloat(reflect(k, float64(nm))*factor, 'g', -1, 64), ".", point, 1))
			}
			b.WriteString("\n")
		}
		return b.String()
	}
	utf := func(s string) string {
		var b bytes.Buffer
		b.WriteString("\xff\xfe")
		for _, u := range utf16.Encode([]rune(s)) {
			b.WriteByte(byte(u))
			b.WriteByte(byte(u >> 8))
		}
		return b.String()
	}
	plain := wide("name", "%d", ",", ".", 1)
	for label, text := range map[string]string{
		"bare":             plain,
		"R400":             wide("Name", "R%d", ",", ".", 1),
		"400nm":            wide("sample", "%dnm", ",", ".", 1),
		"400 nm":           wide("Sample Name", "%d nm", ",", ".", 1),
		"SPEC_400":         wide("SAMPLE_ID", "SPEC_%d", ",", ".", 1),
		"R_400":            wide("id", "R_%d", ",", ".", 1),
		"SPECTRAL_NM400":   wide("label", "SPECTRAL_NM%d", "\t", ".", 1),
		"%R400":            wide("name", "%%R%d", ",", ".", 100),
		"400[nm]":          wide("name", "%d[nm]", ";", ".", 1),
		"semicolon comma":  wide("name", "R%d", ";", ",", 1),
		"tab comma":        wide("name", "R%d", "\t", ",", 100),
		"stated per cent":  "# scale: percent\n" + wide("name", "R%d", ",", ".", 100),
		"seen per cent":    wide("name", "R%d", ",", ".", 100),
		"utf-16":           utf(plain),
		"utf-8 mark":       "\ufeff" + plain,
		"carriage returns": strings.ReplaceAll(plain, "\n", "\r\n"),
		"blank rows":       strings.ReplaceAll(plain, "\n", "\n"+strings.Repeat(",", 36)+"\n\n"),
		"trailing commas":  strings.ReplaceAll(plain, "\n", ",,\n"),
		"long":             long("wavelength,wrist 0,wrist 1,wrist 2", ",", ".", 1),
		"long per cent":    long("Wavelength (nm);wrist 0;wrist 1;wrist 2", ";", ",", 100),
		"long tab":         long("nm\twrist 0\twrist 1\twrist 2", "\t", ".", 1),
	} {
		t.Run(label, func(t *testing.T) {
			samples, _ := parse(t, text)
			if len(samples) != 3 {
				t.Fatalf("%d samples, want 3", len(samples))
			}
			for k, s := range samples {
				if s.Name != fmt.Sprintf("wrist %d", k) || s.Geometry == colour.DE || s.Viewing != colour.D65 || s.Spectrum == nil {
					t.Fatalf("sample %d is %+v", k, s)
				}
				if d := colour.RMS(s.Spectrum, spectrum(k)); d > 1e-12 {
					t.Errorf("sample %d: spectrum off by %g", k, d)
				}
			}
		})
	}
}

func TestScaleIsJudgedOverAllSamples(t *testing.T) {
	text := "name"
	dark, light := "black", "white"
	for nm := 400; nm <= 700; nm += 10 {
		text += fmt.Sprintf(",%d", nm)
		dark += ",0.9" // 0.9 %
		light += ",91"
	}
	s, notes := parse(t, text+"\n"+dark+"\n"+light+"\n")
	if got := s[0].Spectrum[10]; math.Abs(got-0.009) > 1e-15 {
		t.Errorf("the dark sample reads %g; with a white one beside it, it is in per cent: 0.009", got)
	}
	if !strings.Contains(strings.Join(notes, "\n"), "per cent") {
		t.Errorf("nothing is said of the scale that was guessed: %q", notes)
	}
	_, notes = parse(t, "# scale: percent\n# specular: included\n"+text+"\n"+dark+"\n"+light+"\n")
	if len(notes) != 0 {
		t.Errorf("a file that says everything still has notes: %q", notes)
	}
}

func TestConditions(t *testing.T) {
	a := colour.NewViewing(func() colour.Illuminant { l, _ := colour.FindIlluminant("A"); return l }(), colour.CIE1964)
	for _, c := range []struct {
		text     string
		geometry colour.Geometry
		viewing  string
	}{
		{"name,L,a,b\nx,50,1,2\n", "", "D65/2"},
		{"# specular: excluded\n# illuminant: A\n# observer: 10\nname,L*,a*,b*\nx,50,1,2\n", colour.DE, "A/10"},
		{"# specular: 45°:0°\nname,CIE L,CIE a,CIE b\nx,50,1,2\n", colour.At45, "D65/2"},
		{"# specular: SCI\n#observer:10°\nname;LAB_L;LAB_A;LAB_B\nx;50,0;1,5;2\n", colour.DI, "D65/10"},
		{"name,L*(10°/D65),a*(10°/D65),b*(10°/D65)\nx,50,1,2\n", "", "D65/10"},
		{"# geometry: d/8\n# specular: excluded\nname,L,a,b\nx,50,1,2\n", colour.DE, "D65/2"},
		{"# geometry: 45/0\n# specular: excluded\nname,L,a,b\nx,50,1,2\n", colour.At45, "D65/2"},
		{"name,geometry,L,a,b\nx,photo,50,1,2\n", colour.Photo, "D65/2"},
		{"name,L*(SCE),a*(SCE),b*(SCE)\nx,50,1,2\n", colour.DE, "D65/2"},
		{"name,specular,illuminant,observer,L,a,b\nx,excluded,A,10,50,1,2\n", colour.DE, "A/10"},
		{"name,L*(10\xb0/A),a*(10\xb0/A),b*(10\xb0/A)\nx,50,1,2\n", "", "A/10"}, // Latin-1
	} {
		s, _ := parse(t, c.text)
		if s[0].Geometry != c.geometry || s[0].Viewing.Name() != c.viewing {
			t.Errorf("%q: %q under %s, want %q under %s", c.text, s[0].Geometry, s[0].Viewing.Name(), c.geometry, c.viewing)
		}
		if s[0].Lab.L != 50 {
			t.Errorf("%q: L* %g, want 50", c.text, s[0].Lab.L)
		}
	}
	text := "# illuminant: A\n# observer: 10\nname"
	values := "x"
	for nm := 400; nm <= 700; nm += 20 {
		text += fmt.Sprintf(",R%d", nm)
		values += fmt.Sprintf(",%g", reflect(0, float64(nm)))
	}
	s, _ := parse(t, text+"\n"+values+"\n")
	if want := a.Lab(s[0].Spectrum); s[0].Lab != want {
		t.Errorf("a spectrum under A/10 is %v, want %v", s[0].Lab, want)
	}
}

func TestSpectrumAndLabAreCompared(t *testing.T) {
	text := "# specular: included\n# scale: unit\n# illuminant: D65\nname,L,a,b"
	values := ""
	for nm := 400; nm <= 700; nm += 10 {
		text += fmt.Sprintf(",R%d", nm)
		values += ",0.5"
	}
	_, notes := parse(t, text+"\nx,76.07,0,0"+values+"\n") // L* of Y = 50 is 76.07
	if len(notes) != 0 {
		t.Errorf("agreeing numbers are remarked on: %q", notes)
	}
	_, notes = parse(t, text+"\nx,60,0,0"+values+"\n")
	if len(notes) != 1 || !strings.Contains(notes[0], "the spectrum is used") {
		t.Errorf("an L* 16 off the spectrum passes with %q", notes)
	}
}

func TestOtherColumnsAreKept(t *testing.T) {
	s, _ := parse(t, "name,ground,load,L,a,b\n\"gold, first\",white,5,50,1,2\nx,black,,40,1,2\n")
	if s[0].Name != "gold, first" || s[0].Other["ground"] != "white" || s[0].Other["load"] != "5" || s[0].Line != 2 {
		t.Errorf("%+v", s[0])
	}
	if _, have := s[1].Other["load"]; have {
		t.Error("an empty cell is kept")
	}
}

// Every fault is one error with file, line, what is wrong and what would do.
// everyTen is a reflectance every 10 nm, other at some of them.
func everyTen(value float64, other map[int]float64) string {
	var w strings.Builder
	for nm := 400; nm <= 700; nm += 10 {
		v, have := other[nm]
		if !have {
			v = value
		}
		fmt.Fprintf(&w, "%d,%g\n", nm, v)
	}
	return w.String()
}

// No skin returns all the light, though shimmer read near its gleam returns more:
// where a file says so is kept for whoever wants a skin.
func TestBrightIsLocated(t *testing.T) {
	for text, want := range map[string]string{
		"wavelength,a\n" + everyTen(0.4, map[int]float64{450: 1.2}):                  "f:7: a: reflectance 1.2 at 450 nm; accepted: more than 0 and less than 1",
		"# scale: percent\nwavelength,a\n" + everyTen(40, map[int]float64{450: 120}): "f:8: a: reflectance 120 at 450 nm; accepted: more than 0 and less than 100",
	} {
		s, _, err := Parse("f", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		mean, err := Average([]colour.Reading{s[0].Reading, s[0].Reading})
		if err != nil {
			t.Fatal(err)
		}
		if mean.Bright == nil || mean.Bright.Error() != want {
			t.Errorf("%v, want %q", mean.Bright, want)
		}
		if _, err := skin.FromReading(mean.Reading); err == nil || err.Error() != want {
			t.Errorf("as a skin: %v, want %q", err, want)
		}
	}
}

func TestFaultsAreNamed(t *testing.T) {
	bands := "name"
	values := ""
	for nm := 400; nm <= 700; nm += 10 {
		bands += fmt.Sprintf(",R%d", nm)
		values += ",0.5"
	}
	cgats := func(format, data string) string {
		return "CGATS.17\nNUMBER_OF_SETS 1\nBEGIN_DATA_FORMAT\n" + format + "\nEND_DATA_FORMAT\nBEGIN_DATA\n" + data + "\nEND_DATA\n"
	}
	for _, c := range []struct{ text, want string }{
		{"", "no header"},
		{"# only: comments\n", "no header"},
		{"name,L,a\nx,1,2\n", "f:1: header: "},
		{"name,L,a,b\n", "f:1: no rows"},
		{"name,L,a,b\nx,fifty,1,2\n", `f:2: L: "fifty" is not a number`},
		{"name,L,a,b\nx,NaN,1,2\n", `f:2: L: "NaN" is not a number`},
		{"name,L,a,b\nx,0x1p3,1,2\n", `f:2: L: "0x1p3" is not a number`},
		{"name,L,a,b\nx,50,1\n", "f:2: 3 cells where the header has 4"},
		{"name,L,a,b\nx,250,1,2\n", "f:2: L: 250 is outside 0 to 200"},
		{"name,L,a,b\nx,50,-151,2\n", "f:2: a: -151 is outside -150 to 150"},
		{"name,L,a,b\nx,,,\n", "f:2: x: it has neither a spectrum nor"},
		{"name;L;a;b\nx;1.234,5;1;2\n", `f:2: L: "1.234,5" is not a number`},
		{"name,L,a,b\n\"x,50,1,2\n", "f:2: the quotes do not close"},
		{"# specular: perhaps\nname,L,a,b\nx,50,1,2\n", "f:1: specular: gloss \"perhaps\" is not known; included or excluded"},
		{"# observer: 5\nname,L,a,b\nx,50,1,2\n", "f:1: observer: "},
		{"\n# illuminant: candle\nname,L,a,b\nx,50,1,2\n", "f:2: illuminant: "},
		{"# observer: 2\nname,L(10°),a(10°),b(10°)\nx,50,1,2\n", "make them agree"},
		{"name,specular,L,a,b\nx,maybe,50,1,2\n", "f:2: specular: gloss \"maybe\""},
		{"# scale: some\n" + bands + "\nx" + values + "\n", "f:1: scale: it is \"some\"; accepted: percent or unit"},
		{bands + ",400nm\nx" + values + ",0.5\n", `f:1: columns "R400" and "400nm" are both 400 nm`},
		{bands + "\nx" + strings.Replace(values, "0.5", "-0.1", 1) + "\n", "f:2: R400: -0.1 is outside 0 to 200"},
		{bands + "\nx" + strings.Replace(values, "0.5", "300", 1) + "\n", "f:2: R400: 300 is outside 0 to 200"},
		{bands + "\nx" + strings.Replace(values, "0.5,0.5,0.5", "0.5,,", 1) + "\n", "f:2: R430: a gap of"},
		{"name,R400,R500\nx,0.5,0.5\n", "f:2: R500: a gap of 100 nm"},
		{"wavelength,value\n400,0.5\n400,0.5\n", "f:3: wavelength: 400 nm was already given on line 2"},
		{"wavelength,value\n\n400,x\n", `f:3: value: "x" is not a number`},
		{"wavelength,value\n400,0.5\n700,0.5\n", "f:3: value: a gap of"},
		{"# scale: unit\nwavelength,a,b\n400,0.5,0.5\n410,0.5,3\n", "f:4: b: it is 3; accepted: 0 to 2"},
		{"wavelength,a,b\n400,0.5\n", "f:2: 2 cells"},
		// A value is told as it stands in the file, whatever its scale.
		{"wavelength,a\n" + everyTen(0.45, map[int]float64{600: 4.5}), "f:22: a: reflectance 4.5 at 600 nm is 10 times its neighbours"},
		{"<?xml version=\"1.0\"?>", "XML"},
		{"PK\x03\x04rest", "spreadsheet workbook"},
		{"a\x00b", "not text"},
		{cgats("SAMPLE_ID LAB_L LAB_A LAB_B", "1 50 1"), "f:7: this set has 3 values; the format has 4"},
		{cgats("SAMPLE_ID LAB_L LAB_A LAB_B", "1 50 1 2 3"), "f:7: this set has more than 4"},
		{cgats("SAMPLE_ID LAB_L LAB_A LAB_B", "1 50 1 2\n2 50 1 2"), "f:2: NUMBER_OF_SETS is 1 but 2 sets follow"},
		{cgats("SAMPLE_ID LAB_L LAB_A LAB_B", "1 50 one 2"), `f:7: LAB_A: "one" is not a number`},
		{cgats("SAMPLE_ID CMYK_C", "1 50"), "holds no colour"},
		{cgats("SAMPLE_ID LAB_L LAB_A LAB_B", "\"1 50 1 2"), "f:7: a quote opens"},
		{cgats("SAMPLE_ID SPECTRAL_400 SPEC_400 SPECTRAL_420", "1 1 1 1"), "both 400 nm"},
		{"NUMBER_OF_FIELDS 3\n" + cgats("SAMPLE_ID LAB_L LAB_A LAB_B", "1 50 1 2"), "f:1: NUMBER_OF_FIELDS is 3 but 4"},
		{"BEGIN_DATA\n1 2\nEND_DATA\n", "f:1: BEGIN_DATA comes before"},
		{"BEGIN_DATA_FORMAT\nLAB_L\n", "f:1: BEGIN_DATA_FORMAT has no END"},
		{"BEGIN_DATA_FORMAT\nLAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2 3\n", "f:4: BEGIN_DATA has no END_DATA"},
		{"BEGIN_DATA_FORMAT\nEND_DATA_FORMAT\n", "names no fields"},
	} {
		s, _, err := Parse("f", strings.NewReader(c.text))
		if err == nil {
			t.Errorf("%q is read as %v; want an error with %q", c.text, s, c.want)
		} else if !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %q, want one line with %q", c.text, err, c.want)
		}
	}
}

func TestLimits(t *testing.T) {
	if _, _, err := Parse("f", &endless{}); err == nil || !strings.Contains(err.Error(), "over 16 MB") {
		t.Errorf("an endless file: %v", err)
	}
	rows := "L,a,b\n" + strings.Repeat("50,1,2\n", MaxSamples+1)
	if _, _, err := Parse("f", strings.NewReader(rows)); err == nil || !strings.Contains(err.Error(), "more than 20000 rows") {
		t.Errorf("too many samples: %v", err)
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		if p[i] = '1'; i%99 == 98 {
			p[i] = '\n'
		}
	}
	return len(p), nil
}

// The file is written by Little CMS, so field names, quotes and layout are
// another program's reading of the format.
func TestCGATSByAnotherHand(t *testing.T) {
	s, notes, err := readFile(testdata + "lcms.cgats.txt")
	if err != nil {
		t.Fatal(err)
	}
	if len(s) != 5 {
		t.Fatalf("%d samples, want 3 spectra and 2 L*a*b*", len(s))
	}
	for k := range 3 {
		if s[k].Name != fmt.Sprintf("dancer %d wrist", k+1) || s[k].Other["SAMPLE_ID"] != strconv.Itoa(k+1) || s[k].Viewing.Name() != "D50/2" {
			t.Errorf("%+v", s[k])
		}
		for nm := 400; nm <= 700; nm += 20 {
			if got, want := s[k].Spectrum[(nm-380)/10], reflect(k, float64(nm)); math.Abs(got-want) > 6e-6 {
				t.Errorf("sample %d at %d nm: %g, want %g", k, nm, got, want)
			}
		}
	}
	if s[3].Name != "A1" || s[3].Lab != (colour.Lab{L: 63.25, A: 10.5, B: 15.125}) || s[4].Lab != (colour.Lab{L: 41.5, A: 12.75, B: 18}) {
		t.Errorf("table 2: %+v, %+v", s[3], s[4])
	}
	if !strings.Contains(strings.Join(notes, "\n"), "per cent") {
		t.Errorf("the scale was guessed in silence: %q", notes)
	}
}

func TestCGATSForms(t *testing.T) {
	text := `ISO28178
# a comment: of no matter
ORIGINATOR "demo ""wardrobe"" workshop"   # and one here
MEASUREMENT_GEOMETRY "45/0"
WEIGHTING_FUNCTION "ILLUMINANT, D65"
WEIGHTING_FUNCTION "OBSERVER, 10 degree"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_NAME
LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
"wrist # 1" 60.5
  10 15
"she said ""oil""" 50 1 2
END_DATA
SPECULAR "included"
NUMBER_OF_SETS 1
BEGIN_DATA
again 70 1 2
END_DATA
BEGIN_DATA_FORMAT SAMPLE_ID D_VIS END_DATA_FORMAT
BEGIN_DATA
7 0.3
END_DATA
`
	s, notes := parse(t, text)
	if len(s) != 3 {
		t.Fatalf("%d samples, want 3: %v", len(s), s)
	}
	if s[0].Name != "wrist # 1" || s[1].Name != `she said "oil"` || s[0].Lab != (colour.Lab{L: 60.5, A: 10, B: 15}) || s[0].Line != 14 {
		t.Errorf("%+v, %+v", s[0], s[1])
	}
	if s[0].Geometry != colour.At45 || s[0].Viewing.Name() != "D65/10" || s[2].Geometry != colour.DI || s[2].Name != "again" {
		t.Errorf("conditions: %q %s, then %q", s[0].Geometry, s[0].Viewing.Name(), s[2].Geometry)
	}
	if !strings.Contains(strings.Join(notes, "\n"), "table 3 holds neither") {
		t.Errorf("the density table is passed over in silence: %q", notes)
	}
	pairs := "BEGIN_DATA_FORMAT\nSAMPLE_ID"
	data := "1"
	for nm := 400; nm <= 700; nm += 20 {
		pairs += " SPECTRAL_NM SPECTRAL_PCT"
		data += fmt.Sprintf(" %d 1,500", nm) // with a decimal comma
	}
	s, _ = parse(t, pairs+"\nEND_DATA_FORMAT\nBEGIN_DATA\n"+data+"\nEND_DATA\n")
	if s[0].Spectrum == nil || math.Abs(s[0].Spectrum[9]-0.015) > 1e-15 {
		t.Errorf("pairs in per cent: %+v", s[0].Spectrum)
	}
	s, notes = parse(t, "BEGIN_DATA_FORMAT LAB_L LAB_A LAB_B END_DATA_FORMAT\nBEGIN_DATA\n50 1 2\nEND_DATA\n")
	if s[0].Viewing.Name() != "D50/2" || !strings.Contains(strings.Join(notes, "\n"), "D50/2") {
		t.Errorf("without a light: %s, %q", s[0].Viewing.Name(), notes)
	}
}

// Little CMS reads the same file as we do.
func TestCGATSIsReadByAnotherHand(t *testing.T) {
	data, err := os.ReadFile(testdata + "ours.cgats.txt")
	if err != nil {
		t.Fatal(err)
	}
	samples, _, err := Parse("ours.cgats.txt", bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	rows := readCSV(t, "lcms-read.csv")
	if len(rows) != 2*40+4 {
		t.Fatalf("Little CMS read %d values, want 2 sets of 40 and 1 of 4", len(rows))
	}
	for _, r := range rows {
		k := atoi(t, r[0])*2 + atoi(t, r[1])
		s := samples[k]
		want := ""
		switch r[2] {
		case "SAMPLE_NAME":
			want = s.Name
		case "LAB_L":
			want = exact(s.Lab.L)
		case "LAB_A":
			want = exact(s.Lab.A)
		case "LAB_B":
			want = exact(s.Lab.B)
		default:
			nm := atoi(t, strings.TrimPrefix(r[2], "SPECTRAL_NM"))
			want = exact(s.Spectrum[(nm-380)/10])
		}
		if got, err := strconv.ParseFloat(r[3], 64); err == nil {
			if x, _ := strconv.ParseFloat(want, 64); math.Abs(got-x) > 1e-6*math.Abs(x) {
				t.Errorf("%s of sample %d: Little CMS reads %s, written %s", r[2], k, r[3], want)
			}
		} else if r[3] != want {
			t.Errorf("%s of sample %d: Little CMS reads %q, written %q", r[2], k, r[3], want)
		}
	}
}

func readCSV(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(testdata, name))
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
	return rows[1:]
}

func atoi(t testing.TB, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Anything at all is read or refused, without a panic, and what is read is
// finite.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"lcms.cgats.txt", "ours.cgats.txt"} {
		if b, err := os.ReadFile(testdata + name); err == nil {
			f.Add(b)
		}
	}
	f.Add([]byte("# scale: percent\n# specular: excluded\nname;R400;R420;L;a;b\nx;10,5;20;50;1;2\n"))
	f.Add([]byte("name,L*(10°/D65),a*(10°/D65),b*(10°/D65)\n\"x, y\",50,1,2\n"))
	f.Add([]byte("wavelength\ta\tb\n400\t0,5\t0,5\n420\t0,5\t0,6\n"))
	f.Add([]byte("\xff\xfen\x00a\x00m\x00e\x00,\x00L\x00"))
	f.Add([]byte("BEGIN_DATA_FORMAT SPECTRAL_NM SPECTRAL_DEC LAB_L LAB_A LAB_B END_DATA_FORMAT\nBEGIN_DATA\n400 0.5 1 2 3 END_DATA"))
	f.Fuzz(func(t *testing.T, data []byte) {
		samples, _, err := Parse("f", bytes.NewReader(data))
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an empty error")
			}
			return
		}
		if len(samples) == 0 {
			t.Fatal("no samples and no error")
		}
		for _, s := range samples {
			if !s.Lab.Finite() || s.Viewing == nil || s.Line < 1 {
				t.Fatalf("%+v", s)
			}
		}
	})
}

// exact keeps every digit of a number.
func exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
