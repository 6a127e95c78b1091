package mend

import (
	"math"
	"slices"
	"testing"

	"tawny/blend/film"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/skin"
)

// goldOn is a batch of a gold with some red on a preset, right as it is.
func goldOn(t *testing.T, preset string) *maker {
	t.Helper()
	s, err := skin.Find(preset)
	if err != nil {
		t.Fatal(err)
	}
	m := &maker{t: t, r: search.Request{Ground: film.Ground{Reflectance: s.Reflectance}, LoadLo: 4, LoadHi: 4, Apply: 1, Powders: drawer(t).Pigments}}
	m.made.BatchGrams = 200
	for _, p := range []struct {
		name  string
		grams float64
	}{{"bright gold", 7}, {"red oxide", 0.6}} {
		g, err := drawer(t).Find(p.name)
		if err != nil {
			t.Fatal(err)
		}
		m.made.Powders = append(m.made.Powders, Weighed{g, p.grams})
	}
	m.recipe = m.made.Parts()
	m.r.Targets = []search.Goal{{Lab: m.predicted(m.recipe).Lab}}
	return m
}

func (m *maker) predicted(parts []film.Part) *film.Look {
	m.t.Helper()
	look, err := film.Predict(film.Worn{Ground: m.r.Ground, Parts: parts, Apply: m.r.Apply})
	if err != nil {
		m.t.Fatal(err)
	}
	return look
}

// told is what would help a batch of which an eye says something.
func (m *maker) told(text string, change func(*Request)) (*Found, error) {
	m.t.Helper()
	l, err := ParseLooks(text, m.r.Targets[0].Lab)
	if err != nil {
		m.t.Fatal(err)
	}
	q := Request{
		Shade: m.r, Batch: m.made, Readings: []Reading{{Batch: m.made, Lab: l.Lab, ByEye: true}},
		BalanceStep: 0.01, KeepGleam: true, Planned: m.recipe, GleamBy: l.GleamBy,
	}
	if change != nil {
		change(&q)
	}
	return Options(m.t.Context(), q)
}

// What an eye says of the gleam, and a gleam asked for, lead the same way; the
// gleam told of each addition is the film's own; and what pulls apart is refused.
func TestGleamAsked(t *testing.T) {
	m := goldOn(t, "brown")
	asked := func(lo, hi float64) func(*Request) {
		return func(q *Request) {
			q.KeepGleam, q.Shade.Shimmer = false, &search.Shimmer{GleamLo: lo, GleamHi: hi}
		}
	}
	g := m.predicted(m.recipe).Gleam()
	for _, c := range []struct {
		looks  string
		change func(*Request)
		way    float64
	}{
		{"too flat", nil, 1}, {"too sparkly", nil, -1}, {"a little too flat, a little too dark", nil, 1},
		{"a little too dark", asked(1.15*g, 2*g), 1}, {"a little too dark", asked(0, 0.85*g), -1}, {"too flat", asked(1.1*g, 0), 1},
	} {
		found, err := m.told(c.looks, c.change)
		if err != nil || len(found.Options) == 0 {
			t.Fatalf("%s: %+v, %v", c.looks, found, err)
		}
		aim, near := found.Wanted, found.Look.Gleam
		if math.Abs(found.Planned.Gleam-g) > 1e-9 || math.Abs(near-m.predicted(partsOf(found, m)).Gleam()) > 1e-9 {
			t.Errorf("%s: gleam %.3f planned, %.3f now", c.looks, found.Planned.Gleam, near)
		}
		for _, o := range found.Options {
			gleam := m.predicted(o.Parts).Gleam()
			if (gleam-near)*c.way <= 0 || aim.GleamHi > 0 && c.way > 0 && gleam > aim.GleamHi+0.1 || c.way < 0 && gleam < aim.GleamLo-0.1 {
				t.Errorf("%s: gleam %.2f before, %.2f after, wanted %.2f to %.2f", c.looks, near, gleam, aim.GleamLo, aim.GleamHi)
			}
			near = gleam
		}
	}
	// What was weighed in is what was planned, where nothing else is said, whatever
	// water it lost since.
	m.made.EvaporatedG = 10
	if found, err := m.told("too dark", func(q *Request) { q.Planned = nil }); err != nil || math.Abs(found.Planned.Gleam-g) > 1e-9 {
		t.Errorf("planned %+v, want %.3f; %v", found, g, err)
	}
	m.made.EvaporatedG = 0
	if _, err := m.told("too flat", asked(0.5, 0.6*g)); err == nil {
		t.Error("too flat and less gleam are both taken")
	}
}

