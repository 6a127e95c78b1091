package drawdown_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

var update = flag.Bool("update", false, "write the demo drawdowns and readings of testdata/fit anew")

// demos makes the demo drawdowns and readings: invented powders of an invented
// workshop, computed by the film with noise added. None of it was measured.
type demos struct {
	t            *testing.T
	rng          *rand.Rand
	black, white colour.Spectrum // cards read under a film of the binder alone
}

// The demo files can be made, and with -update are.
func TestMakeDemos(t *testing.T) {
	d := &demos{t: t, rng: rand.New(rand.NewPCG(20260302, 7))}
	for j := range d.black {
		d.black[j] = 0.044
		d.white[j] = 0.80 + 0.05*float64(j)/colour.Bands
	}
	for name, data := range d.files() {
		if old, err := os.ReadFile("../../testdata/fit/" + name); err != nil || bytes.Count(old, []byte("\n")) != bytes.Count(data, []byte("\n")) {
			t.Errorf("%s is not as it is made: %v", name, err)
		}
		if *update {
			d.check(os.WriteFile("../../testdata/fit/"+name, data, 0o644))
		}
	}
}

// files are the demo files by their names.
func (d *demos) files() map[string][]byte {
	files := map[string][]byte{}
	write := func(name string, b *bytes.Buffer) {
		files[name] = bytes.Clone(b.Bytes())
		b.Reset()
	}
	gold := d.coated(1.0, flake.Layer{Material: "rutile", ThicknessNM: 69})
	next := d.coated(1.14, flake.Layer{Material: "rutile", ThicknessNM: 70})
	drawer, err := palette.Builtin(film.DefaultIndex)
	d.check(err)
	red, err := drawer.Find("red oxide")
	d.check(err)

	var b bytes.Buffer
	fmt.Fprint(&b, "# title: pale gold, three films over black and white (demo)\n# source: demo, invented; computed with noise, not measured\n"+
		"# powder: pale gold\n# kind: flake\n# lot: KR-07\n# date: 2026-03-02\n# geometry: d:8\n# specular: included\n# scale: unit\n# binder_index: 1.47\n# tilt: 10\n# like: pale gold\n# price_per_g: 0.13\n# stock_g: 80\n")
	fmt.Fprint(&b, "film,ground,load_percent,load_error,wet_um,wet_error,density_g_cm3,density_error")
	bands(&b)
	row(&b, "bare,black"+strings.Repeat(",", 7), d.noisy(d.black))
	row(&b, "bare,white"+strings.Repeat(",", 7), d.noisy(d.white))
	for i, wet := range []float64{20, 40, 80} {
		// What the gauge says is off by a few per cent of what lies there.
		m := 0.1 * wet * 0.97 * 0.05 * (1 + 0.03*d.rng.NormFloat64())
		for _, g := range []string{"black", "white"} {
			row(&b, fmt.Sprintf("%c,%s,5,0.02,%g,%g,0.97,0.01,", 'a'+i, g, wet, 0.04*wet), d.noisy(d.drawn(gold, m, g)))
		}
	}
	write("pale-gold-demo.csv", &b)

	fmt.Fprint(&b, "# title: red oxide, one film over black and white (demo)\n# source: demo, invented; computed with noise, not measured\n"+
		"# powder: red oxide\n# kind: ordinary\n# lot: RX-3\n# date: 2026-03-02\n# geometry: d:8\n# specular: included\n# scale: unit\n# like: red oxide\n")
	fmt.Fprint(&b, "film,ground,load_percent,load_error,grams,grams_error,area_cm2,area_error")
	bands(&b)
	powder := red.Optics
	row(&b, "bare,black"+strings.Repeat(",", 7), d.black)
	row(&b, "bare,white"+strings.Repeat(",", 7), d.white)
	for _, g := range []string{"black", "white"} {
		row(&b, fmt.Sprintf("a,%s,0.4,0.005,0.31,0.005,80,1,", g), d.noisy(d.drawn(powder, 1000*0.31/80*0.004, g)))
	}
	write("red-oxide-demo.csv", &b)

	fmt.Fprint(&b, "# title: pale gold, a new lot, one quick film over black (demo)\n# source: demo, invented; computed with noise, not measured\n"+
		"# powder: pale gold\n# kind: flake\n# lot: KR-08\n# date: 2026-05-18\n# geometry: d:8\n# readings: pale-gold-lot-demo.txt\n"+
		"film,ground,load_percent,load_error,wet_um,wet_error,density_g_cm3,density_error,sample\nbare,black,,,,,,,black card\na,black,5,0.02,40,0.8,0.97,0.01,new lot\n")
	write("pale-gold-lot-demo.csv", &b)

	fmt.Fprint(&b, "CGATS.17\nORIGINATOR \"demo, invented\"\nDESCRIPTOR \"pale gold, a new lot\"\nMEASUREMENT_GEOMETRY \"d:8\"\nKEYWORD \"SCALE\"\nSCALE \"unit\"\n")
	fmt.Fprintf(&b, "NUMBER_OF_FIELDS %d\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME", 2+colour.Bands)
	for j := range colour.Bands {
		fmt.Fprintf(&b, " SPECTRAL_NM%g", colour.WavelengthNM(j))
	}
	fmt.Fprint(&b, "\nEND_DATA_FORMAT\nNUMBER_OF_SETS 2\nBEGIN_DATA\n")
	for i, s := range []struct {
		name string
		r    colour.Spectrum
	}{{"black card", d.noisy(d.black)}, {"new lot", d.noisy(d.drawn(next, 0.1*40*0.97*0.05, "black"))}} {
		fmt.Fprintf(&b, "%d \"%s\"", i+1, s.name)
		for _, v := range s.r {
			fmt.Fprintf(&b, " %.4f", v)
		}
		fmt.Fprintln(&b)
	}
	fmt.Fprintln(&b, "END_DATA")
	write("pale-gold-lot-demo.txt", &b)

	fmt.Fprint(&b, "# title: one forearm and one cheek, read again and again (demo)\n# source: demo, invented; no one's skin\n# specular: included\n# illuminant: D65\n# observer: 2\nname,L,a,b,note\n")
	for range 4 {
		fmt.Fprintf(&b, "forearm,%.2f,%.2f,%.2f,lifted and put back\n", 55.1+0.3*d.rng.NormFloat64(), 11.9+0.15*d.rng.NormFloat64(), 18.6+0.2*d.rng.NormFloat64())
	}
	fmt.Fprintf(&b, "cheek,%.2f,%.2f,%.2f,\n", 53.9, 14.2, 17.7)
	write("skin-demo.csv", &b)
	return files
}

