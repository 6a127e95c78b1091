package job

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// A lot an eighth stronger is told from one film over black, and the blend
// comes back to its look with an eighth less of it.
func TestLotStronger(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lot.csv")
	p := powderOf(t, "bronze")
	drawing{powder: p.Scaled(1.125), like: "bronze", loads: []float64{0.15}, grounds: []string{"black"}, keys: []string{"powder: bronze", "lot: B-2"}}.write(t, path)
	in := LotInput{File: path, Input: Input{Parts: []string{"bronze=3"}}}
	in.Skin = "very light"
	r, err := lotOf(in)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.Strength-1.125) > 1e-4 || r.Shade.DeltaE00 > 0.01 {
		t.Errorf("strength %g, shade %+v", r.Strength, r.Shade)
	}
	if got := r.Blend.Rematched.Parts[0].Percent; math.Abs(got-3/1.125) > 0.03 || r.Blend.Rematched.DeltaE00 > 0.03 {
		t.Errorf("%.3f %%, ΔE00 %.3f from the old look", got, r.Blend.Rematched.DeltaE00)
	}
	if r.Blend.Unchanged.DeltaE00 < 3*r.Blend.Rematched.DeltaE00 {
		t.Errorf("the old recipe already was ΔE00 %.3f off", r.Blend.Unchanged.DeltaE00)
	}
	t.Logf("12.5 %% stronger: found %.1f %%; same recipe ΔE00 %.2f, changed %.2f", 100*(r.Strength-1), r.Blend.Unchanged.DeltaE00, r.Blend.Rematched.DeltaE00)
}

// A lot of another coat: one film over black corrects K and S band by band, and
// the blend matched with them is nearer its old look than the old recipe is, as
// the lot really looks.
func TestLotOfAnotherShade(t *testing.T) {
	dir := t.TempDir()
	drawerFile, file, path := filepath.Join(dir, "drawer.csv"), filepath.Join(dir, "d.csv"), filepath.Join(dir, "lot.csv")
	was, is := powderOf(t, "pale gold"), powderOf(t, "straw gold").Scaled(1.5)
	drawing{powder: was, like: "pale gold", loads: []float64{0.05, 0.1, 0.2}, keys: []string{"lot: 1"}}.write(t, file)
	if _, err := Fit(desk, FitInput{File: file, Add: true, Drawer: drawerFile}); err != nil {
		t.Fatal(err)
	}
	drawing{powder: is, like: "pale gold", loads: []float64{0.15}, grounds: []string{"black"}, keys: []string{"lot: 2"}}.write(t, path)
	in := LotInput{File: path, Input: Input{Parts: []string{"tested=5"}}, Add: true}
	in.Drawer, in.Skin, in.Apply = drawerFile, "tan", "full"
	r, err := lotOf(in)
	if err != nil {
		t.Fatal(err)
	}
	if r.Shade.DeltaE00 < 1 || r.Shade.DC < 0.5 {
		t.Errorf("a yellower lot: shade %+v", r.Shade)
	}
	p, err := desk.OpenDrawer(drawerFile, film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	g := p.Pigments[0]
	if g.Lot != "2" || !r.Added.Replaced {
		t.Errorf("the drawer holds lot %s", g.Lot)
	}
	// The films themselves are given back.
	reader, _ := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}.Reader(colour.DI)
	at := func(q palette.Optics, ground string, m float64) colour.Lab {
		bare := card(ground)
		under, err := reader.Card(&bare)
		if err != nil {
			t.Fatal(err)
		}
		var s colour.Spectrum
		reader.Read(&s, nil, &under, []*film.Prepared{reader.Prepare(film.PowderOf(&q))}, []float64{m})
		return colour.D65.Lab(&s)
	}
	now := g.Optics
	if d := colour.DeltaE00(at(now, "black", 0.15), at(is, "black", 0.15)); d > 0.3 {
		t.Errorf("the new lot's own film is ΔE00 %.2f off", d)
	}
	if a, b := colour.DeltaE00(at(now, "black", 0.05), at(is, "black", 0.05)), colour.DeltaE00(at(was, "black", 0.05), at(is, "black", 0.05)); a > b/3 {
		t.Errorf("a thinner film is ΔE00 %.2f off, with the old lot's data %.2f", a, b)
	}
	if r.Blend.Rematched.DeltaE00 >= r.Blend.Unchanged.DeltaE00 {
		t.Errorf("changed ΔE00 %.2f, unchanged %.2f", r.Blend.Rematched.DeltaE00, r.Blend.Unchanged.DeltaE00)
	}
}

