package job

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// powderOf is a built-in powder as a drawdown sees it.
func powderOf(t testing.TB, name string) palette.Optics {
	t.Helper()
	p, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	g, err := p.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return g.Optics
}

// drawing is a maker's afternoon: films of a powder over two cards.
type drawing struct {
	powder   palette.Optics
	geometry colour.Geometry // "" is di
	index    float64         // of the binder; 0 is the default
	like     string
	keys     []string  // further '# key: value' lines
	loads    []float64 // mg/cm² of powder
	massOff  float64   // relative error of what the loads are said to be
	sigma    float64   // ΔE00 of a reading's error
	grounds  []string
	seed     uint64
}

// card is a drawdown card under a film of binder.
func card(ground string) (r colour.Spectrum) {
	for j := range r {
		r[j] = 0.045
		if ground == "white" {
			r[j] = 0.82 + 0.04*float64(j)/colour.Bands
		}
	}
	return r
}

// write writes the file of drawdowns, spectra to 12 digits.
func (d drawing) write(t testing.TB, path string) {
	t.Helper()
	rng := rand.New(rand.NewPCG(d.seed, 3))
	kind := "ordinary"
	if d.powder.Flake {
		kind = "flake"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# powder: tested\n# kind: %s\n# geometry: %s\n# scale: unit\n# like: %s\n# date: 2026-03-02\n", kind, d.geometry.Assumed(), d.like)
	for _, k := range d.keys {
		fmt.Fprintf(&b, "# %s\n", k)
	}
	b.WriteString("film,ground,powder_mg_cm2,powder_error")
	for j := range colour.Bands {
		fmt.Fprintf(&b, ",R%g", colour.WavelengthNM(j))
	}
	row := func(head string, r colour.Spectrum) {
		b.WriteString("\n" + head)
		for _, v := range r {
			fmt.Fprintf(&b, ",%.12g", v)
		}
	}
	grounds := d.grounds
	if grounds == nil {
		grounds = []string{"black", "white"}
	}
	for _, g := range grounds {
		row("bare,"+g+",,", card(g))
	}
	for i, m := range d.loads {
		lies := m * math.Exp(d.massOff*rng.NormFloat64())
		for _, g := range grounds {
			r, err := d.read(g, lies)
			if err != nil {
				t.Fatal(err)
			}
			row(fmt.Sprintf("%c,%s,%g,%g", 'a'+i, g, m, math.Max(d.massOff, 1e-6)*m), disturbed(rng, r, d.sigma))
		}
	}
	if err := os.WriteFile(path, []byte(b.String()+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

// read is what is read of a film of mg/cm² on a card, by the film that predicts a
// worn blend.
func (d drawing) read(ground string, mg float64) (colour.Spectrum, error) {
	return film.Diffuse(film.Worn{
		Ground: film.Ground{Reflectance: card(ground), Geometry: d.geometry, Card: true}, Tilt: 10, Base: film.Base{Index: d.index},
		Parts: []film.Part{{Pigment: &palette.Pigment{Optics: d.powder}, Percent: 100 * mg / film.MaxApply}}, Apply: film.MaxApply,
	})
}

// disturbed adds an instrument's error: level, slope and bow and a little
// grain, as large as makes a root mean square ΔE00 of sigma.
func disturbed(rng *rand.Rand, r colour.Spectrum, sigma float64) colour.Spectrum {
	if sigma == 0 {
		return r
	}
	shape := func() (e colour.Spectrum) {
		a, b, c := rng.NormFloat64(), 0.5*rng.NormFloat64(), 0.5*rng.NormFloat64()
		for j := range e {
			x := 2*float64(j)/(colour.Bands-1) - 1
			e[j] = r[j] * (a + b*x + c*(x*x-1.0/3) + 0.3*rng.NormFloat64())
		}
		return e
	}
	was, squares := colour.D65.Lab(&r), 0.0
	const draws, probe = 24, 1e-3
	for range draws {
		e, s := shape(), r
		for j := range s {
			s[j] += probe * e[j]
		}
		d := colour.DeltaE00(was, colour.D65.Lab(&s))
		squares += d * d / draws
	}
	e := shape()
	for j := range r {
		r[j] += e[j] * probe * sigma / math.Sqrt(squares)
	}
	return r
}

// One film over two grounds, read without noise, gives K and S back to 1e-6.
func TestFitClosedFormRecovers(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	for _, c := range []struct {
		name string
		load float64
	}{{"red oxide", 0.02}, {"yellow oxide", 0.02}, {"titanium white", 0.05}, {"chromia green", 0.05}} {
		p := powderOf(t, c.name)
		drawing{powder: p, like: c.name, loads: []float64{c.load}}.write(t, path)
		r, err := Fit(desk, FitInput{File: path})
		if err != nil {
			t.Fatal(err)
		}
		if r.Method != leastPair {
			t.Errorf("%s: by %s", c.name, r.Method)
		}
		worst := 0.0
		for j := range r.K {
			worst = math.Max(worst, math.Max(math.Abs(r.K[j]-p.K[j]), math.Abs(r.S[j]-p.S[j]))/(p.K[j]+p.S[j]))
		}
		t.Logf("%-15s K and S back to %.1g of K + S", c.name, worst)
		if worst > 1e-6 {
			t.Errorf("%s: off by %g", c.name, worst)
		}
	}
}

// Six noisy drawdowns, put into a drawer and taken out again, predict loads
// that were not drawn, on skin: mean ΔE00 under 0.5. Each reading is off by ΔE00
// 0.3 and each mass by 2 %.
func TestFitPredictsUnseenLoads(t *testing.T) {
	dir := t.TempDir()
	tan, err := skin.Find("tan")
	if err != nil {
		t.Fatal(err)
	}
	all, n := 0.0, 0
	for _, name := range []string{"pale gold", "bronze", "red oxide"} {
		p := powderOf(t, name)
		loads := []float64{0.05, 0.1, 0.2}
		if !p.Flake {
			loads = []float64{0.01, 0.02, 0.04}
		}
		mean, worst, seeds := 0.0, 0.0, 6
		for seed := range seeds {
			file, drawerFile := filepath.Join(dir, "d.csv"), filepath.Join(dir, fmt.Sprintf("%s-%d.csv", Slug(name, "powder"), seed))
			drawing{powder: p, like: name, loads: loads, massOff: 0.02, sigma: 0.3, seed: uint64(seed)}.write(t, file)
			r, err := Fit(desk, FitInput{File: file, Add: true, Drawer: drawerFile})
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict == drawdown.DoesNotHold {
				t.Errorf("%s, seed %d: %s", name, seed, r.Reasons)
			}
			drawer, err := desk.OpenDrawer(drawerFile, film.DefaultIndex)
			if err != nil {
				t.Fatal(err)
			}
			truth := *drawer.Pigments[0]
			truth.Optics.K, truth.Optics.S = p.K, p.S
			for _, m := range []float64{0.3, 0.7, 1.5, 3} {
				percent := m * loads[1] * 100
				var got [2]colour.Lab
				for i, g := range []*palette.Pigment{drawer.Pigments[0], &truth} {
					look, err := film.Predict(film.Worn{Ground: film.Ground{Reflectance: tan.Reflectance}, Parts: []film.Part{{Pigment: g, Percent: percent}}, Apply: 1})
					if err != nil {
						t.Fatal(err)
					}
					got[i] = look.Lab
				}
				d := colour.DeltaE00(got[0], got[1])
				mean, worst, all, n = mean+d/float64(4*seeds), math.Max(worst, d), all+d, n+1
			}
		}
		t.Logf("%-10s mean ΔE00 %.2f, worst %.2f", name, mean, worst)
		if mean >= 0.5 {
			t.Errorf("%s: mean ΔE00 %.2f on loads not drawn", name, mean)
		}
	}
	t.Logf("all: mean ΔE00 %.2f over %d predictions", all/float64(n), n)
}

// Readings as L*a*b* only go through a smooth spectrum and are marked so.
func TestFitOfLabOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	text := "# powder: p\n# kind: ordinary\n# geometry: d:8\n# specular: included\n" +
		"film;ground;powder_mg_cm2;powder_error;L;a;b\nbare;black;;;25,3;0,0;0,0\nbare;white;;;94,0;0,1;0,9\n" +
		"a;black;0,02;0,0004;33,8;6,4;6,6\na;white;0,02;0,0004;50,1;22,6;16,4\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	r, err := Fit(desk, FitInput{File: path})
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict != drawdown.WithCare || !strings.Contains(strings.Join(r.Reasons, " "), "L*a*b* only") {
		t.Errorf("%s: %s", r.Verdict, r.Reasons)
	}
}

// Grains that clump do not hold, and are not added unless asked.
func TestFitThatDoesNotHold(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "d.csv")
	p := powderOf(t, "titanium white")
	drawing{powder: p, like: "titanium white", loads: []float64{0.05, 0.1, 0.2}}.write(t, path)
	data, _ := os.ReadFile(path)
	// The heaviest film reads as if a third of it hid behind the rest.
	lines := strings.Split(string(data), "\n")
	other := filepath.Join(dir, "o.csv")
	drawing{powder: p, like: "titanium white", loads: []float64{0.05, 0.1, 0.12}}.write(t, other)
	swap, _ := os.ReadFile(other)
	for i, l := range strings.Split(string(swap), "\n") {
		if strings.HasPrefix(l, "c,") {
			cells, old := strings.SplitN(l, ",", 5), strings.SplitN(lines[i], ",", 5)
			lines[i] = strings.Join(append(old[:4], cells[4]), ",")
		}
	}
	if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	drawerFile := filepath.Join(dir, "drawer.csv")
	_, err := Fit(desk, FitInput{File: path, Add: true, Drawer: drawerFile})
	if !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "does not hold") {
		t.Fatalf("added: %v", err)
	}
	if desk.isFile(drawerFile) {
		t.Error("a drawer was written all the same")
	}
	if _, err := Fit(desk, FitInput{File: path, Add: true, Drawer: drawerFile, Anyway: true}); err != nil {
		t.Error(err)
	}
}

// A drawer is added to, refuses a second powder of a name, and is never left
// half written or naming a spectrum that is not there.
func TestFitIntoDrawer(t *testing.T) {
	dir := t.TempDir()
	path, drawerFile := filepath.Join(dir, "d.csv"), filepath.Join(dir, "drawer.csv")
	drawing{powder: powderOf(t, "bronze"), like: "bronze", loads: []float64{0.05, 0.1, 0.2}, keys: []string{"lot: B-1", "stock_g: 12"}}.write(t, path)
	in := FitInput{File: path, Add: true, Drawer: drawerFile}
	first, err := Fit(desk, in)
	if err != nil || !first.Added.New {
		t.Fatal(err)
	}
	before, _ := os.ReadFile(drawerFile)
	if _, err := Fit(desk, in); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "already in the drawer") {
		t.Fatalf("a second: %v", err)
	}
	if after, _ := os.ReadFile(drawerFile); string(after) != string(before) {
		t.Error("the drawer changed")
	}
	if list, _ := os.ReadDir(dir); len(list) != 3 {
		t.Errorf("%d files are left, want the drawdowns, the drawer and one spectrum", len(list))
	}
	in.Replace = true
	again, err := Fit(desk, in)
	if err != nil || !again.Added.Replaced || again.Added.Spectrum == first.Added.Spectrum {
		t.Fatalf("replaced: %+v, %v", again, err)
	}
	p, err := desk.OpenDrawer(drawerFile, film.DefaultIndex)
	if err != nil || len(p.Pigments) != 1 {
		t.Fatal(err)
	}
	g := p.Pigments[0]
	if g.Source != palette.Measured || g.Lot != "B-1" || g.StockG != 12 || g.D50 != 24 || !g.Optics.Flake {
		t.Errorf("%+v", g)
	}
	// What a drawdown cannot tell comes from the coat it is like.
	if g.Optics.FaceArea == 0 || len(g.Optics.R) == 0 {
		t.Error("the flake has no face area or does not turn")
	}
}

