package shimmer

import "testing"

// The page's picture, bare and worn.
func BenchmarkArm(b *testing.B) {
	bare, err := Of(worn(b, "light", 0, nil))
	if err != nil {
		b.Fatal(err)
	}
	for name, parts := range blends {
		f, err := Of(worn(b, "light", 1, parts))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Arm([]*Film{bare, f}, Window.Scene(), Options{Width: 900, Height: 400, MMPerPixel: 46.0 / 400}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPaint(b *testing.B) {
	f, err := Of(worn(b, "light", 1, blends["gold pearl"]))
	if err != nil {
		b.Fatal(err)
	}
	p, err := Render(f, Window.Scene(), Options{Width: 400, Height: 480})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		p.RGBA()
	}
}

func BenchmarkOf(b *testing.B) {
	w := worn(b, "light", 1, blends["gold pearl"])
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Of(w); err != nil {
			b.Fatal(err)
		}
	}
}
