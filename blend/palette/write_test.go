package palette

import (
	"bytes"
	"errors"
	"math"
	"os"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
)

// Every row of the built-in palette written and read again is the same powder.
func TestRowRoundTrip(t *testing.T) {
	p := drawer(t)
	var file []byte
	for _, g := range p.Pigments {
		var err error
		if file, err = PutRow(file, g, false); err != nil {
			t.Fatal(err)
		}
	}
	got, err := Parse("written.csv", bytes.NewReader(file), os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Pigments) != len(p.Pigments) {
		t.Fatalf("%d powders of %d", len(got.Pigments), len(p.Pigments))
	}
	for i, g := range got.Pigments {
		a, b := *g, *p.Pigments[i]
		a.Optics, b.Optics = Optics{}, Optics{}
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s came back as %+v, was %+v", b.Name, a, b)
		}
	}
}

// A row put into a drawer leaves every other byte as it was.
func TestPutRow(t *testing.T) {
	p := drawer(t)
	gold, _ := p.Find("pale gold")
	bronze, _ := p.Find("bronze")
	var file []byte
	for _, g := range []*Pigment{gold, bronze} {
		file, _ = PutRow(file, g, false)
	}
	file = append([]byte("\ufeff# title: mine\r\n# note: name,is,not,a,header\n\n"), file[bytes.IndexByte(file, '\n')+1:]...)
	if _, err := PutRow(file, gold, false); !errors.Is(err, ErrListed) {
		t.Errorf("a second pale gold: %v", err)
	}
	changed := *gold
	changed.Lot = "B2"
	got, err := PutRow(file, &changed, true)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(string(file), "60,,,,body", "60,B2,,,body", 1)
	if string(got) != want {
		t.Errorf("replaced:\n%s\nwant\n%s", got, want)
	}
	parsed, err := Parse("mine.csv", bytes.NewReader(got), nil)
	if err != nil {
		t.Fatal(err)
	}
	if g, _ := parsed.Find("pale gold"); g.Lot != "B2" || len(parsed.Pigments) != 2 {
		t.Errorf("lot %q, %d powders", g.Lot, len(parsed.Pigments))
	}
	// No line break at the end of the file, as spreadsheets leave it.
	copper, _ := p.Find("copper")
	got, err = PutRow(bytes.TrimRight(file, "\n"), copper, false)
	if err != nil {
		t.Fatal(err)
	}
	if parsed, err = Parse("mine.csv", bytes.NewReader(got), nil); err != nil || len(parsed.Pigments) != 3 {
		t.Errorf("appended: %v", err)
	}
	// A powder called name is not the header.
	name := *gold
	name.Name = "name"
	if got, err = PutRow(file, &name, true); err != nil || !bytes.Contains(got, []byte(strings.Join(drawerKind.Header, ","))) {
		t.Errorf("a powder called name took the header's place: %v", err)
	}
}

