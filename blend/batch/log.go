package batch

import "fmt"

// StabilityRow is one look at the kept samples: blanks to fill in.
type StabilityRow struct {
	Day   int      `json:"day"`
	Place string   `json:"place"` // cold, room or warm, with °C
	Looks []string `json:"looks"` // what to write down
}

// What is kept of a batch: one filled container, closed, to hold others
// against, and a small jar at each place of the log (common practice). The
// jars are filled from what is left over and from as many containers more as
// that takes.
const (
	keptClosed = 1
	jarML      = 10
)

// places are where the jars stand.
var places = []string{"cold, 4 °C", "room, 20–25 °C", "warm, 40 °C"}

// Keep says what to keep, the same on the log, at the filling and in the last
// step; "" for nothing.
func (f Filling) Keep() string {
	if f.Closed == 0 {
		return ""
	}
	return fmt.Sprintf("Keep %s closed, to hold others against, and %d jars of %d ml for the stability log: one cold, one at room temperature, one at 40 °C.",
		count(f.Closed, "filled container"), len(places), jarML)
}

// stabilityLog is the usual home-bench log: days 1, 7 and 28, in the cold, at
// room temperature and at 40 °C (common practice), after the start at day 0.
func stabilityLog(base *Base) []StabilityRow {
	looks := []string{"colour", "smell"}
	if base.HasWater() {
		looks = append(looks, "pH")
	}
	looks = append(looks, "settling")
	out := []StabilityRow{{0, "start", looks}}
	for _, day := range []int{1, 7, 28} {
		for _, place := range places {
			out = append(out, StabilityRow{day, place, looks})
		}
	}
	return out
}
