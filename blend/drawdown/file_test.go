package drawdown

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/reading"
	"tawny/colour/table"
)

// The four ways of giving an amount agree: 40 µm of density 0.97 at 5 % is
// 3.88 mg/cm² of film and 0.194 of powder, and 0.3104 g over 80 cm².
func TestFileAmounts(t *testing.T) {
	for _, c := range []struct{ columns, cells string }{
		{"powder_mg_cm2,powder_error", "0.194,0.01"},
		{"load_percent,load_error,film_mg_cm2,film_error", "5,0,3.88,0.2"},
		{"load_percent,load_error,wet_um,wet_error,density_g_cm3,density_error", "5,0,40,2.0618556701,0.97,0"},
		{"load_percent,load_error,grams,grams_error,area_cm2,area_error", "5,0,0.3104,0.016,80,0"},
	} {
		n := strings.Count(c.columns, ",")
		text := "film,ground," + c.columns + ",L,a,b\nbare,black" + strings.Repeat(",", n+1) + ",25,0,0\na,black," + c.cells + ",60,-4,16\n"
		d, err := ParseFile("d.csv", []byte(text), nil)
		if err != nil {
			t.Errorf("%s: %v", c.columns, err)
			continue
		}
		m := d.Films[0].Mass
		if math.Abs(m.MgPerCM2-0.194) > 1e-9 || math.Abs(m.Err-0.01) > 1e-6 {
			t.Errorf("%s: %+v", c.columns, m)
		}
	}
}

// The geometry settles the gloss, and a sphere and 45:0 read a film differently.
func TestFileGeometry(t *testing.T) {
	rows := "film,ground,powder_mg_cm2,powder_error,L,a,b\nbare,black,,,25,0,0\na,black,0.1,0,60,-4,16\n"
	for word, want := range map[string]colour.Geometry{
		"d:8": colour.DI, "D/8°": colour.DI, "de:8": colour.DE, "45:0": colour.At45, "45°/0°": colour.At45, "photo": colour.Photo, "": "",
	} {
		d, err := ParseFile("d.csv", []byte("# kind: flake\n# geometry: "+word+"\n"+rows), nil)
		if err != nil {
			t.Errorf("%q: %v", word, err)
			continue
		}
		g, err := d.Geometry("2026-05-31")
		if err != nil || g.Read != want || (g.Reader.Gloss(&film.Under{Mirror: 1}) < 0.03) != (want.Assumed() != colour.DI) {
			t.Errorf("%q: %+v, %v", word, g, err)
		}
		if asked := strings.Contains(strings.Join(d.Notes, " "), "how it was read"); asked != (word == "") {
			t.Errorf("%q: %s", word, d.Notes)
		}
	}
}

// An instrument's file may leave its geometry to the drawdowns' own lines, gloss
// and all; where both speak they must agree, and the grounds be read as the films.
func TestFileGeometryOfTheInstrument(t *testing.T) {
	const rows = "film,ground,powder_mg_cm2,powder_error,sample\nbare,black,,,card\na,black,0.1,0,smear\n"
	const read = "name,L,a,b\ncard,25,0,0\nsmear,60,-4,16\n"
	for _, c := range []struct {
		own, instrument string
		want            colour.Geometry
		fault           string
	}{
		{"# geometry: 45:0\n", read, colour.At45, ""},
		{"# geometry: d:8\n# specular: excluded\n", read, colour.DE, ""},
		{"", "# geometry: 45:0\n" + read, colour.At45, ""},
		{"", read, "", ""},
		{"# geometry: 45:0\n", "# geometry: de\n" + read, "", "d.csv:2: geometry: here: read at 45°:0°; in i.csv: read with a sphere, gloss excluded"},
		{"", "name,geometry,L,a,b\ncard,de,25,0,0\nsmear,di,60,-4,16\n", "", "ground \"black\": read with a sphere, gloss excluded; the films: read with a sphere, gloss included"},
	} {
		d, err := ParseFile("d.csv", []byte("# kind: flake\n"+c.own+"# readings: i.csv\n"+rows), func(string) ([]reading.Sample, reading.Notes, error) {
			f, err := table.Read("i.csv", strings.NewReader(c.instrument), table.Kind{Late: true})
			if err != nil {
				return nil, nil, err
			}
			return reading.FromTable(f)
		})
		var g Geometry
		if err == nil {
			if g, err = d.Geometry("2026-05-31"); err == nil {
				_, err = d.Readings(g)
			}
		}
		if c.fault != "" {
			if err == nil || !strings.Contains(err.Error(), c.fault) {
				t.Errorf("%q and %q: %v, want %q", c.own, c.instrument, err, c.fault)
			}
			continue
		}
		if err != nil || g.Read != c.want {
			t.Errorf("%q and %q: %q, %v; want %q", c.own, c.instrument, g.Read, err, c.want)
			continue
		}
		if asked := strings.Contains(strings.Join(d.Notes, " "), "how it was read"); asked != (c.want == "") {
			t.Errorf("%q and %q: %s", c.own, c.instrument, d.Notes)
		}
	}
}

// A line nobody understands is said, not passed over.
func TestFileSaysWhatItDidNotUse(t *testing.T) {
	d, err := ParseFile("d.csv", []byte("# geomety: 45:0\nfilm,ground,powder_mg_cm2,L,a,b\nbare,black,,25,0,0\na,black,0.1,60,-4,16\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	notes := strings.Join(d.Notes, "\n")
	if !strings.Contains(notes, "geomety") || !strings.Contains(notes, "no error is given for powder_mg_cm2; 3 %") {
		t.Error(notes)
	}
}

func FuzzParseFile(f *testing.F) {
	f.Add([]byte("# powder: p\n# kind: flake\n# geometry: d:8\n# specular: included\nfilm,ground,powder_mg_cm2,L,a,b\nbare,black,,25,0,0\na,black,0.1,60,-4,16\n"))
	f.Add([]byte("\ufefffilm;ground;load_percent;wet_um;density_g_cm3;R400;R700\r\nbare;black;;;;4,5;4,5\r\na;black;5;40;0,97;30;40\r\n"))
	f.Add([]byte("# readings: r.csv\nfilm\tground\tpowder_mg_cm2\tsample\nbare\tblack\t\tx\na\tblack\t0.1\ty\n"))
	f.Add([]byte("film,ground,powder_mg_cm2,L,a,b\n\"a\nb\",black,0.1,1,2,3\n"))
	samples := func(string) ([]reading.Sample, reading.Notes, error) {
		return []reading.Sample{{Name: "x"}, {Name: "y"}}, nil, nil
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := ParseFile("f.csv", data, samples)
		if err != nil {
			return
		}
		if len(d.Films) == 0 {
			t.Fatal("no film and no error")
		}
		for _, r := range d.Films {
			if !(r.Mass.MgPerCM2 > 0) || !(r.Mass.Err >= 0) || math.IsInf(r.Mass.MgPerCM2, 0) || r.Line < 1 || d.Bare[r.Ground] == nil {
				t.Fatalf("%+v", r)
			}
		}
		if g, err := d.Geometry("2026-05-31"); err == nil {
			d.Readings(g)
		}
	})
}
