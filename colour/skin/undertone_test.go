package skin

import (
	"math"
	"testing"

	"tawny/colour"
)

func TestUndertoneWords(t *testing.T) {
	for _, site := range []Site{Anywhere, Face, Hand, Palm, Forearm} {
		for _, at := range []colour.Lab{{L: 35, A: 10, B: 12}, {L: 50, A: 11, B: 19}, {L: 62, A: 11, B: 16}} {
			u := site.undertone(at)
			// ITA moves with b* as the hue is turned, so the limits are looked
			// for by turning until the word changes.
			seen := map[string]bool{}
			lch := at.LCh()
			last := -math.MaxFloat64
			for turn := -40.0; turn <= 40; turn += 0.25 {
				v := site.undertone(colour.LCh{L: at.L, C: lch.C, H: u.MedianHue + turn}.Lab())
				seen[v.Word] = true
				if rank := map[string]float64{"cool": 0, "neutral": 1, "warm": 2}[v.Word]; rank < last {
					t.Errorf("%s %v turned by %+g°: %s after a warmer word", site, at, turn, v.Word)
				} else {
					last = rank
				}
				if want := wordOf(v.Degrees, v.Neutral); v.Word != want || v.Site != site {
					t.Errorf("%s %v turned by %+g°: %+v, want %s", site, at, turn, v, want)
				}
			}
			if len(seen) != 3 {
				t.Errorf("%s %v: only %v", site, at, seen)
			}
			if site != Anywhere && u.Neutral > MostNeutral {
				t.Errorf("%s %v: neutral within %g", site, at, u.Neutral)
			}
		}
	}
	if u := Face.undertone(colour.LCh{L: 50, C: 4.9, H: 90}.Lab()); u.Word != "unclear" {
		t.Errorf("chroma 4.9 is called %s", u.Word)
	}
	if u := Face.undertone(colour.LCh{L: 50, C: 20, H: 350}.Lab()); u.Word != "cool" || u.Degrees < -180 || u.Degrees > 0 {
		t.Errorf("h 350 is %+v; the difference goes the short way round", u)
	}
}

func wordOf(degrees, neutral float64) string {
	switch {
	case degrees > neutral:
		return "warm"
	case degrees < -neutral:
		return "cool"
	}
	return "neutral"
}

// No skin is cool for being deep: the median deep face, hand and palm are
// neutral or warm at every site deep people were measured at, and where the
// site is not said; so are they against forearms, of which none was deep.
func TestDeepIsNotCool(t *testing.T) {
	for _, list := range [][]middleSkin{faces[:3], hands[:1]} {
		for _, m := range list {
			for _, site := range []Site{Anywhere, Face, Forearm} {
				if u := site.undertone(m.colour); u.Degrees < -u.Neutral-1 {
					t.Errorf("%v against the %s: %+v", m.colour, site, u)
				}
			}
		}
	}
	for _, m := range faces {
		if u := Face.undertone(m.colour); u.Word != "neutral" || math.Abs(u.Degrees) > 1e-9 {
			t.Errorf("median face %v: %+v", m.colour, u)
		}
	}
}

// The middle hue of a site runs on without a step past the people measured.
func TestSiteHueRunsOn(t *testing.T) {
	for _, site := range []Site{Anywhere, Face, Hand, Palm, Forearm} {
		last := site.undertone(colour.Lab{L: 20, A: 8, B: 10}).MedianHue
		for l := 20.0; l <= 80; l += 0.05 {
			h := site.undertone(colour.Lab{L: l, A: 10, B: 15}).MedianHue
			if l > 20 && math.Abs(h-last) > 0.5 {
				t.Errorf("%s: the middle hue steps from %.2f to %.2f at L* %.2f", site, last, h, l)
			}
			last = h
		}
	}
}
