package shimmer

import "testing"

// One picture 400 × 480, life size, of each grade.
func BenchmarkRender(b *testing.B) {
	for name, parts := range blends {
		f, err := Of(worn(b, "light", 1, parts))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			n := 0.0
			for b.Loop() {
				p, err := Render(f, Scene{}, Options{Width: 400, Height: 480})
				if err != nil {
					b.Fatal(err)
				}
				n = p.Drawn
			}
			b.ReportMetric(n, "glints")
		})
	}
}

func BenchmarkPaint(b *testing.B) {
	f, err := Of(worn(b, "light", 1, blends["gold pearl"]))
	if err != nil {
		b.Fatal(err)
	}
	p, err := Render(f, Scene{}, Options{Width: 400, Height: 480})
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