// Drawn down beside each other, two lots tell their own difference however far
// off the data on record are.
func TestLotBesideTheOld(t *testing.T) {
	dir := t.TempDir()
	one, two, path := filepath.Join(dir, "1.csv"), filepath.Join(dir, "2.csv"), filepath.Join(dir, "lot.csv")
	real := powderOf(t, "straw gold").Scaled(0.8) // what the maker's pale gold is in truth
	drawing{powder: real, like: "pale gold", loads: []float64{0.15}, grounds: []string{"black"}, keys: []string{"powder: pale gold"}}.write(t, one)
	drawing{powder: real.Scaled(1.1), like: "pale gold", loads: []float64{0.15}, grounds: []string{"black"}}.write(t, two)
	var lines []string
	first, _ := os.ReadFile(one)
	second, _ := os.ReadFile(two)
	for _, l := range strings.Split(strings.TrimSpace(string(first)), "\n") {
		switch {
		case strings.HasPrefix(l, "film,"):
			l = "lot," + l
		case strings.HasPrefix(l, "a,"):
			l = "old,old-" + l
		case strings.HasPrefix(l, "bare"):
			l = "," + l
		}
		lines = append(lines, l)
	}
	for _, l := range strings.Split(string(second), "\n") {
		if strings.HasPrefix(l, "a,") {
			lines = append(lines, "new,new-"+l)
		}
	}
	if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	r, err := lotOf(LotInput{File: path})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Beside || r.Films != 1 || math.Abs(r.Strength-1.1) > 0.005 || r.Shade.DeltaE00 > 0.1 {
		t.Errorf("%+v", r)
	}
	// Against the record alone it would have seemed another powder.
	os.WriteFile(path, second, 0o644)
	data := strings.Replace(string(second), "powder: tested", "powder: pale gold", 1)
	os.WriteFile(path, []byte(data), 0o644)
	if alone, err := lotOf(LotInput{File: path}); err != nil || alone.Shade.DeltaE00 < 1 {
		t.Errorf("%+v, %v", alone, err)
	}
}

// A file read at 45°:0°, compared and taken into the drawer, gives a blend that
// looks as it did, read in any geometry; the same powder unchanged is told as that.
func TestLotAtFortyFive(t *testing.T) {
	dir := t.TempDir()
	path, drawerFile := filepath.Join(dir, "lot.csv"), filepath.Join(dir, "drawer.csv")
	for _, name := range []string{"pale gold", "violet gleam", "red oxide"} {
		p := powderOf(t, name)
		first := drawing{powder: p, geometry: colour.At45, like: name, loads: []float64{0.05, 0.1, 0.2}, keys: []string{"powder: " + name, "lot: 1"}}
		first.write(t, path)
		if _, err := Fit(desk, FitInput{File: path, Add: true, Drawer: drawerFile, Replace: true}); err != nil {
			t.Fatal(err)
		}
		for _, by := range []float64{1, 1.15} {
			drawing{powder: p.Scaled(by), geometry: colour.At45, loads: []float64{0.1}, grounds: []string{"white"}, keys: []string{"powder: " + name, "lot: 2"}}.write(t, path)
			in := LotInput{File: path}
			in.Drawer, in.Add = drawerFile, by != 1
			r, err := lotOf(in)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(r.Strength/by-1) > 0.01 || r.Shade.DeltaE00 > 0.1 {
				t.Errorf("%s × %g: told as × %.4f, shade ΔE00 %.3f", name, by, r.Strength, r.Shade.DeltaE00)
			}
		}
		d, err := desk.OpenDrawer(drawerFile, film.DefaultIndex)
		if err != nil {
			t.Fatal(err)
		}
		now, err := d.Find(name)
		if err != nil || now.Lot != "2" {
			t.Fatalf("%+v, %v", now, err)
		}
		stronger := palette.Pigment{Name: name, Optics: p.Scaled(1.15)}
		var looks [2]*film.Look
		for i, g := range []*palette.Pigment{now, &stronger} {
			if looks[i], err = film.Predict(film.Worn{Ground: film.Ground{Reflectance: card("black")}, Parts: []film.Part{{Pigment: g, Percent: 5}}, Apply: 2, Tilt: 10}); err != nil {
				t.Fatal(err)
			}
		}
		for g, v := range looks[0].Views {
			if off := colour.DeltaE00(v, looks[1].Views[g]); off > 0.05 {
				t.Errorf("%s, %s: the new lot in the drawer looks ΔE00 %.3f from what it is", name, g, off)
			}
		}
		if math.Abs(looks[0].Covered-looks[1].Covered) > 0.01 {
			t.Errorf("%s covers %.3f, is %.3f", name, looks[0].Covered, looks[1].Covered)
		}
	}
}

// With two films over two grounds the new lot stands on its own.
func TestLotOfItsOwnFilms(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lot.csv")
	drawing{powder: powderOf(t, "copper"), like: "bronze", loads: []float64{0.1, 0.2}, keys: []string{"powder: bronze"}}.write(t, path)
	r, err := lotOf(LotInput{File: path})
	if err != nil || r.Method != "its own films" {
		t.Errorf("%+v, %v", r, err)
	}
}

