package skin

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tawny/colour"
	"tawny/colour/table"
)

// sharedPeople is readAll where the folder holds the readings the built-in
// model was fitted to, which the figures quoted in colour/skin are of.
func sharedPeople(t *testing.T) (all []person, from []string) {
	t.Helper()
	all, from = readAll(t)
	if !shared(all) {
		t.Skip("not the readings the built-in model was fitted to")
	}
	return all, from
}

var update = flag.Bool("update", false, "write model.csv anew from the readings in TAWNY_DATA")

const note = "ln K/S by term, our fit by the tests of colour/skin to the NIST skin data (doi:10.18434/M38597) and 246 records of the International Skin Spectra Archive (doi:10.6084/m9.figshare.28228571.v4, CC BY 4.0)."

// The committed model is what the fit makes of the data:
//
//	TAWNY_DATA=folder go test ./colour/skin -run CommittedModel -update
func TestCommittedModelIsTheFit(t *testing.T) {
	if *update {
		all, _ := readAll(t)
		m, err := fitModel(sound(all))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile("model.csv", written(t, &m), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	all, _ := sharedPeople(t)
	m, err := fitModel(sound(all))
	if err != nil {
		t.Fatal(err)
	}
	want := standard()
	if m.Readings != want.Readings {
		t.Errorf("fitted to %v, the committed model to %v", m.Readings, want.Readings)
	}
	for n := range m.Coefficient {
		for b, c := range m.Coefficient[n] {
			if math.Abs(c-want.Coefficient[n][b]) > 1e-4 { // written to four decimals
				t.Fatalf("term %d at %g nm: %.5f, committed %.5f; run the fit again", n, colour.WavelengthNM(b), c, want.Coefficient[n][b])
			}
		}
	}
	if !bytes.Equal(written(t, want), modelCSV) {
		t.Error("colour/skin/model.csv is not as the fit writes it")
	}
}

// written is the model's file, as readModel reads it.
func written(t *testing.T, m *Model) []byte {
	t.Helper()
	var b bytes.Buffer
	w := table.NewWriter(&b)
	counts := make([]string, Classes)
	for i, n := range m.Readings {
		counts[i] = strconv.Itoa(n)
	}
	w.Key("model", note)
	w.Key("readings", strings.Join(counts, ","))
	w.Row(modelKind.Header...)
	for i := range colour.Bands {
		row := []string{fmt.Sprintf("%g", colour.WavelengthNM(i))}
		for n := range m.Coefficient {
			row = append(row, fmt.Sprintf("%.4f", m.Coefficient[n][i]))
		}
		w.Row(row...)
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Every reading of a person, doubtful ones too, gives a skin and a ground under
// a film, as its spectrum and from its L*a*b* alone, and no sound one is marked
// as extrapolated or remarked on.
func TestNoPersonIsRefused(t *testing.T) {
	all, _ := readAll(t)
	lowered, flat := 0, 0
	for i := range all {
		r := &all[i]
		for _, given := range []colour.Reading{
			{Text: "spectrum", Lab: r.Lab(), Viewing: colour.D65, Spectrum: &r.Reflectance},
			{Text: "L*a*b*", Lab: r.Lab(), Viewing: colour.D65},
			{Text: "without gloss", Lab: r.Lab(), Viewing: colour.D65, Geometry: colour.DE},
		} {
			s, err := FromReading(given)
			if err != nil {
				t.Errorf("reading %d, %s: %v", r.Number, given.Text, err)
				continue
			}
			if given.Spectrum != nil && s.Reflectance != r.Reflectance {
				t.Errorf("reading %d: its spectrum is not used as it is", r.Number)
			}
			if given.Spectrum != nil && s.Note != "" {
				flat++
				t.Logf("reading %d, doubtful %v: %s", r.Number, r.Doubtful, s.Note)
			}
			if given.Text == "L*a*b*" && !r.Doubtful && (s.Extrapolated || s.Note != "" || s.Method != Modelled) {
				t.Errorf("reading %d: extrapolated %v, by the %s, note %q", r.Number, s.Extrapolated, s.Method, s.Note)
			}
			for _, n := range []float64{1.40, 1.47, 1.55} {
				surface, err := SurfaceOf(given.Geometry.Assumed(), n, HazeShare)
				if err != nil {
					t.Fatal(err)
				}
				_, share, err := surface.Below(&s.Reflectance)
				if err != nil {
					t.Errorf("reading %d, %s, under a binder of %g: %v", r.Number, given.Text, n, err)
				}
				if given.Geometry == "" && share < 1 {
					lowered++
				}
			}
		}
	}
	t.Logf("of %d readings %d have their surface's share lowered (three binders, two ways), %d spectra are remarked on", len(all), lowered, flat)
	if flat > len(all)/20 {
		t.Errorf("%d of %d measured spectra are called doubtful", flat, len(all))
	}
}

// Each of the three words holds 20 to 50 per cent of every class of the
// archive, whose readings are of all body sites, not said which; and of the archive
// and the NIST forearms weighted alike, where both have people of a class. Of very
// light forearms none can be warm at that: half of the archive's is warmer than the
// warmest of them.
func TestUndertoneOfEveryClass(t *testing.T) {
	all, from := readAll(t)
	const files, fewest = 2, 8
	var together [Classes]map[string]float64
	var have [Classes]int
	for _, file := range slices.Compact(slices.Clone(from)) {
		for _, site := range []Site{Anywhere, Face, Forearm} {
			for c := range Class(Classes) {
				words := map[string]int{}
				n := 0
				for i := range all {
					if from[i] != file || all[i].Doubtful || all[i].Class() != c {
						continue
					}
					s := at(t, site, all[i].Lab())
					n++
					words[s.Undertone.Word]++
				}
				if n == 0 {
					continue
				}
				share := func(w string) float64 { return 100 * float64(words[w]) / float64(n) }
				if site == Anywhere && n >= fewest {
					have[c]++
					if together[c] == nil {
						together[c] = map[string]float64{}
					}
					for w := range words {
						together[c][w] += share(w) / files
					}
				}
				t.Logf("%s, site %-8s %-12s %3d  warm %3.0f %%  neutral %3.0f %%  cool %3.0f %%", file, site, c, n, share("warm"), share("neutral"), share("cool"))
				for _, w := range []string{"warm", "neutral", "cool"} {
					if p := share(w); site == Anywhere && file == "skin-reflectance-archive.csv" && shared(all) && (p < 20 || p > 50) {
						t.Errorf("%s %s: %.0f %% are %s; 20 to 50 are wanted", file, c, p, w)
					}
				}
			}
		}
	}
	for c, words := range together {
		if have[c] < files {
			continue
		}
		t.Logf("both files alike, site anywhere %-12s      warm  %3.0f %%  neutral  %3.0f %%  cool  %3.0f %%", Class(c), words["warm"], words["neutral"], words["cool"])
		for _, w := range []string{"warm", "neutral", "cool"} {
			if p := words[w]; shared(all) && (p < 20 || p > 50) {
				t.Errorf("both files, %s: %.0f %% are %s; 20 to 50 are wanted", Class(c), p, w)
			}
		}
	}
}

// The forearm's medians quoted in colour/skin are those of the NIST data.
func TestForearmMedians(t *testing.T) {
	all, from := sharedPeople(t)
	groups := map[Class][]colour.Lab{}
	for i := range all {
		if from[i] == "skin-reflectance-nist.csv" {
			c := all[i].Class()
			if c == Tan {
				c = Brown
			}
			groups[c] = append(groups[c], all[i].Lab())
		}
	}
	for c, list := range groups {
		middle := colour.Lab{
			L: median(list, func(c colour.Lab) float64 { return c.L }),
			A: median(list, func(c colour.Lab) float64 { return c.A }),
			B: median(list, func(c colour.Lab) float64 { return c.B }),
		}
		u := at(t, Forearm, middle)
		t.Logf("%s: %d forearms, median %.1f %.1f %.1f, ITA %.1f", c, len(list), middle.L, middle.A, middle.B, u.ITA)
		if math.Abs(u.Undertone.Degrees) > 0.5 {
			t.Errorf("%s: the median forearm is %.2f degrees from the table", c, u.Undertone.Degrees)
		}
	}
}

// at is the skin of a colour at a site.
func at(t *testing.T, site Site, c colour.Lab) Skin {
	t.Helper()
	s, err := FromReading(colour.Reading{Lab: c, Viewing: colour.D65})
	if err != nil {
		t.Fatal(err)
	}
	s, err = s.At(site)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func median(list []colour.Lab, of func(colour.Lab) float64) float64 {
	v := make([]float64, len(list))
	for i, c := range list {
		v[i] = of(c)
	}
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// What knows nothing of skin is far off on it.
func TestSmoothSpectrumIsNoSkin(t *testing.T) {
	all, _ := readAll(t)
	built := (*standard())
	var smooth, model offBy
	n := 0.0
	for i := range all {
		r := &all[i]
		s, err := SmoothSpectrum(r.Lab(), colour.D65, 0)
		if err != nil {
			t.Fatal(err)
		}
		m := missOf(t, &built, r)
		n++
		smooth.rms, smooth.d00 = smooth.rms+rms(&s, &r.Reflectance), smooth.d00+colour.DeltaE00(underA.Lab(&s), underA.Lab(&r.Reflectance))
		model.rms, model.d00 = model.rms+m.rms, model.d00+m.d00
	}
	t.Logf("smooth spectrum: RMS %.4f ΔE00 under A %.2f; the model %.4f and %.2f", smooth.rms/n, smooth.d00/n, model.rms/n, model.d00/n)
	if smooth.rms < 3*model.rms || smooth.d00 < 5*model.d00 {
		t.Error("the smooth spectrum is too near for what is said of it")
	}
}
