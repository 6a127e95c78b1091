package reading

import (
	"slices"
	"strings"
	"testing"
)

// A refusal says what refuses; what would only have asked for care is a warning
// beside it, never a reason with a limit it keeps.
func TestRefusalNamesWhatRefuses(t *testing.T) {
	const strip = "../../testdata/photo/strip-demo.csv"
	p, err := openPhoto("../../testdata/photo/smear-demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	known, _, err := knownIn(strip)
	if err != nil {
		t.Fatal(err)
	}
	row, err := p.Area("60,40,680,100")
	if err != nil {
		t.Fatal(err)
	}
	cal := calibrate(t, p, Strip(row, known))
	for text, want := range map[string]struct {
		verdict   Verdict
		why, warn string
	}{
		"300,250,200,160": {Refused, "the light changes by", "the colour is known to"}, // half forearm, half card
		"120,260,200,200": {Care, "the colour is known to", ""},
	} {
		area, err := p.Area(text)
		if err != nil {
			t.Fatal(err)
		}
		r := measure(t, cal, area)
		has := func(list []string, s string) bool {
			return slices.ContainsFunc(list, func(x string) bool { return strings.HasPrefix(x, s) })
		}
		if r.Verdict != want.verdict || len(r.Why) != 1 || !has(r.Why, want.why) || want.warn != "" && !has(r.Warnings, want.warn) {
			t.Errorf("%s: %v\nwhy %q\nwarnings %q", text, r.Verdict, r.Why, r.Warnings)
		}
	}
}
