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

	"tawny/colour"
)

// traced is one film of the reference, one band.
type traced map[string]float64

func readTraced(t *testing.T, path string) []traced {
	t.Helper()
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

func (r traced) powder() *Powder {
	g := colour.Constant(r["g"])
	p := &Powder{FaceArea: r["face"], MuA: colour.Constant(r["mua"]), MuS: colour.Constant(r["mus"]), Moments: HenyeyGreenstein(&g)}
	p.R = []colour.Spectrum{colour.Constant(r["flake_r"])}
	p.T = []colour.Spectrum{colour.Constant(r["flake_t"])}
	return p
}

// look is light and view of a radiance factor, and of light alone.
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
func (r traced) hemispherical(t *testing.T, f *Film, deg float64) float64 {
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

func (r traced) radiance(t *testing.T, f *Film, aspecular float64) float64 {
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

func TestMonteCarlo(t *testing.T) {
	dir := os.Getenv("TAWNY_DATA")
	if dir == "" {
		t.Skip("TAWNY_DATA names no folder")
	}
	type sums struct {
		mean, worst [3]float64
		n           int
	}
	var kinds [4]sums
	for _, r := range readTraced(t, filepath.Join(dir, "film-monte-carlo.csv")) {
		f := r.film(t)
		var e [3]float64
		e[0] = math.Abs(lightness(r.hemispherical(t, f, 0)+0.04) - lightness(r["r_normal"]+0.04))
		e[1] = math.Abs(lightness(r.hemispherical(t, f, 45)+0.04) - lightness(r["r_45"]+0.04))
		for _, a := range []int{15, 45, 75, 110} {
			e[2] += math.Abs(lightness(r.radiance(t, f, float64(a))+0.04)-lightness(r[fmt.Sprintf("rf_%d", a)]+0.04)) / 4
		}
		k := &kinds[int(r["case"])%4]
		k.n++
		for i, v := range e {
			k.mean[i] += v
			k.worst[i] = max(k.worst[i], v)
		}
	}
	for i := range kinds {
		k := &kinds[i]
		n := float64(k.n)
		fmt.Printf("montecarlo kind %d normal mean %.2f worst %.2f at45 mean %.2f worst %.2f radiance mean %.2f worst %.2f\n",
			i, k.mean[0]/n, k.worst[0], k.mean[1]/n, k.worst[1], k.mean[2]/n, k.worst[2])
	}
}
