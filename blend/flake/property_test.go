package flake

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tawny/blend/flake/constants"
	"tawny/blend/flake/mie"
	"tawny/colour"
)

// anyFlake draws flakes over the whole accepted range, absorbing coats and the
// corners included.
func anyFlake(t *rapid.T) Flake {
	var names []string
	for _, name := range constants.Names() {
		if m, err := constants.Find(name); err == nil && m.Coat {
			names = append(names, name)
		}
	}
	f := Flake{
		SubstrateNM: rapid.Float64Range(20, MaxSubstrateNM).Draw(t, "substrate"),
		CoatSpread:  rapid.SampledFrom([]float64{0, 0.05, 0.3}).Draw(t, "coat spread"),
		Binder:      rapid.Float64Range(1, MaxBinder).Draw(t, "binder"),
		CoatPacking: rapid.SampledFrom([]float64{0, 0.31, 0.8, 1}).Draw(t, "packing"),
	}
	f.SubstrateSpreadNM = f.SubstrateNM * rapid.SampledFrom([]float64{0, 1e-6, 0.01, 0.25, 0.5}).Draw(t, "spread")
	for range rapid.IntRange(0, 3).Draw(t, "coats") {
		f.Coats = append(f.Coats, Layer{
			rapid.SampledFrom(names).Draw(t, "material"),
			rapid.SampledFrom([]float64{0, 1e-9, 20, 75.5, 140, 400}).Draw(t, "thickness"),
		})
	}
	return f
}

func TestEnergyIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFlake(t)
		deg := rapid.OneOf(rapid.Float64Range(0, 89.9), rapid.Just(89.9), rapid.Just(0.0)).Draw(t, "angle")
		r, tr, a, err := f.At(deg)
		if err != nil {
			t.Fatal(err)
		}
		clear := true
		for _, c := range f.Coats {
			m, _ := constants.Find(c.Material)
			clear = clear && imag(m.OnGrid()[0]) == 0
		}
		for b := range r {
			switch {
			case !(r[b] >= -1e-12 && r[b] <= 1+1e-12):
				t.Fatalf("band %d: reflectance %g", b, r[b])
			case !(tr[b] >= -1e-12 && tr[b] <= 1+1e-12):
				t.Fatalf("band %d: transmittance %g", b, tr[b])
			case !(a[b] >= -1e-12):
				t.Fatalf("band %d: absorptance %g", b, a[b])
			case math.Abs(r[b]+tr[b]+a[b]-1) > 1e-15:
				t.Fatalf("band %d: r + t + a = %.17g", b, r[b]+tr[b]+a[b])
			case clear && math.Abs(a[b]) > 1e-12:
				t.Fatalf("band %d: a clear flake absorbs %g", b, a[b])
			}
		}
	})
}

// A coated face sends as much light in as out, whichever side it comes from
// (Stokes, and Born & Wolf 1.6): the determinant of its matrix is 1, so the two
// transmittances are equal, and for clear coats both reflectances are.
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFlake(t)
		p, err := f.prepare()
		if err != nil {
			t.Fatal(err)
		}
		b := rapid.IntRange(0, colour.Bands-1).Draw(t, "band")
		deg := rapid.Float64Range(0, 89.5).Draw(t, "angle")
		sin, cos := math.Sincos(deg * math.Pi / 180)
		beta2 := p.binder * p.binder * sin * sin
		const micaEps = constants.MuscoviteIndex * constants.MuscoviteIndex
		inMica := math.Sqrt(micaEps - beta2)
		forth, back := unit, unit
		clear := true
		for i := range p.films {
			w := newWave(p.films[i].epsilon[b], 2*math.Pi/colour.WavelengthNM(b)*p.films[i].thickness, beta2)
			s, _ := w.layer(1)
			back = back.times(s)
			forth = s.times(forth)
			clear = clear && imag(p.films[i].epsilon[b]) == 0
		}
		near, far := complex(p.binder*cos, 0), complex(inMica, 0)
		one, other := forth.face(near, far), back.face(far, near)
		scale := 1 + mie.Norm(one.through)
		if d := mie.Norm(one.through - other.through); d > 1e-18*scale {
			t.Fatalf("through one way and the other differ by %g", math.Sqrt(d))
		}
		if d := mie.Norm(one.inner - other.outer); d > 1e-18 {
			t.Fatalf("reflection from the mica, two ways, differs by %g", math.Sqrt(d))
		}
		if clear {
			if d := math.Abs(mie.Norm(one.inner) - mie.Norm(one.outer)); d > 1e-10 {
				t.Fatalf("clear coats reflect %g and %g from the two sides", mie.Norm(one.outer), mie.Norm(one.inner))
			}
		}
	})
}

// Coats of no thickness are plain mica, and splitting a coat changes nothing.
func TestCoatsAdd(t *testing.T) {
	plain, _, _, err := New().At(20)
	if err != nil {
		t.Fatal(err)
	}
	none, _, _, err := New(Layer{"hematite", 0}, Layer{"rutile", 0}).At(20)
	if err != nil {
		t.Fatal(err)
	}
	if d := colour.RMS(&plain, &none); d > 1e-14 {
		t.Errorf("coats of 0 nm differ from plain mica by %g", d)
	}
	whole, _, _, _ := New(Layer{"hematite", 60}).At(50)
	split, _, _, _ := New(Layer{"hematite", 45}, Layer{"hematite", 15}).At(50)
	if d := colour.RMS(&whole, &split); d > 1e-12 {
		t.Errorf("60 nm and 45 + 15 nm differ by %g", d)
	}
}
