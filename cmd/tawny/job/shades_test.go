package job

import (
	"context"
	"testing"

	"tawny/colour"
)

// Each shade of the map is where it says, and is reached: a match to it with the
// powders it names comes as near as rounding to whole numbers lets it.
func TestShadesAreReached(t *testing.T) {
	for _, skin := range []string{"very light", "tan", "dark"} {
		in := Input{Skin: skin, Load: 4}
		m, err := in.shades(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if len(m.Shades) < 12 {
			t.Errorf("%s: a map of %d shades", skin, len(m.Shades))
		}
		seen := map[[3]any]bool{}
		for i, v := range m.Shades {
			key := [3]any{v.Row, v.Column, v.Rich}
			if seen[key] || v.Row < 0 || v.Row >= m.Rows || v.Column < 0 || v.Column >= m.Columns {
				t.Errorf("%s: shade at row %d, column %d", skin, v.Row, v.Column)
			}
			seen[key] = true
			if i%5 != 0 {
				continue
			}
			to := in
			to.Target, to.Only, to.Most, to.Keep = v.Target, v.Powders, 2, 1
			got, err := Match(context.Background(), to, nil)
			if err != nil {
				t.Fatal(err)
			}
			// Half a unit of rounding in lightness and chroma and half a degree of hue
			// are at most ΔE00 0.9 together on these skins.
			if d := colour.DeltaE00(got.Blends[0].Lab, got.Target.Lab); d > 0.9 {
				t.Errorf("%s: %s of %v is ΔE00 %.2f from reach", skin, v.Target, v.Powders, d)
			}
		}
	}
}

func BenchmarkShades(b *testing.B) {
	drawers := &Drawers{}
	for b.Loop() {
		in := Input{Skin: "tan", Load: 4, env: &Env{Drawers: drawers}}
		if _, err := in.shades(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}
