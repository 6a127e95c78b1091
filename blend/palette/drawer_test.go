package palette

import (
	"bytes"
	"flag"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"tawny/blend/flake"
	"tawny/blend/flake/constants"
)

// The built-in drawer: enough powders, every one marked modelled, allowed
// somewhere, under the 150 µm of 21 CFR 73.1496(b) by way of 73.2496, and its
// ingredients those its coats weigh.
func TestBuiltinPalette(t *testing.T) {
	p := drawer(t)
	families := map[string]int{}
	for _, g := range p.Pigments {
		families[g.Family]++
		if g.Source != Modelled {
			t.Errorf("%s: source %s; nothing built in is measured", g.Name, g.Source)
		}
		if g.D90 > 150 {
			t.Errorf("%s: d90 %g µm, over 150", g.Name, g.D90)
		}
		if len(g.CI) == 0 {
			t.Errorf("%s: no colour index number", g.Name)
		}
		if g.Substrate == 0 {
			continue
		}
		mass := map[string]float64{"Mica": g.Substrate * constants.MuscoviteDensity}
		total := mass["Mica"]
		for _, l := range g.Layers {
			m, err := constants.Find(l.Material)
			if err != nil {
				t.Fatal(err)
			}
			name := map[string]string{"rutile": "Titanium Dioxide", "anatase": "Titanium Dioxide", "hematite": "Iron Oxides"}[m.Name]
			mass[name] += 2 * l.ThicknessNM * m.Density * m.Packing
			total += 2 * l.ThicknessNM * m.Density * m.Packing
		}
		for _, i := range g.INCI {
			if i.INCI == "Tin Oxide" {
				continue
			}
			if want := 100 * mass[i.INCI] / total; math.Abs(want-i.Percent) > 1 {
				t.Errorf("%s: %s is listed at %.1f %%, its coats weigh %.1f %%", g.Name, i.INCI, i.Percent, want)
			}
		}
	}
	if len(p.Pigments) < 30 {
		t.Errorf("%d powders, at least 30 wanted", len(p.Pigments))
	}
	for _, f := range []string{"plain", "silver", "champagne", "gold", "bronze", "copper", "fox", "rose", "violet", "blue", "green", "oxide", "white"} {
		if families[f] == 0 {
			t.Errorf("no powder of family %s", f)
		}
	}
}

var update = flag.Bool("update", false, "write the spectra of the ordinary pigments anew")