// Invented readings make a powder marked demo, never measured.
func TestFitOfDemoIsDemo(t *testing.T) {
	drawerFile := filepath.Join(t.TempDir(), "drawer.csv")
	r, err := Fit(desk, FitInput{File: "../../../testdata/fit/pale-gold-demo.csv", Add: true, Drawer: drawerFile})
	if err != nil {
		t.Fatal(err)
	}
	if r.Source != "demo" || r.Verdict != drawdown.Holds || r.Mean > 0.5 || !strings.HasSuffix(r.Row, ",demo") {
		t.Errorf("%s, %s, residual %.2f, row %s", r.Source, r.Verdict, r.Mean, r.Row)
	}
	if r.SError > 0.1 || len(r.KLow) != colour.Bands || r.KLow[0] > r.K[0] || r.KHigh[0] < r.K[0] {
		t.Errorf("bands: S to %.2f, K %g in %g to %g", r.SError, r.K[0], r.KLow[0], r.KHigh[0])
	}
}

// What a file leaves out and a command line asks for is said without --add too.
func TestFitPassesNothingOver(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "d.csv")
	drawing{powder: powderOf(t, "bronze"), like: "bronze", loads: []float64{0.05, 0.1, 0.2}}.write(t, path)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	const note = "does not say how it was read, so a sphere"
	for _, c := range []struct {
		drop string
		want bool
	}{{"", false}, {"# geometry: di\n", true}} {
		os.WriteFile(path, []byte(strings.Replace(string(whole), c.drop, "", 1)), 0o644)
		if r, err := Fit(desk, FitInput{File: path}); err != nil || strings.Contains(strings.Join(r.Notes, " "), note) != c.want {
			t.Errorf("without %q: %+v, %v", c.drop, r, err)
		}
	}
	os.WriteFile(path, []byte(strings.Replace(string(whole), "like: bronze", "like: nosuch", 1)), 0o644)
	if _, err := Fit(desk, FitInput{File: path}); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), `like: nothing is called "nosuch"`) {
		t.Errorf("like nothing there is: %v", err)
	}
	os.WriteFile(path, whole, 0o644)
}

