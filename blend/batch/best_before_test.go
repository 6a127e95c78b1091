package batch

import (
	"strings"
	"testing"
)

// The sooner of the base and the oldest lot is printed, at the head and on the
// label, as the last whole month before it, or as a day where that month leaves
// less than half the time or is the one the batch is made in; without a day there is none.
func TestBestBefore(t *testing.T) {
	for _, c := range []struct{ made, lot, want, why string }{
		{"2026-11-27", "", "10/2027", "12 months"},
		{"2026-11-01", "", "10/2027", "12 months"},
		{"2026-11-30", "", "11/2027", "12 months"},
		{"2026-11-27", "2027-03-15", "02/2027", "oldest lot"},
		{"2026-11-27", "2027-03-31", "03/2027", "oldest lot"},
		{"2026-11-27", "2027-02", "02/2027", "oldest lot"},
		{"2026-11-27", "2026-12-05", "5 December 2026", "oldest lot"},
		{"2026-11-01", "2026-12-05", "5 December 2026", "oldest lot"},
		{"2026-11-27", "2026-11-30", "11/2026", "oldest lot"},
		{"2026-11-27", "2027-01-20", "12/2026", "oldest lot"},
		{"2027-01-31", "2027-03-30", "30 March 2027", "oldest lot"},
		{"2026-12-01", "2026-12-05", "5 December 2026", "oldest lot"},
		{"2026-11-27", "2029-01", "10/2027", "the base"},
		{"2026-01-31", "", "01/2027", "the base"},
	} {
		b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 100, Date: c.made, LotUntil: c.lot})
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.BestBefore.Why, c.why) {
			t.Errorf("%+v: %+v", c, b.BestBefore)
		}
		if line := "Best before the end of: " + c.want; !strings.Contains(strings.Join(b.Label.EU.Lines, "\n"), line) {
			t.Errorf("%+v: %q", c, b.Label.EU.Lines)
		}
	}
	if b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 100}); err != nil || b.BestBefore != nil {
		t.Errorf("%v: without a day %+v", err, b.BestBefore)
	}
	own := baseFrom(t, plainLotion)
	if b, err := Scale(Request{Base: own, Grams: 100, Date: "2026-11-27"}); err != nil || b.BestBefore.Month != "2027-04" || !strings.Contains(b.BestBefore.Why, "assumed") {
		t.Errorf("%v: untested %+v", err, b.BestBefore)
	}
}