// writeSpectrum writes a pigment's file by its grain model. It is modelled, not
// measured.
func writeSpectrum(t *testing.T, g *Pigment) {
	o, err := g.Optics.Grain.Optics()
	if err != nil {
		t.Fatal(err)
	}
	note := FitNote{Powder: g.Name, Method: "modelled: Mie's spheres in a binder of 1.47", Source: Modelled}
	var b bytes.Buffer
	if err := WritePowderSpectrum(&b, &Optics{K: o.K, S: o.S, Moments: o.Moments, Grain: g.Optics.Grain}, &note); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(g.Spectrum, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// The committed spectra of the ordinary pigments are what their model gives.
func TestOrdinaryPigmentsAreTheirModel(t *testing.T) {
	p := drawer(t)
	for name, material := range map[string]string{
		"red oxide": "hematite", "yellow oxide": "goethite", "black oxide": "magnetite",
		"titanium white": "rutile", "ultramarine blue": "ultramarine", "chromia green": "chromia",
	} {
		g, err := p.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		if *update {
			writeSpectrum(t, g)
			continue // what is built in is still the old one
		}
		o, err := g.Optics.Grain.Optics()
		if err != nil {
			t.Fatal(err)
		}
		if made := g.Optics.Grain; made.Material != material || g.D50 != made.DiameterUM {
			t.Errorf("%s: %g µm of %s in the palette, modelled as %+v", name, g.D50, material, made)
		}
		for j := range o.K {
			// As it is rubbed in: a share of its strength.
			k, s := g.Dispersion*o.K[j], g.Dispersion*o.S[j]
			if math.Abs(g.Optics.K[j]-k) > 1e-5*k+1e-9 || math.Abs(g.Optics.S[j]-s) > 1e-5*s+1e-9 {
				t.Fatalf("%s band %d: file K %g S %g, model %g %g", name, j, g.Optics.K[j], g.Optics.S[j], k, s)
			}
			for l, chi := range o.Moments {
				kept := 0.0
				if l < len(g.Optics.Moments) {
					kept = g.Optics.Moments[l][j]
				}
				if math.Abs(kept-chi[j]) > 1e-6 {
					t.Fatalf("%s band %d: moment %d is %g in the file, %g in the model", name, j, l, kept, chi[j])
				}
			}
		}
	}
}

// header is a drawer without the columns that may be missing.
var header = strings.Replace(strings.Join(drawerKind.Header, ","), "dispersion,doubt,", "", 1)

const goodRow = "pale gold,gold,Mica=60;Titanium Dioxide=40,CI 77019;CI 77891,rutile:70,400,,10,24,55,3.1,0.27,70,0.13,60,,body;eyes;lips,modelled"

// Every fault names file, line and field, and what would be accepted.
func TestPaletteFaults(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":          {"", "no header"},
		"header":         {"name,colour\n", `there is no column "colour"`},
		"no rows":        {header + "\n", "no rows"},
		"columns":        {header + "\na,b\n", "drawer.csv:2: 2 cells"},
		"no name":        {header + "\n" + strings.Replace(goodRow, "pale gold", "", 1), "drawer.csv:2: name"},
		"twice":          {header + "\n" + goodRow + "\n" + goodRow, "drawer.csv:3: name: \"pale gold\" was already listed on line 2"},
		"inci":           {header + "\n" + strings.Replace(goodRow, "=60", "=50", 1), "sum to 90"},
		"layers":         {header + "\n" + strings.Replace(goodRow, "rutile:70", "rutil:70", 1), "drawer.csv:2: layers"},
		"no share":       {header + "\n" + strings.Replace(goodRow, "Mica=60;Titanium Dioxide=40", "Mica;Titanium Dioxide", 1), "drawer.csv:2: inci: Titanium Dioxide has no share"},
		"neither":        {header + "\n" + strings.Replace(goodRow, "rutile:70", "", 1), "either layers"},
		"both":           {header + "\n" + strings.Replace(goodRow, "400,,", "400,x.csv,", 1), "accepted: exactly one"},
		"missing file":   {header + "\n" + strings.Replace(goodRow, "rutile:70,400,,", ",,x.csv,", 1), "x.csv"},
		"outside folder": {header + "\n" + strings.Replace(goodRow, "rutile:70,400,,", ",,../x.csv,", 1), "plain file name"},
		"sizes":          {header + "\n" + strings.Replace(goodRow, "10,24,55", "30,24,55", 1), "d10 < d50 < d90"},
		"NaN":            {header + "\n" + strings.Replace(goodRow, "3.1", "NaN", 1), "density_g_cm3"},
		"area":           {header + "\n" + strings.Replace(goodRow, "body;eyes", "boddy;eyes", 1), "body, eyes and lips"},
		"source":         {header + "\n" + strings.Replace(goodRow, "modelled", "true", 1), "modelled, guessed, measured or demo"},
		"after comments": {"# title: x\n\n# y: z\n" + header + "\n" + strings.Replace(goodRow, "3.1", "oops", 1), "drawer.csv:5: density_g_cm3"},
	} {
		_, err := Parse("drawer.csv", strings.NewReader(c.text), nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want it to say %q", name, err, c.want)
		}
	}
}

// A maker's drawer with a spectrum file beside it.
func TestDrawerWithASpectrumBeside(t *testing.T) {
	var spectrum strings.Builder
	spectrum.WriteString("# kind: flake\nwavelength,k,s\n")
	for nm := 380; nm <= 730; nm += 20 {
		spectrum.WriteString(strings.ReplaceAll("NM,0.5,3\n", "NM", itoa(nm)))
	}
	files := fstest.MapFS{"mine.csv": {Data: []byte(spectrum.String())}}
	drawer := "\ufeff" + header + "\r\n" + goodRow + "\r\n" + strings.Replace(strings.Replace(goodRow, "pale gold", "mine", 1), "rutile:70,400,,", ",,mine.csv,", 1) + "\r\n"
	p, err := Parse("drawer.csv", strings.NewReader(drawer), files)
	if err == nil {
		err = p.ComputeOptics(1.47)
	}
	if err != nil {
		t.Fatal(err)
	}
	mine, err := p.Find("MINE")
	if err != nil {
		t.Fatal(err)
	}
	if !mine.Optics.Flake || mine.Optics.K[3] != 0.5 || mine.Optics.S[7] != 3 {
		t.Errorf("spectrum file read as %+v", mine.Optics)
	}
	gold, _ := p.Find("pale gold")
	want, err := flake.New(flake.Layer{Material: "rutile", ThicknessNM: 70}).Table()
	if err != nil {
		t.Fatal(err)
	}
	if gold.Optics.S != want.S {
		t.Error("a coated flake's S is not that of its layers")
	}
}

// Of a measured powder the mean cosine may be said, or the whole phase function;
// what is written is read again. A powder lies in clumps only where it has a
// spectrum, and its optics have that in them.
func TestPhaseAndDispersion(t *testing.T) {
	rows := func(cell string) (text string) {
		for nm := 380; nm <= 730; nm += 10 {
			text += itoa(nm) + ",2,4" + cell + "\n"
		}
		return text
	}
	o, err := ParsePowderSpectrum("g", strings.NewReader("# g: 0.5\nwavelength,k,s\n"+rows("")))
	if err != nil || math.Abs(o.Moments[1][9]-0.5) > 1e-9 || math.Abs(o.Moments[3][9]-0.125) > 1e-9 {
		t.Fatalf("g: %v, %v", o.Moments, err)
	}
	var b bytes.Buffer
	if err := WritePowderSpectrum(&b, &o, &FitNote{Powder: "x", Source: Measured}); err != nil {
		t.Fatal(err)
	}
	again, err := ParsePowderSpectrum("again", &b)
	if err != nil || math.Abs(again.Moments[3][9]-o.Moments[3][9]) > 1e-5 {
		t.Errorf("written and read: %v, %v", again.Moments, err)
	}
	for text, want := range map[string]string{
		"# g: 1\nwavelength,k,s\n" + rows(""):                      "-0.9 to 0.9",
		"wavelength,k,s,moments\n" + rows(",0.5;1.5"):              "numbers from -1 to 1",
		"wavelength,k,s,moments\n" + rows(",0.9;0.9;0.9"):          "f:2: moments: no scattering has these moments",
		"wavelength,k,s,moments\n" + rows(",0.9;0.9;0.9;-0.9"):     "below 0",
		"wavelength,k,s,moments\n" + rows(",0;0.9"):                "at 90°",
		"wavelength,k,s,moments\n380,2,4,0.5;0.2\n730,2,4,0.5\n":   "2, as in the first row",
		"# grain: hematite;0.2;x;1.5\nwavelength,k,s\n" + rows(""): "binder index",
		"# g: 0.5\nwavelength,k,s,moments\n" + rows(",0.3;0.1"):    "one of the two",
	} {
		if _, err := ParsePowderSpectrum("f", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.40q: %v, want %q", text, err, want)
		}
	}
	files := fstest.MapFS{"mine.csv": {Data: []byte("wavelength,k,s\n" + rows(""))}}
	whole := strings.Join(drawerKind.Header, ",")
	row := strings.Replace(strings.Replace(goodRow, "rutile:70,400,,", ",,mine.csv,", 1), "60,,body", "60,,0.6,0.2,body", 1)
	p, err := Parse("drawer.csv", strings.NewReader(whole+"\n"+row+"\n"), files)
	if err != nil {
		t.Fatal(err)
	}
	if g := p.Pigments[0]; math.Abs(g.Optics.K[3]-1.2) > 1e-12 || math.Abs(g.Optics.S[3]-2.4) > 1e-12 || math.Abs(g.StrengthDoubt()-1.0/3) > 1e-12 {
		t.Errorf("dispersed: K %g, S %g, doubt %g", g.Optics.K[3], g.Optics.S[3], g.StrengthDoubt())
	}
	coated := strings.Replace(goodRow, "60,,body", "60,,0.6,0.2,body", 1)
	if _, err := Parse("drawer.csv", strings.NewReader(whole+"\n"+coated+"\n"), nil); err == nil || !strings.Contains(err.Error(), "drawer.csv:2: dispersion") {
		t.Errorf("a coated flake in clumps: %v", err)
	}
}

func itoa(n int) string {
	return string([]byte{byte('0' + n/100), byte('0' + n/10%10), byte('0' + n%10)})
}

func FuzzParsePalette(f *testing.F) {
	f.Add([]byte(header + "\n" + goodRow))
	f.Add([]byte("# title: x\n" + header + "\n\"" + goodRow + "\"\n"))
	f.Add([]byte("\ufeff#\n\n,,,"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse("f", bytes.NewReader(data), nil)
		if (p == nil) == (err == nil) {
			t.Fatalf("palette %v, error %v", p, err)
		}
	})
}

func FuzzParsePowderSpectrum(f *testing.F) {
	f.Add([]byte("# kind: flake\nwavelength,k,s\n380,1,2\n400,1,2\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		o, err := ParsePowderSpectrum("f", bytes.NewReader(data))
		if err != nil {
			return
		}
		for j := range o.K {
			if !(o.K[j] >= 0 && o.S[j] >= 0) {
				t.Fatalf("band %d: K %g, S %g", j, o.K[j], o.S[j])
			}
		}
	})
}

// A name is counted in letters, not bytes, in a file as by hand.
func TestNamesCountLetters(t *testing.T) {
	long := strings.Repeat("金", 60)
	p, err := Parse("drawer.csv", strings.NewReader(header+"\n"+strings.Replace(goodRow, "pale gold", long, 1)), nil)
	if err != nil || p.Pigments[0].Name != long {
		t.Errorf("60 letters of three bytes: %v", err)
	}
	_, err = Parse("drawer.csv", strings.NewReader(header+"\n"+strings.Replace(goodRow, "pale gold", long+"x", 1)), nil)
	if err == nil || !strings.Contains(err.Error(), "drawer.csv:2: name") || !strings.Contains(err.Error(), "1 to 60 characters") {
		t.Errorf("61 letters: %v", err)
	}
	for name, ok := range map[string]bool{"": false, "a,b": false, "a=b": false, "a;b": false, "a\nb": false, "kōhaku 7": true} {
		if err := CheckName(name); (err == nil) != ok {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// A powder nothing like any in the drawer is answered with what there is, not
// with a far-fetched guess.
func TestFindSuggestsOnlyWhatIsNear(t *testing.T) {
	p := drawer(t)
	if _, err := p.Find("pael gold"); err == nil || !strings.Contains(err.Error(), `did you mean "pale gold"`) {
		t.Errorf("near: %v", err)
	}
	_, err := p.Find("unobtainium")
	if err == nil || strings.Contains(err.Error(), "did you mean") || !strings.Contains(err.Error(), "there are amber gold, ") || !strings.HasSuffix(err.Error(), " more") {
		t.Errorf("far: %v", err)
	}
}
