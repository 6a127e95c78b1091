package batch

import (
	"strings"
	"testing"
)

// The sooner of the base and the oldest lot is printed, at the head and on the
// label; without a day there is none.
func TestBestBefore(t *testing.T) {
	for _, c := range []struct{ made, lot, want, why string }{
		{"2026-11-27", "", "2027-11", "12 months"},
		{"2026-11-27", "2027-03-15", "2027-03", "oldest lot"},
		{"2026-11-27", "2029-01", "2027-11", "the base"},
		{"2026-01-31", "", "2027-01", "the base"}, // not carried into March by a short month
	} {
		b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 100, Date: c.made, LotUntil: c.lot})
		if err != nil {
			t.Fatal(err)
		}
		if b.BestBefore.Month != c.want || !strings.Contains(b.BestBefore.Why, c.why) {
			t.Errorf("%+v: %+v", c, b.BestBefore)
		}
		if line := "Best before the end of: " + c.want[5:] + "/" + c.want[:4]; !strings.Contains(strings.Join(b.Label.EU.Lines, "\n"), line) {
			t.Errorf("%+v: %q", c, b.Label.EU.Lines)
		}
	}
	if b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 100}); err != nil || b.BestBefore != nil {
		t.Errorf("%v: without a day %+v", err, b.BestBefore)
	}
	own := baseFrom(t, plainLotion)
	if b, err := Scale(Request{Base: own, Grams: 100, Date: "2026-11-27"}); err != nil || b.BestBefore.Month != "2027-05" || !strings.Contains(b.BestBefore.Why, "assumed") {
		t.Errorf("%v: untested %+v", err, b.BestBefore)
	}
}
