package skin

import (
	"math"
	"testing"

	"tawny/colour"
)

func TestPresets(t *testing.T) {
	all := Presets()
	if len(all) != Classes {
		t.Fatalf("%d presets, want one a class", len(all))
	}
	for i, p := range all {
		if p.Class != Class(i) || p.Name != Class(i).String() {
			t.Errorf("preset %d is %q of class %s", i, p.Name, p.Class)
		}
		if p.Extrapolated != (p.Class.Subjects() == 0) {
			t.Errorf("%s: extrapolated %v with %d subjects", p.Name, p.Extrapolated, p.Class.Subjects())
		}
		if !p.Preset || p.Note == "" || !p.ITAReliable || p.Undertone.Word != "neutral" {
			t.Errorf("%s: preset %v, note %q, ITA reliable %v, undertone %s", p.Name, p.Preset, p.Note, p.ITAReliable, p.Undertone.Word)
		}
		if i > 0 && p.Lab.L >= all[i-1].Lab.L {
			t.Errorf("%s is no deeper than %s", p.Name, all[i-1].Name)
		}
		// What a preset's L*a*b* is read back as is the preset.
		s, err := FromReading(p.Reading)
		if err != nil {
			t.Fatal(err)
		}
		if rms := colour.RMS(&s.Reflectance, &p.Reflectance); rms > 1e-9 || s.Class != p.Class {
			t.Errorf("%s: read back as %s, spectrum off by %.2g", p.Name, s.Class, rms)
		}
		for j, want := range presetITA {
			if i == j && math.Abs(p.ITA-want) > 1e-6 {
				t.Errorf("%s: ITA %.4f°, want %g°", p.Name, p.ITA, want)
			}
		}
	}
	all[0].Name = "changed"
	if Presets()[0].Name != "very light" {
		t.Error("Presets hands out its own copy")
	}
}

// Published of deep skin, 47 subjects of four groups by a d:8 instrument: its
// spectrum is flatter, its haemoglobin W fades, and its chroma rises with
// depth only to a point and falls again. Subjects of the light groups show the
// first half, so the presets, which follow one component, must do both.
func TestDeepSkinAsPublished(t *testing.T) {
	all := Presets()
	rise := func(r *colour.Spectrum) float64 { return r[34] - r[4] } // 420 to 720 nm
	// The W's middle peak stands at 560 nm between dips at 540 and 580; its
	// depth here is that of the 540 nm dip under the line from 510 to 590.
	dip := func(r *colour.Spectrum) float64 { return 1 - r[16]/(r[13]+(r[21]-r[13])*3/8) }
	for c := Tan; c <= Dark; c++ {
		a, b := &all[c-1].Reflectance, &all[c].Reflectance
		if rise(b) >= rise(a) {
			t.Errorf("%s: rises %.3f from blue to red, %s %.3f; the deeper is flatter", c, rise(b), c-1, rise(a))
		}
		if dip(b) >= dip(a) {
			t.Errorf("%s: W is %.3f deep, %s %.3f; the deeper fades", c, dip(b), c-1, dip(a))
		}
	}
	if d := dip(&all[Dark].Reflectance) / dip(&all[Light].Reflectance); d > 0.5 {
		t.Errorf("dark keeps %.2f of the light W", d)
	}
	for c := Light; c <= Tan; c++ {
		if all[c].Lab.Chroma() <= all[c-1].Lab.Chroma() {
			t.Errorf("chroma falls from %s to %s", c-1, c)
		}
	}
	if all[Dark].Lab.Chroma() > all[Brown].Lab.Chroma()-3 {
		t.Errorf("chroma %.1f for brown, %.1f for dark; it falls again", all[Brown].Lab.Chroma(), all[Dark].Lab.Chroma())
	}
}

// A cluster of deep facial skin is published at L*a*b* (26.7, 14.6, 14.7),
// 45°:0°, 120 subjects. The dark preset has its lightness. With the surface's
// light on both it is within ΔE00 4 of it, less red and more yellow, as the
// inside of a forearm is against a face.
func TestDarkPresetNearPublishedCluster(t *testing.T) {
	published := colour.Lab{L: 26.7, A: 14.6, B: 14.7}
	s, err := FromReading(colour.Reading{Lab: published, Excluded: true})
	if err != nil {
		t.Fatal(err)
	}
	if s.Method != Modelled || !s.Extrapolated || s.Class != Dark || distance(s.Scores) > farDistance {
		t.Errorf("the cluster is %s by the %s, extrapolated %v, %.1f deviations out", s.Class, s.Method, s.Extrapolated, distance(s.Scores))
	}
	included := s.Reflectance
	for i := range included {
		included[i] += Surface
	}
	cluster := colour.D65.Lab(&included)
	dark := Presets()[Dark]
	if d := colour.DeltaE00(dark.Lab, cluster); d > 4 {
		t.Errorf("dark preset %v, cluster %v: ΔE00 %.2f", dark.Lab, cluster, d)
	}
	if math.Abs(dark.Lab.L-cluster.L) > 0.5 || math.Abs(dark.Lab.A-cluster.A) > 1 || dark.Lab.B < cluster.B {
		t.Errorf("dark preset %v, cluster %v", dark.Lab, cluster)
	}
}
