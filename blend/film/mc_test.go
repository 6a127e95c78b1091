package film

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tawny/blend/flake"
	"tawny/colour"
)

// traced is one film of the reference, one band.
type traced map[string]float64

// readTraced reads the whole reference from the folder TAWNY_DATA names, or
// without it the part that goes with the code.
func readTraced(t *testing.T, whole, part string) []traced {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "film", part)
	if dir := os.Getenv("TAWNY_DATA"); dir != "" {
		path = filepath.Join(dir, whole)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var body []string
	for _, line := range strings.Split(string(text), "\n") {
		if !strings.HasPrefix(line, "#") {
			body = append(body, line)
		}
	}
	rows, err := csv.NewReader(strings.NewReader(strings.Join(body, "\n"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var films []traced
	for _, row := range rows[1:] {
		r := traced{}
		for i, name := range rows[0] {
			if r[name], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatalf("%s: case %s, %s: %v", path, row[0], name, err)
			}
		}
		films = append(films, r)
	}
	return films
}

// lightness is CIE L* of a reflectance.
func lightness(y float64) float64 {
	if y > 216.0/24389 {
		return 116*math.Cbrt(y) - 16
	}
	return 24389.0 / 27 * y
}

// peaked are the moments g^l of Henyey and Greenstein's phase function, whole.
func peaked(g *colour.Spectrum) [][colour.Bands]float64 {
	m := make([][colour.Bands]float64, orders+1)
	for l := range m {
		for b, v := range g {
			m[l][b] = math.Pow(v, float64(l))
		}
	}
	return m
}

func (r traced) powder() *Powder {
	g := colour.Constant(r["g"])
	p := &Powder{FaceArea: r["face"], MuA: colour.Constant(r["mua"]), MuS: colour.Constant(r["mus"]), Moments: peaked(&g)}
	p.R = []colour.Spectrum{colour.Constant(r["flake_r"])}
	p.T = []colour.Spectrum{colour.Constant(r["flake_t"])}
	return p
}

func (r traced) film(t *testing.T) *Film {
	f, err := New(Lay{Index: r["n"], TiltDeg: r["tilt_deg"], SurfaceDeg: r["surface_tilt_deg"]})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// one reads a facet of a film in one band.
func one(fc *facet, p *Powder, ground float64) float64 {
	var b band
	fc.prepare(p, 0, &b.k)
	return b.read(&fc.boundary, ground)
}

// hemispherical is the share of light at deg that leaves, the mirror left out.
// As in the reference, facets of a tilting surface get equal light.
func (r traced) hemispherical(f *Film, deg float64) float64 {
	in := towards(deg)
	p := r.powder()
	sum := 0.0
	for _, pc := range f.pieces(9) {
		fr := newFrame(pc.normal, in)
		fc := f.facet(&fr, pc.share)
		sum += one(&fc, p, r["ground"])
	}
	return sum
}

// within returns directions of view in the cone of half angle 5° about an
// aspecular angle.
func within(aspecular float64) []vec {
	v := (45 - aspecular) * math.Pi / 180
	c, e1, e2 := vec{math.Sin(v), 0, -math.Cos(v)}, vec{math.Cos(v), 0, math.Sin(v)}, vec{0, 1, 0}
	var out []vec
	for i := range 3 {
		rad := math.Sqrt((float64(i)+0.5)/3) * 5 * math.Pi / 180
		for j := range 8 {
			phi := float64(j)*math.Pi/4 + 0.2
			out = append(out, c.scaled(math.Cos(rad)).plus(e1.scaled(math.Sin(rad)*math.Cos(phi))).plus(e2.scaled(math.Sin(rad)*math.Sin(phi))))
		}
	}
	return out
}

func (r traced) radiance(f *Film, aspecular float64) float64 {
	in := towards(45)
	p := r.powder()
	sum := 0.0
	dirs := within(aspecular)
	for _, pc := range f.pieces(9) {
		fr := newFrame(pc.normal, in)
		base := f.facet(&fr, 1)
		for _, v := range dirs {
			out := fr.local(v)
			if out[2] > -1e-3 {
				continue
			}
			fc := f.from(base, out, pc.share/float64(len(dirs))*out[2]/v[2])
			sum += one(&fc, p, r["ground"])
		}
	}
	return sum
}

// errors gathers mean and worst.
type errorsOf struct {
	sum, worst float64
	n          int
}

func (e *errorsOf) add(v float64) {
	e.sum += v
	e.worst = max(e.worst, v)
	e.n++
}

func (e *errorsOf) mean() float64 { return e.sum / float64(e.n) }

// The gloss that hides small differences in the dark.
const veil = 0.04

func offBy(got, want, veil float64) float64 {
	return math.Abs(lightness(got+veil) - lightness(want+veil))
}

// bounds are the errors of L* the engine is held to, mean and worst, by kind:
// flakes, pigment, both, and a surface tilting with the flakes; light at 0°, at
// 45°, radiance factors.
var bounds = [4][3][2]float64{
	{{0.05, 0.3}, {0.05, 0.3}, {0.40, 2.0}},
	{{0.30, 1.4}, {0.25, 1.0}, {0.50, 2.0}},
	{{0.30, 1.2}, {0.35, 1.3}, {0.65, 2.3}},
	{{0.05, 0.3}, {0.05, 0.3}, {0.50, 3.5}},
}

// Against photons traced one by one, by a program that shares nothing with this
// one. The whole reference is read where TAWNY_DATA names its folder; its first
// films, seven of a kind, go with the code.
func TestMonteCarlo(t *testing.T) {
	var kinds [4][3]errorsOf
	single := map[float64]float64{} // the worst in one direction
	for _, r := range readTraced(t, "film-monte-carlo.csv", "photons.csv") {
		f := r.film(t)
		k := &kinds[int(r["case"])%4]
		k[0].add(offBy(r.hemispherical(f, 0), r["r_normal"], veil))
		k[1].add(offBy(r.hemispherical(f, 45), r["r_45"], veil))
		sum := 0.0
		for _, a := range flake.Aspecular {
			off := offBy(r.radiance(f, a), r[fmt.Sprintf("rf_%g", a)], veil)
			single[a] = max(single[a], off)
			sum += off / 4
		}
		k[2].add(sum)
	}
	t.Logf("one direction at worst: %.1f", single)
	for a, off := range single {
		if !(off < 4) || a == 45 && !(off < 2.4) {
			t.Errorf("at %g°: %.2f at worst", a, off)
		}
	}
	for i := range kinds {
		k := &kinds[i]
		fmt.Printf("montecarlo kind %d normal mean %.2f worst %.2f at45 mean %.2f worst %.2f radiance mean %.2f worst %.2f\n",
			i, k[0].mean(), k[0].worst, k[1].mean(), k[1].worst, k[2].mean(), k[2].worst)
		for j := range k {
			if b := bounds[i][j]; !(k[j].mean() <= b[0] && k[j].worst <= b[1]) {
				t.Errorf("kind %d, column %d: mean %.3f, worst %.3f; at most %g, %g", i, j, k[j].mean(), k[j].worst, b[0], b[1])
			}
		}
	}
}

// Dark and thick films, judged without a veil of gloss.
func TestMonteCarloDark(t *testing.T) {
	var normal, at45 errorsOf
	for _, r := range readTraced(t, "film-monte-carlo-dark.csv", "photons-dark.csv") {
		f := r.film(t)
		square, slant := r.hemispherical(f, 0), r.hemispherical(f, 45)
		if square < 0 || slant < 0 {
			t.Errorf("case %g reflects %g, %g", r["case"], square, slant)
		}
		normal.add(offBy(square, r["r_normal"], 0))
		at45.add(offBy(slant, r["r_45"], 0))
	}
	fmt.Printf("montecarlo dark normal mean %.2f worst %.2f at45 mean %.2f worst %.2f\n", normal.mean(), normal.worst, at45.mean(), at45.worst)
	for _, e := range []errorsOf{normal, at45} {
		if !(e.mean() <= 0.45 && e.worst <= 1.7) {
			t.Errorf("mean %.3f, worst %.3f; at most 0.45, 1.7", e.mean(), e.worst)
		}
	}
}

// Light and eye may change places. Of flat surfaces in the reference's films the
// beam's first order leaves a little.
func TestReciprocity45(t *testing.T) {
	var e errorsOf
	for _, r := range readTraced(t, "film-monte-carlo.csv", "photons.csv") {
		if r["surface_tilt_deg"] > 0 {
			continue
		}
		f := r.film(t)
		out := towards(45)
		out[2] = -out[2]
		e.add(offBy(r.seen(f, towards(45), vec{0, 0, -1}), r.seen(f, towards(0), out), veil))
	}
	t.Logf("45→0 against 0→45: mean %.2f worst %.2f", e.mean(), e.worst)
	if !(e.mean() <= 0.7 && e.worst <= 3.5) {
		t.Errorf("mean %.3f, worst %.3f; at most 0.7, 3.5", e.mean(), e.worst)
	}
}

// seen is the radiance factor of a flat film under light in towards out.
func (r traced) seen(f *Film, in, out vec) float64 {
	fr := newFrame(vec{0, 0, 1}, in)
	fc := f.from(f.facet(&fr, 1), fr.local(out), 1)
	return one(&fc, r.powder(), r["ground"])
}

// Real coats mirror unlike at each incidence, and the flakes that send light past the
// critical angle are the steepest met. Reflectances without gloss of films of face
// area 1.2 over a ground of 0.05, tilt 15°, traced flake by flake by an independent
// program (60,000 photons, noise about L* 0.1).
func TestTracedCoats(t *testing.T) {
	f := mustFilm(t, Lay{DefaultIndex, 15, 0, 0})
	ground := Under{Below: colour.Constant(0.05)}
	for _, c := range []struct{ coat, nm, deg, traced float64 }{{120, 550, 0, 0.0930}, {75, 450, 45, 0.0559}} {
		o, err := flake.New(flake.Layer{Material: "rutile", ThicknessNM: c.coat}).Table()
		if err != nil {
			t.Fatal(err)
		}
		r := f.round(towards(c.deg))
		p := r.Prepare(&Powder{FaceArea: 1, R: o.R, T: o.T})
		got := r.Band(int(c.nm-380)/10, &ground, []*Prepared{p}, []float64{1.2}, nil)
		if d := lightness(got+0.04) - lightness(c.traced+0.04); math.Abs(d) > 0.4 {
			t.Errorf("rutile %g nm at %g nm, light at %g°: %.4f, traced %.4f, L* off by %.2f", c.coat, c.nm, c.deg, got, c.traced, d)
		}
	}
}