// partsOf is the batch as it stands, its powders as strong as they turned out.
func partsOf(f *Found, m *maker) (parts []film.Part) {
	for i, p := range m.made.Parts() {
		parts = append(parts, film.Part{Pigment: p.Pigment.AtStrength(f.Strengths[i].Factor), Percent: p.Percent})
	}
	return parts
}

// Where none is asked for, the gleam counts beside the shade: what keeps it is
// preferred, and the two together are what an answer is judged by.
func TestGleamKept(t *testing.T) {
	t.Parallel()
	m := goldOn(t, "tan")
	compared := 0
	for _, looks := range []string{"too yellow", "too green", "too strong, a little too dark", "much too yellow", "too red"} {
		q := func(q *Request) { q.NewPowders = 1 }
		kept, err := m.told(looks, q)
		if err != nil || kept.Wanted == nil {
			t.Fatalf("%s: %v, %v", looks, kept, err)
		}
		free, err := m.told(looks, func(r *Request) { q(r); r.KeepGleam = false })
		if err != nil {
			t.Fatal(err)
		}
		w := kept.Wanted
		off := func(o *Mending) (both, missing float64) {
			g := m.predicted(o.Parts).Gleam()
			missing = math.Max(0, math.Max(w.GleamLo-g, g-w.GleamHi))
			return math.Hypot(o.DeltaE00, keptWorth*missing), missing
		}
		if len(kept.Options) == 0 || len(free.Options) == 0 {
			continue
		}
		compared++
		a, lost := off(kept.Options[len(kept.Options)-1])
		b, wild := off(free.Options[len(free.Options)-1])
		t.Logf("%s: kept %.2f (%.2f of gleam lost), free %.2f (%.2f)", looks, a, lost, b, wild)
		if a > b+0.1 || lost > wild+0.1 {
			t.Errorf("%s: with the gleam kept ΔE00 %.2f, L* %.2f of gleam lost; without, %.2f and %.2f", looks, a, lost, b, wild)
		}
	}
	if compared < 2 {
		t.Errorf("%d compared", compared)
	}
}

// On deep skin every word ends in something that can be made: small additions,
// or what takes least, and that is what the film and the drawer say it is.
func TestOtherwise(t *testing.T) {
	t.Parallel()
	kinds := map[string]int{}
	for n, preset := range []string{"brown", "dark", "brown", "dark"} {
		alone := n > 1 // with its own powders
		m := goldOn(t, preset)
		all := m.r.Powders
		m.r.Powders = nil
		for i, g := range all { // half the drawer, since every two of it are tried
			if !alone && i%2 == 0 || slices.ContainsFunc(m.made.Powders, func(w Weighed) bool { return w.Pigment == g }) {
				m.r.Powders = append(m.r.Powders, g)
			}
		}
		target := m.r.Targets[0].Lab
		for _, looks := range []string{"too pink", "too yellow", "too strong", "too light", "much too light"} {
			found, err := m.told(looks, nil)
			if err != nil {
				t.Fatal(err)
			}
			if len(found.Options) > 0 {
				kinds["small"]++
				continue
			}
			o, grow, fresh, err := found.Otherwise()
			if err != nil || o == nil || found.Right() {
				t.Errorf("%s, %s: %v, %v", preset, looks, o, err)
				continue
			}
			at := plus(m.predicted(o.Parts).Lab, found.Offset)
			if d := colour.DeltaE00(at, target); math.Abs(d-o.DeltaE00) > 1e-6 || d > 0.75*found.Missing.DeltaE00+1e-9 {
				t.Errorf("%s, %s: said to leave ΔE00 %.3f of %.3f, leaves %.3f", preset, looks, o.DeltaE00, found.Missing.DeltaE00, d)
			}
			sum, more := o.BaseGrams, 0
			for _, a := range o.Additions {
				sum += a.Grams
				if a.New {
					more++
				}
			}
			switch {
			case fresh:
				kinds["fresh"]++
				for n := 1; n <= 2; n++ {
					if with, err := m.told(looks, func(q *Request) { q.NewPowders = n }); err != nil || len(with.Options) > 0 {
						t.Errorf("%s, %s: made anew, where %d new powders would mend it; %v", preset, looks, n, err)
					}
				}
				if math.Abs(sum-m.made.BatchGrams) > 1e-6 {
					t.Errorf("%s, %s: a fresh batch of %.3f g", preset, looks, sum)
				}
				// Its own powder is in it, as strong as it turned out.
				if !slices.ContainsFunc(o.Parts, func(p film.Part) bool { return slices.Contains(found.c.own, p.Pigment) }) {
					t.Errorf("%s, %s: %+v", preset, looks, o.Parts)
				}
			case grow > UsualGrowth:
				kinds["grown"]++
				// What is advised is offered when it is asked for, and with more growth too.
				for _, most := range []float64{grow, math.Ceil(grow*10+1e-9) / 10, math.Ceil(grow*10+1e-9)/10 + 0.3} {
					with, err := m.told(looks, func(q *Request) { q.MaxGrowth = most })
					if err != nil || len(with.Options) == 0 {
						t.Errorf("%s, %s: advised to grow by %.3g with at most %.3g, and with %.3g nothing is offered: %v", preset, looks, o.Growth, grow, most, err)
					}
				}
			default:
				kinds["new"]++
				with, err := m.told(looks, func(q *Request) { q.NewPowders = more })
				if err != nil || more == 0 || len(with.Options) == 0 {
					t.Errorf("%s, %s: %+v is not offered: %v", preset, looks, o.Additions, err)
				}
			}
			if !fresh && math.Abs(m.made.BatchGrams*(1+o.Growth)-m.made.BatchGrams-sum) > 1e-6 {
				t.Errorf("%s, %s: grown by %g, %.3f g added", preset, looks, o.Growth, sum)
			}
		}
	}
	t.Log(kinds)
	if kinds["new"] == 0 || kinds["fresh"] == 0 || kinds["grown"] == 0 {
		t.Errorf("not put to the test: %v", kinds)
	}
}

