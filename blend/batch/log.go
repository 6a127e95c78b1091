package batch

// StabilityRow is one look at the kept samples: blanks to fill in.
type StabilityRow struct {
	Day   int      `json:"day"`
	Place string   `json:"place"` // cold, room or warm, with °C
	Looks []string `json:"looks"` // what to write down
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
		for _, place := range []string{"cold, 4 °C", "room, 20–25 °C", "warm, 40 °C"} {
			out = append(out, StabilityRow{day, place, looks})
		}
	}
	return out
}