// coated is a powder of coated mica, as strong as told.
func (d *demos) coated(strength float64, coats ...flake.Layer) palette.Optics {
	o, err := palette.FlakeOptics(flake.New(coats...))
	d.check(err)
	return o.Scaled(strength)
}

// drawn is a film of m mg/cm² read by a sphere with the gloss.
func (d *demos) drawn(p palette.Optics, m float64, ground string) colour.Spectrum {
	reader, err := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}.Reader(colour.DI)
	d.check(err)
	g := d.black
	if ground == "white" {
		g = d.white
	}
	r, err := drawdown.Predict(&p, &drawdown.Reading{Ground: g, Mass: drawdown.Mass{MgPerCM2: m}, Reader: reader})
	d.check(err)
	return r
}

// noisy adds an instrument's error of level, slope and bow, about ΔE00 0.2.
func (d *demos) noisy(r colour.Spectrum) colour.Spectrum {
	a, b, c := d.rng.NormFloat64(), 0.5*d.rng.NormFloat64(), 0.5*d.rng.NormFloat64()
	for j := range r {
		x := 2*float64(j)/(colour.Bands-1) - 1
		r[j] *= 1 + 0.006*(a+b*x+c*(x*x-1.0/3)+0.3*d.rng.NormFloat64())
		r[j] = math.Round(1e4*r[j]) / 1e4
	}
	return r
}

func bands(b *bytes.Buffer) {
	for j := range colour.Bands {
		fmt.Fprintf(b, ",R%g", colour.WavelengthNM(j))
	}
	fmt.Fprintln(b)
}

func row(b *bytes.Buffer, head string, r colour.Spectrum) {
	fmt.Fprint(b, head)
	for j, v := range r {
		if j > 0 {
			fmt.Fprint(b, ",")
		}
		fmt.Fprintf(b, "%.4f", v)
	}
	fmt.Fprintln(b)
}

func (d *demos) check(err error) {
	d.t.Helper()
	if err != nil {
		d.t.Fatal(err)
	}
}