// A recipe stays where the films cannot tell a gain; else the new lot's powder is
// changed alone where that does; else others move with it, and are named.
func TestLotMovesNoMoreThanIsKnown(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lot.csv")
	at := func(powder, is string, strength float64, apply string, parts ...string) (*LotBlend, []float64) {
		drawing{powder: powderOf(t, is).Scaled(strength), like: powder, loads: []float64{0.15}, grounds: []string{"black"}, keys: []string{"powder: " + powder, "lot: N"}}.write(t, path)
		in := LotInput{File: path, Input: Input{Parts: parts}}
		in.Skin, in.Apply = "tan", apply
		r, err := lotOf(in)
		if err != nil {
			t.Fatal(err)
		}
		b := r.Blend
		if b.Rematched.DeltaE00 > b.Unchanged.DeltaE00 || b.Known < readingRepeat || b.Words == "" {
			t.Errorf("%s as %s: ΔE00 %.2f, was %.2f: %s", powder, is, b.Rematched.DeltaE00, b.Unchanged.DeltaE00, b.Words)
		}
		var change []float64
		for i := range b.Rematched.Parts {
			change = append(change, b.Rematched.Parts[i].Percent/b.Unchanged.Parts[i].Percent)
		}
		return b, change
	}
	b, by := at("pale gold", "pale gold", 1.03, "sheer", "pale gold=2", "red oxide=0.05")
	if !b.Kept || by[0] != 1 || by[1] != 1 || !strings.Contains(b.Words, "keep the recipe") {
		t.Errorf("a little stronger: %v, %s", by, b.Words)
	}
	b, by = at("pale gold", "pale gold", 1.3, "full", "pale gold=4", "red oxide=0.05")
	if b.Kept || math.Abs(by[0]-1/1.3) > 0.02 || by[1] != 1 || len(b.Moved) > 0 {
		t.Errorf("much stronger: %v, %s", by, b.Words)
	}
	b, by = at("pale gold", "straw gold", 1, "full", "pale gold=5", "silver white=3")
	if b.Kept || math.Abs(by[1]-1) < 0.1 || len(b.Moved) != 1 || b.Moved[0] != "silver white" || !strings.Contains(b.Words, "so silver white is changed with it") {
		t.Errorf("another shade: %v, %s", by, b.Words)
	}
	b, by = at("pale gold", "straw gold", 1, "full", "pale gold=5", "bronze=2")
	if !b.Kept || b.Unchanged.DeltaE00 < 1 || !strings.Contains(b.Words, "match again with others") {
		t.Errorf("out of reach: %v, %s", by, b.Words)
	}
}

// A turn of hue is said by the hues it lies between, whatever the powder.
func TestShadeTurns(t *testing.T) {
	for _, c := range []struct {
		hue, dh float64
		want    string
	}{{60, 1, "yellower"}, {60, -1, "redder"}, {100, 1, "greener"}, {100, -1, "yellower"}, {290, -1, "bluer"}, {290, 1, "redder"}, {60, 0.1, ""}} {
		if got := turnWords(drawdown.Shade{DH: c.dh}, c.hue); got != c.want {
			t.Errorf("hue %g°, ΔH* %g: %q, want %q", c.hue, c.dh, got, c.want)
		}
	}
}

func TestLotRefuses(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "lot.csv")
	drawing{powder: powderOf(t, "bronze"), like: "bronze", loads: []float64{0.15}, grounds: []string{"black"}, keys: []string{"powder: bronze"}}.write(t, path)
	for _, c := range []struct {
		in   LotInput
		want string
	}{
		{LotInput{File: filepath.Join(dir, "none.csv")}, "no such file"},
		{LotInput{File: path, Add: true}, "which lot"},
		{LotInput{File: path, Input: Input{Skin: "tan", Parts: []string{"pale gold=2"}}}, "does not use bronze"},
		{LotInput{File: path, Input: Input{Parts: []string{"bronze=2"}}}, "no skin"},
	} {
		if _, err := lotOf(c.in); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q, got %v", c.want, err)
		}
	}
	data, _ := os.ReadFile(path)
	os.WriteFile(path, []byte(strings.Replace(string(data), "powder: bronze", "powder: brnze", 1)), 0o644)
	if _, err := lotOf(LotInput{File: path}); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "bronze") {
		t.Errorf("a misspelt powder: %v", err)
	}
	os.WriteFile(path, []byte(strings.Replace(string(data), "kind: flake", "kind: ordinary", 1)), 0o644)
	if _, err := lotOf(LotInput{File: path}); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "kind") {
		t.Errorf("another kind: %v", err)
	}
}
