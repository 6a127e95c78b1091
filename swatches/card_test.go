package swatches

import (
	"os"
	"path/filepath"
	"testing"
)

// TestLook writes every picture to the folder in SWATCHES_LOOK, for eyes.
func TestLook(t *testing.T) {
	dir := os.Getenv("SWATCHES_LOOK")
	if dir == "" {
		t.Skip("set SWATCHES_LOOK to a folder to have the pictures written there")
	}
	for name, d := range map[string]struct {
		d Drawing
		p Paper
	}{
		"card":         {demoCard(), Upright},
		"card-wide":    {demoCard(), Wide},
		"crowded":      {crowdedCard(), Upright},
		"crowded-wide": {crowdedCard(), Wide},
	} {
		if err := WritePNG(filepath.Join(dir, name+".png"), d.d, d.p); err != nil {
			t.Error(err)
		}
	}
}

func BenchmarkCardPNG(b *testing.B) {
	b.ReportAllocs()
	path := filepath.Join(b.TempDir(), "card.png")
	for b.Loop() {
		if err := WritePNG(path, demoCard(), Wide); err != nil {
			b.Fatal(err)
		}
	}
}