// A pair says by which method it was solved; one film over black alone does not hold.
func TestFitOfOnePairSaysHow(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	for _, c := range []struct {
		name, method string
		load         float64
	}{{"pale gold", leastPair, 0.1}, {"red oxide", leastPair, 0.02}, {"red oxide", leastPair, 5}} {
		drawing{powder: powderOf(t, c.name), like: c.name, loads: []float64{c.load}}.write(t, path)
		r, err := Fit(desk, FitInput{File: path})
		if err != nil || r.Method != c.method {
			t.Errorf("%s at %g mg/cm²: %+v, %v", c.name, c.load, r, err)
		}
	}
	drawing{powder: powderOf(t, "pale gold"), like: "pale gold", loads: []float64{0.05, 0.1, 0.2}, grounds: []string{"black"}}.write(t, path)
	r, err := Fit(desk, FitInput{File: path})
	if err != nil || r.Verdict != drawdown.WithCare || !strings.Contains(strings.Join(r.Reasons, " "), "only one ground") {
		t.Errorf("over black: %+v, %v", r, err)
	}
}

const fitHead = "# powder: p\n# kind: flake\n# geometry: d:8\n# specular: included\n"

// Each fault is one sentence that says where it is and what would do.
func TestFitRefuses(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "d.csv")
	rows := "bare,black,,25,0,0\nbare,white,,94,0,1\na,black,0.1,60,-4,16\na,white,0.1,93,0,2\n"
	for _, c := range []struct{ text, want string }{
		{"", "no header"},
		{fitHead + "film,ground,L,a,b\n", "no rows"},
		{fitHead + "name,L,a,b\nx,1,2,3\n", "columns film and ground"},
		{fitHead + "film,ground,powder_mg_cm2,L,a,b\nbare,black,,25,0,0\n", "has no film"},
		{fitHead + "film,ground,powder_mg_cm2,L,a,b\na,black,0.1,60,-4,16\n", "looks like by itself"},
		{fitHead + "film,ground,powder_mg_cm2,L,a,b\n" + strings.Replace(rows, "0.1", "-0.1", 1), ":8: powder_mg_cm2"},
		{fitHead + "film,ground,powder_mg_cm2,L,a,b\n" + strings.Replace(rows, "0.1", "", 1), "given in 0 ways"},
		{fitHead + "film,ground,wet_um,L,a,b\n" + strings.ReplaceAll(rows, "0.1", "40"), "density_g_cm3 together"},
		{fitHead + "film,ground,film_mg_cm2,L,a,b\n" + rows, "load_percent"},
		{fitHead + "film,ground,powder_mg_cm2,L,a,b\n" + strings.Replace(rows, "a,white,0.1", "a,white,0.2", 1), "given as"},
		{strings.Replace(fitHead, "flake", "glitter", 1) + "film,ground,powder_mg_cm2,L,a,b\n" + rows, "d.csv:2: kind: it is"},
		{strings.Replace(fitHead, "d:8", "60:0", 1) + "film,ground,powder_mg_cm2,L,a,b\n" + rows, "d.csv:3: geometry: \"60:0\" is no geometry"},
		{fitHead + "# date: yesterday\nfilm,ground,powder_mg_cm2,L,a,b\n" + rows, "d.csv:5: date: it is"},
		{fitHead + "# tilt: 90\nfilm,ground,powder_mg_cm2,L,a,b\n" + rows, "d.csv:5: tilt: 90 is outside 1 to 40"},
		{fitHead + "# source: measured, modelled or so\n# source: modelled\nfilm,ground,powder_mg_cm2,L,a,b\n" + rows, "d.csv:6: source: it is"},
		{strings.Replace(fitHead, "# powder: p\n", "", 1) + "film,ground,powder_mg_cm2,L,a,b\n" + rows, "which powder"},
		{fitHead + "# readings: ../x.csv\nfilm,ground,powder_mg_cm2,sample\nbare,black,,x\n", "a file beside this one"},
		{fitHead + "# readings: none.csv\nfilm,ground,powder_mg_cm2,sample\nbare,black,,x\n", "no such file"},
		{fitHead + "film,ground,film,L,a,b\na,black,b,50,0,0\n", "d.csv:5: header: the column \"film\" stands there twice"},
		{fitHead + "film,ground,lot,powder_mg_cm2,L,a,b\nbare,black,,,25,0,0\na,black,1,0.1,60,-4,16\nb,black,2,0.1,60,-4,16\n", "one lot"},
		{fitHead + "film,ground,powder_mg_cm2,L,a,b\nbare,black,,25,0,0\na,black,0.1,60,-4,16\n", "tawny lot"},
	} {
		if err := os.WriteFile(path, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		_, err := Fit(desk, FitInput{File: path})
		if !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q, got %v", c.want, err)
		}
	}
	if err := os.WriteFile(path, []byte(fitHead+"film,ground,powder_mg_cm2,L,a,b\n"+rows), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Fit(desk, FitInput{File: path, Add: true, Drawer: filepath.Join(dir, "drawer.csv")}); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "# like: pale gold") {
		t.Errorf("a powder of which nothing is known: %v", err)
	}
}