// A green, blue or violet powder is brought into a batch only where the best without
// is over ΔE00 1 farther, and then it is said; one asked for by name may be.
func TestOddHuesAreEarned(t *testing.T) {
	t.Parallel()
	m := goldOn(t, "tan")
	var odd []string
	for _, g := range m.r.Powders {
		if search.OddHue(g) {
			odd = append(odd, g.Name)
		}
	}
	brings := func(c *Mending) bool {
		return slices.ContainsFunc(c.Additions, func(a Addition) bool { return a.New && search.OddHue(a.Pigment) })
	}
	held, passed := 0, 0
	for _, looks := range []string{"much too pink", "too pink", "too pink, a little dark", "too red", "much too red, too dark", "much too red", "much too yellow", "too strong"} {
		of := func(change func(*Request)) (least float64, list []*Mending, f *Found) {
			f, err := m.told(looks, func(q *Request) {
				q.KeepGleam, q.NewPowders, q.Shade.Choice.Only = false, 1, []string{}
				change(q)
			})
			if err != nil {
				t.Fatal(err)
			}
			least = f.Missing.DeltaE00
			for _, o := range f.Options {
				least = math.Min(least, o.DeltaE00)
			}
			return least, f.Options, f
		}
		without, _, _ := of(func(q *Request) { q.Shade.Choice.Without = odd })
		_, all, _ := of(func(q *Request) {
			for _, g := range m.r.Powders {
				q.Shade.Choice.Only = append(q.Shade.Choice.Only, g.Name)
			}
		})
		_, list, f := of(func(q *Request) {})
		for _, o := range list {
			green := brings(o)
			if green != (o.Because != "") || green && without-o.DeltaE00 <= search.RuleWorth {
				t.Errorf("%s: %+v at ΔE00 %.2f, without %.2f, because %q", looks, o.Additions, o.DeltaE00, without, o.Because)
			}
			if green {
				held++
			}
		}
		if slices.ContainsFunc(all, brings) && !slices.ContainsFunc(list, brings) {
			passed++
		}
		if o, _, fresh, err := f.Otherwise(); len(list) == 0 && (err != nil || o != nil && !fresh && o.Because != "" && without-o.DeltaE00 <= search.RuleWorth) {
			t.Errorf("%s: advises %+v, %v", looks, o, err)
		}
	}
	if held == 0 || passed == 0 {
		t.Errorf("%d brought in, %d not worth it: nothing was tested", held, passed)
	}
}