func TestPowderSpectrumRoundTrip(t *testing.T) {
	p := drawer(t)
	g, _ := p.Find("bronze")
	note := FitNote{
		Powder: "bronze", Lot: "B2", Date: "2026-03-02", Geometry: "d:8", Method: "fit", Verdict: "holds",
		Readings: 6, Residual: 0.21, Worst: 0.4, StrengthError: 0.015, Source: Measured,
		Coat: "hematite:42", Substrate: 400, Residuals: "a over black 0.10; a over white 0.32", KnownTo: "K ± 5 %, S ± 3 %",
	}
	var b bytes.Buffer
	if err := WritePowderSpectrum(&b, &g.Optics, &note); err != nil {
		t.Fatal(err)
	}
	o, err := ParsePowderSpectrum("bronze.csv", bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	for j := range o.K {
		if math.Abs(o.K[j]-g.Optics.K[j]) > 1e-5*g.Optics.K[j] || math.Abs(o.S[j]-g.Optics.S[j]) > 1e-5*g.Optics.S[j] {
			t.Fatalf("band %d: K %g S %g, wrote %g %g", j, o.K[j], o.S[j], g.Optics.K[j], g.Optics.S[j])
		}
	}
	if !o.Flake {
		t.Error("a flake came back as diffuse")
	}
	got, err := ReadFitNote(fstest.MapFS{"bronze.csv": {Data: b.Bytes()}}, "bronze.csv")
	if err != nil || !reflect.DeepEqual(*got, note) {
		t.Errorf("note %+v, %v", got, err)
	}
}

// A measured flake said to be like a coat turns with angle as the coat does;
// one whose K and S are the coat's own becomes the coat to six digits.
func TestCompleteMeasured(t *testing.T) {
	p := drawer(t)
	g, _ := p.Find("bronze")
	var b bytes.Buffer
	if err := WritePowderSpectrum(&b, &g.Optics, &FitNote{Powder: "bronze", Coat: "hematite:42", Substrate: 400}); err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{"bronze.csv": {Data: b.Bytes()}}
	o, err := ParsePowderSpectrum("bronze.csv", bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	drawn := &Drawer{Pigments: []*Pigment{{Name: "bronze", Spectrum: "bronze.csv", Optics: o}}}
	if drawn.Pigments[0].Optics.R != nil {
		t.Fatal("a spectrum alone already turns with angle")
	}
	if err := drawn.CompleteMeasured(files, 1.47); err != nil {
		t.Fatal(err)
	}
	got := drawn.Pigments[0].Optics
	if math.Abs(got.FaceArea-g.Optics.FaceArea) > 1e-5*g.Optics.FaceArea {
		t.Errorf("face area %g, the coat's is %g", got.FaceArea, g.Optics.FaceArea)
	}
	if !reflect.DeepEqual(got.R, g.Optics.R) || !reflect.DeepEqual(got.T, g.Optics.T) {
		t.Error("R and T by angle are not the coat's")
	}
	// What its file says of the area stands; without it the coat's does.
	for said, want := range map[float64]float64{3: 3, 0: g.Optics.FaceArea} {
		drawn.Pigments[0].Optics.FaceArea = said
		if err := drawn.CompleteMeasured(files, 1.47); err != nil || drawn.Pigments[0].Optics.FaceArea != want {
			t.Errorf("face area %g, want %g, %v", drawn.Pigments[0].Optics.FaceArea, want, err)
		}
	}
}

func FuzzParseFitNote(f *testing.F) {
	f.Add("# residual_de00: 0.4\n# strength_error: 0.1\nwavelength,k,s\n400,1,2\n")
	f.Fuzz(func(t *testing.T, text string) {
		n, err := ParseFitNote("f.csv", strings.NewReader(text))
		if err == nil && n != nil && !(n.Residual >= 0 && n.StrengthError >= 0 && n.StrengthError < 1) {
			t.Fatalf("%+v", n)
		}
	})
}

func TestFitNoteRefuses(t *testing.T) {
	for _, text := range []string{
		"# residual_de00: -1\n", "# residual_de00: NaN\n", "# residual_de00: soft\n",
		"# residual_de00: 0.2\n# strength_error: 2\n", "# residual_de00: 0.2\n# readings: six\n",
	} {
		if n, err := ParseFitNote("x.csv", strings.NewReader(text)); err == nil {
			t.Errorf("%q gave %+v", text, n)
		}
	}
	if n, err := ParseFitNote("x.csv", strings.NewReader("# kind: flake\nwavelength,k,s\n400,0.1,0.1\n")); n != nil || err != nil {
		t.Errorf("a file without a fit gave %+v, %v", n, err)
	}
}

// Whatever the file, putting a row in gives a palette that reads, or an error.
func FuzzPutRow(f *testing.F) {
	p, err := Builtin(1.47)
	if err != nil {
		f.Fatal(err)
	}
	gold, _ := p.Find("pale gold")
	one, _ := PutRow(nil, gold, false)
	f.Add([]byte(""), true)
	f.Add(one, true)
	f.Add(append([]byte("# a: b\n\n\r\n"), one...), false)
	f.Add(bytes.ReplaceAll(one, []byte("\n"), []byte("\r\n")), true)
	f.Fuzz(func(t *testing.T, file []byte, replace bool) {
		before, err := Parse("f.csv", bytes.NewReader(file), nil)
		if err != nil {
			return
		}
		_, err = before.Find("pale gold")
		listed := err == nil
		got, err := PutRow(file, gold, replace)
		if err != nil {
			if !errors.Is(err, ErrListed) || !listed || replace {
				t.Fatalf("%v for %q", err, file)
			}
			return
		}
		after, err := Parse("f.csv", bytes.NewReader(got), nil)
		if err != nil {
			t.Fatalf("%v after %q became %q", err, file, got)
		}
		want := len(before.Pigments) + 1
		if listed {
			want--
		}
		if g, err := after.Find("pale gold"); err != nil || g.Lot != gold.Lot || len(after.Pigments) != want {
			t.Fatalf("%d powders, want %d: %q became %q", len(after.Pigments), want, file, got)
		}
	})
}

// A row is put into a drawer in the drawer's own way of writing: what parts its
// cells, its decimal comma, its order of columns and its line ends.
func TestPutRowAsTheFileIs(t *testing.T) {
	p := drawer(t)
	gold, _ := p.Find("pale gold")
	copper, _ := p.Find("copper")
	plain, _ := PutRow(nil, gold, false)
	lines := strings.SplitN(string(plain), "\n", 3)
	semicolons := "\ufeff" + lines[0] + ";;\r\n" + strings.ReplaceAll(lines[1], ",", ";") + "\r\n" +
		"pale gold;gold;Mica=100;;bare;400;;10;24;55;3,1;0,27;70;;;;;;body;demo\r\n"
	for name, c := range map[string]struct{ file, want string }{
		"semicolons":      {semicolons, ";" + strings.Replace(number(copper.Density), ".", ",", 1) + ";"},
		"an old alphabet": {strings.Replace(string(plain), "a drawer", "un tiroir \xe0", 1), "un tiroir à"},
	} {
		for _, g := range []*Pigment{gold, copper} {
			got, err := PutRow([]byte(c.file), g, true)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			read, err := Parse("mine.csv", bytes.NewReader(got), nil)
			if err != nil {
				t.Errorf("%s: %v in %q", name, err, got)
				continue
			}
			a, err := read.Find(g.Name)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			b := *g
			b.Optics = Optics{}
			if !reflect.DeepEqual(*a, b) {
				t.Errorf("%s: %+v came back as %+v", name, b, *a)
			}
			if g == copper && (!strings.Contains(string(got), c.want) || len(read.Pigments) != 2) {
				t.Errorf("%s: no %q in %q", name, c.want, got)
			}
			if strings.Contains(c.file, "\r\n") && strings.Count(string(got), "\n") != strings.Count(string(got), "\r\n") {
				t.Errorf("%s: line ends are mixed in %q", name, got)
			}
		}
	}
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
