package page

import (
	"net/url"
	"strings"
	"testing"

	"tawny/colour"
)

func TestState(t *testing.T) {
	q, _ := url.ParseQuery("skin=lch:60,18,55&target=skin:1,-2,3&load=4&atmost=1&apply=full&containers=8&ml=30&grams=100&without=mulberry&part=bronze=1.5&part=champagne=2&light=a&name=Dusk&pin=x=1|y=2")
	s, err := parseState(q)
	if err != nil {
		t.Fatal(err)
	}
	if s.in.LoadMax != 4 || s.in.Load != 0 || s.in.Grams != 0 || s.in.Containers != 8 || s.in.Illuminant != "A" || len(s.parts) != 2 || s.name != "Dusk" {
		t.Errorf("read as %+v", s)
	}
}

// Seen on stage, a look is compared with daylight and not with itself.
func TestSecondLight(t *testing.T) {
	for light, want := range map[string]string{"D65": "", "A": "", "stage": "D65"} {
		s, err := parseState(url.Values{"light": {light}})
		if err != nil || s.in.Second != want {
			t.Errorf("seen in %s the second light is %q, %v", light, s.in.Second, err)
		}
	}
}

func TestBandsRoundTrip(t *testing.T) {
	var r colour.Reading
	r.Spectrum = new(colour.Spectrum)
	for j := range r.Spectrum {
		r.Spectrum[j] = float64(j*211%9000) / 1e4
	}
	r.Excluded = true
	got, err := parseBands(strings.TrimPrefix(formatBands(r), bandsPrefix))
	if err != nil || *got.Spectrum != *r.Spectrum || !got.Excluded {
		t.Errorf("%v, %v", got, err)
	}
}

// No query whatever makes a state that names a file, and none panics.
func FuzzState(f *testing.F) {
	for _, s := range []string{"skin=light", "skin=bands:1,2", "skin=lab:1,2,3/de&target=skin:1,2,3", "light=2700K&base=Everyday+lotion", "skin=%2Fetc%2Fpasswd", "load=1e9&atmost=1", "containers=1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, query string) {
		q, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		s, err := parseState(q)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error that says nothing")
			}
			return
		}
		for _, text := range []string{s.in.Skin, s.in.Target, s.in.Illuminant, s.in.Second, s.in.Base, s.in.Apply, s.in.Drawer} {
			if strings.ContainsAny(text, `\`) || strings.Contains(strings.ReplaceAll(text, "/de", ""), "/") || strings.Contains(strings.ToLower(text), ".csv") {
				t.Errorf("%q got through", text)
			}
		}
	})
}
