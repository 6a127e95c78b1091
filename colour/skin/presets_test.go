package skin

import (
	"math"
	"strings"
	"testing"

	"tawny/colour"
)

// The face's presets are the published medians (International Skin Spectra
// Archive, face, within 4° of the ITA) at the middle of each class, halfway
// along where it falls between two, with the number of readings.
func TestPresetsAreMeasuredFaces(t *testing.T) {
	all := Presets()
	if len(all) != Classes {
		t.Fatalf("%d presets, want one a class", len(all))
	}
	for i, want := range []struct {
		lab      colour.Lab
		readings string
	}{
		{colour.Lab{L: 68.2, A: 10.2, B: 10.2}, " 16 "},
		{colour.Lab{L: 62.2, A: 11.4, B: 15.7}.Towards(colour.Lab{L: 65.7, A: 10.7, B: 13.4}, 10.0/12), " 1093 "},
		{colour.Lab{L: 58.3, A: 11.2, B: 17.9}.Towards(colour.Lab{L: 62.2, A: 11.4, B: 15.7}, 9.5/13), " 1503 "},
		{colour.Lab{L: 54, A: 11.7, B: 18.9}.Towards(colour.Lab{L: 58.3, A: 11.2, B: 17.9}, 7.0/13), " 1232 "},
		{colour.Lab{L: 45.3, A: 11.1, B: 18.1}.Towards(colour.Lab{L: 50.3, A: 11.7, B: 19}, 5.0/15), " 333 "},
		{colour.Lab{L: 37.2, A: 10.2, B: 13}, " 58 "},
	} {
		p := all[i]
		if p.Class != Class(i) || p.Name != Class(i).String() || p.Site != Face || !p.Preset || p.Method != FromModel {
			t.Errorf("preset %d is %q of class %s at the %s", i, p.Name, p.Class, p.Site)
		}
		if d := colour.DeltaE76(p.Lab, want.lab); d > 1e-9 {
			t.Errorf("%s: %v, the medians give %v", p.Name, p.Lab, want.lab)
		}
		if !strings.Contains(p.Note, want.readings) || !strings.Contains(p.Note, "stand-in") {
			t.Errorf("%s: note %q, want%sin it", p.Name, p.Note, want.readings)
		}
		if p.Extrapolated || !p.ITAReliable || p.Undertone.Word != "neutral" {
			t.Errorf("%s: extrapolated %v, ITA reliable %v, undertone %s", p.Name, p.Extrapolated, p.ITAReliable, p.Undertone.Word)
		}
		s, err := FromReading(p.Reading)
		if err != nil {
			t.Fatal(err)
		}
		if s.Reflectance != p.Reflectance {
			t.Errorf("%s: its L*a*b* read back has another spectrum", p.Name)
		}
	}
	all[0].Name = "changed"
	if Presets()[0].Name != "very light" {
		t.Error("Presets hands out its own copy")
	}
}

// Other sites: no preset where no one was measured near the class; each is of
// its class by the person's hand or forearm, neutral at its site, and deeper
// than the one before.
func TestPresetsOfOtherSites(t *testing.T) {
	for site, want := range map[Site]string{
		Hand:    "light, intermediate, tan, brown, dark",
		Palm:    "light, intermediate, tan, brown, dark",
		Forearm: "very light, light, intermediate, tan, brown",
	} {
		var names []string
		all := site.Presets()
		for i, p := range all {
			names = append(names, p.Name)
			if site != Palm && p.Class.String() != p.Name {
				t.Errorf("%s %s is %s", site, p.Name, p.Class)
			}
			if p.Undertone.Word != "neutral" || p.Undertone.Site != site || p.Extrapolated {
				t.Errorf("%s %s: undertone %+v, extrapolated %v", site, p.Name, p.Undertone, p.Extrapolated)
			}
			if i > 0 && p.Lab.L >= all[i-1].Lab.L {
				t.Errorf("%s %s is no deeper than %s", site, p.Name, all[i-1].Name)
			}
		}
		if got := strings.Join(names, ", "); got != want {
			t.Errorf("%s has %s, want %s", site, got, want)
		}
	}
	dark, err := Find("dark")
	if err != nil {
		t.Fatal(err)
	}
	if hand, err := dark.At(Hand); err != nil || hand.Lab == dark.Lab || hand.Site != Hand {
		t.Errorf("dark at the hand is %v, %v", hand.Lab, err)
	}
	_, err = dark.At(Forearm)
	if err == nil || !strings.Contains(err.Error(), "no forearm of this class was measured") {
		t.Errorf("dark forearm: %v", err)
	}
	if !strings.Contains(err.Error(), "very light (also fair, pale), light") || strings.Contains(err.Error(), "deep") {
		t.Errorf("what there is instead: %v", err)
	}
	if palm, _ := Palm.Find("dark"); palm.Lab.L < 48 {
		t.Errorf("a deep person's palm is L* %.1f; the lightest group of deep hands has palms of 48", palm.Lab.L)
	}
}

