package swatches

import (
	"testing"

	"tawny/colour"
)

// Every patch's own colour stands in its place, and what cannot be drawn is
// refused.
func TestLadder(t *testing.T) {
	l := &Ladder{Heading: Heading{Title: "Which is most like it?", Note: "demo", Date: "14 March 2026", Source: "by eye"}}
	for i := range 27 {
		l.Patches = append(l.Patches, Patch{Name: "deeper, stronger, yellower", Lab: colour.Lab{L: 40 + float64(i), A: 10, B: 15}})
	}
	r, err := Raster(l, Wide)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[colour.RGB8]bool{}
	b := r.Pix.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y += 4 {
		for x := b.Min.X; x < b.Max.X; x += 4 {
			c := r.Pix.RGBAAt(x, y)
			seen[colour.RGB8{R: c.R, G: c.G, B: c.B}] = true
		}
	}
	for i, p := range l.Patches {
		if rgb, _ := colour.SRGB(p.Lab); !seen[rgb] {
			t.Errorf("patch %d, %s, is nowhere on the picture", i+1, rgb.Hex())
		}
	}
	if err := (&Ladder{}).Check(); err == nil {
		t.Error("an empty ladder was accepted")
	}
}