// Published of deep skin, 47 subjects of four groups by a d:8 instrument ("Comparing
// Skin Colours Between Different Skin Groups", Springer; the abstract was read, its
// authors not found): its spectrum is flatter, its haemoglobin W fades, and its
// chroma rises with depth only to a point and falls again.
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
	deep, err := FromReading(colour.Reading{Lab: colour.Lab{L: 33.6, A: 8.7, B: 9.6}}) // the deepest median face
	if err != nil {
		t.Fatal(err)
	}
	if d := dip(&deep.Reflectance) / dip(&all[Light].Reflectance); d > 0.5 {
		t.Errorf("the deepest face keeps %.2f of the light W", d)
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

// A cluster of deep faces is published at L*a*b* (26.7, 14.6, 14.7), read at 45°:0° on
// nose and lip, 120 subjects (A. G. Wee, "Proposed shade guide for human facial skin",
// IADR abstract 120461, Miami 2009; in full, Wee, Beatty, Gozalo-Diaz, Kim-Pusateri
// and Marx, J. Prosthet. Dent. 110:82, 2013). The dark preset, with skin's gloss taken off as that
// geometry does, lies nearer it than taken as it stands; the cluster is deeper
// and redder than the median at ITA −45° all the same.
func TestDarkPresetNearPublishedCluster(t *testing.T) {
	published := colour.Lab{L: 26.7, A: 14.6, B: 14.7}
	dark := Presets()[Dark]
	scale, offset := fromIncluded(colour.At45)
	read := dark.Reflectance
	for i := range read {
		read[i] = scale*read[i] + offset
	}
	at45 := colour.D65.Lab(&read)
	t.Logf("dark preset %v, at 45°:0° %v, published cluster %v: ΔE00 %.1f", dark.Lab, at45, published, colour.DeltaE00(at45, published))
	if d := colour.DeltaE00(at45, published); d > 7.5 {
		t.Errorf("ΔE00 %.1f", d)
	}
	if plain := colour.DeltaE00(dark.Lab, published); plain < colour.DeltaE00(at45, published)+1.5 {
		t.Errorf("without regard to geometry they are ΔE00 %.1f apart, with it %.1f", plain, colour.DeltaE00(at45, published))
	}
	s, err := FromReading(colour.Reading{Lab: published, Geometry: colour.At45})
	if err != nil || s.Method != Modelled || s.Class != Dark || s.Extrapolated {
		t.Errorf("the cluster is %s by the %s, extrapolated %v, %v", s.Class, s.Method, s.Extrapolated, err)
	}
}

func TestFind(t *testing.T) {
	for text, want := range map[string]string{
		"light": "light", " Very-Light ": "very light", "very_light": "very light", "DARK": "dark",
		"fair": "very light", "Deep": "dark", "medium": "intermediate",
	} {
		s, err := Parse(text)
		if err != nil || s.Name != want || !s.Preset {
			t.Errorf("%q: %q, preset %v, %v", text, s.Name, s.Preset, err)
		}
	}
	for site, want := range map[string]Site{"": Anywhere, "Face": Face, " palm ": Palm, "forearm": Forearm} {
		if got, err := ParseSite(site); err != nil || got != want {
			t.Errorf("site %q is %s, %v", site, got, err)
		}
	}
	if _, err := ParseSite("foot"); err == nil || !strings.Contains(err.Error(), "anywhere, face, hand, palm, forearm") {
		t.Errorf("site foot: %v", err)
	}
}

// What lies where no one was measured says how far and which way.
func TestFarFromPeople(t *testing.T) {
	for _, row := range []struct {
		c    colour.Lab
		want string
	}{
		{colour.Lab{L: 37.2, A: 10.2, B: 13}, ""},
		{colour.Lab{L: 75, A: 22, B: 40}, "stronger"},
		{colour.Lab{L: 12, A: 5, B: 5}, "darker"},
		{colour.Lab{L: 50, A: -40, B: 30}, "check the reading"},
	} {
		s, err := FromReading(colour.Reading{Lab: row.c})
		if err != nil {
			t.Fatal(err)
		}
		if s.Extrapolated != (row.want != "") || !strings.Contains(s.Note, row.want) || strings.Contains(s.Note, "deviation") {
			t.Errorf("%v: extrapolated %v, note %q, want %q in it", row.c, s.Extrapolated, s.Note, row.want)
		}
	}
	middle, d := fromPeople(colour.Lab{L: 45, A: 11.65, B: 17.7})
	if d > 1e-9 || math.Abs(middle.L-45) > 1e-12 {
		t.Errorf("halfway between two points of the line: %v, %.3g away", middle, d)
	}
}
