package swatches

import (
	"strings"
	"testing"

	"tawny/colour"
	"tawny/colour/canvas"
)

// said reports all of a drawing's text, its no-break spaces plain.
func (r *recorder) said() string {
	var all strings.Builder
	for _, x := range r.texts {
		all.WriteString(x.s + " ")
	}
	return strings.ReplaceAll(all.String(), "\u00a0", " ")
}

// Every point of the plane is named in the plane itself, however close the
// points lie, and no name is written over a mark.
func TestPlaneNamesEveryPoint(t *testing.T) {
	for _, apart := range []float64{0, 0.1, 0.6, 2} {
		for name, p := range map[string]Paper{"wide": Wide, "upright": Upright} {
			c := plainPlane()
			c.Target = &Patch{Name: "target", Lab: colour.Lab{L: 68, A: c.Blend.Lab.A + apart, B: c.Blend.Lab.B - apart}}
			c.Skin = Patch{Name: "bare skin", Lab: colour.Lab{L: 64, A: c.Blend.Lab.A - apart, B: c.Blend.Lab.B - apart}}
			r := record(t, name, c, p, 2.3)
			for _, want := range []string{"target", "bare skin", c.Blend.Name} {
				found := false
				for _, x := range r.texts {
					found = found || x.s == want // in the key its numbers follow
				}
				if !found {
					t.Errorf("%s, %.1f apart: %q is not named in the plane", name, apart, want)
				}
			}
			for _, x := range r.texts {
				for _, s := range r.shapes {
					if s.W < 5 && x.box.Overlaps(s) {
						t.Errorf("%s, %.1f apart: %q is written over a mark", name, apart, x.s)
					}
				}
			}
		}
	}
}

// A blend that meets its target is seen inside the target's outline.
func TestPlaneBlendIsSeenInsideTheTarget(t *testing.T) {
	c := plainPlane()
	c.Blend.Lab.L = 30
	c.Target.Lab = c.Blend.Lab
	c.Target.Lab.L = 90
	r, err := Raster(c, Wide)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := colour.SRGB(c.Blend.Lab)
	n := 0
	for i := 0; i < len(r.Pix.Pix); i += 4 {
		if (colour.RGB8{R: r.Pix.Pix[i], G: r.Pix.Pix[i+1], B: r.Pix.Pix[i+2]}) == want {
			n++
		}
	}
	// The key's mark is 2.3 mm across at most, 330 pixels; the plane's has as many again.
	if n < 500 {
		t.Errorf("the blend covers %d pixels; the target hides it", n)
	}
}

// The load axis ends where the curve does, its numbers stand apart, and the
// bare skin's mark covers none of them.
func TestLoadChartScale(t *testing.T) {
	for name, p := range map[string]Paper{"wide": Wide, "upright": Upright} {
		c := plainLoads()
		c.Points = c.Points[:8] // to 8 %
		r := record(t, name, c, p, 2.3)
		var ticks []recordedText
		for _, x := range r.texts {
			if x.size == tickText {
				ticks = append(ticks, x)
			}
		}
		for i, x := range ticks {
			if x.s == "10" && x.box.X > r.w/2 {
				t.Errorf("%s: the axis runs to 10 %%, the curve to 8", name)
			}
			for _, s := range r.shapes {
				if x.box.Overlaps(s.Inset(-0.3)) {
					t.Errorf("%s: the bare skin's mark covers or touches %q", name, x.s)
				}
			}
			for _, y := range ticks[:i] {
				near := canvas.Box{X: y.box.X, Y: y.box.Y - 0.8, W: y.box.W, H: y.box.H + 1.6}
				if x.box.Overlaps(near) {
					t.Errorf("%s: %q and %q stand too close", name, x.s, y.s)
				}
			}
		}
	}
}

// Why a curve is missing is said under the key.
func TestReflectanceRemark(t *testing.T) {
	c := plainReflectance()
	c.Remark = "The target is a colour without a spectrum, so it has no curve."
	for name, p := range map[string]Paper{"wide": Wide, "upright": Upright} {
		if r := record(t, name, c, p, 2.2); !strings.Contains(r.said(), c.Remark) {
			t.Errorf("%s: the remark is not whole", name)
		}
	}
}

// eightCard has eight powders of ordinary names, a lamp and jars.
func eightCard() *Card {
	c := plainShimmerCard()
	c.Blend.Parts = nil
	for _, n := range []string{"bronze", "copper", "champagne", "clear mica", "satin veil", "warm gold satin", "deep gold sparkle", "yellow oxide"} {
		c.Blend.Parts = append(c.Blend.Parts, Part{Powder: n, Percent: 0.5, Grams: 1.25})
	}
	c.Blend.LoadPercent = 4
	c.Remarks = []string{"From D65 to stage the colour moves ΔE00 4.1, the bare skin 4.6."}
	return c
}

// With eight powders what to weigh is never set smaller than the remarks, and
// is 2.2 mm or more: 17 pixels at 200 dpi, 8 on a phone's 390 pixels.
func TestEightPowdersAreLegible(t *testing.T) {
	for name, p := range map[string]Paper{"upright": Upright, "wide": Wide} {
		r := record(t, name, eightCard(), p, 2)
		table, note := 100.0, 0.0
		for _, x := range r.texts {
			if strings.HasSuffix(x.s, " g") {
				table = min(table, x.size)
			}
			if strings.HasPrefix(x.s, "Light:") {
				note = x.size
			}
		}
		if table < note-0.01 || table < 2.2 || table == 100 || note == 0 {
			t.Errorf("%s: weights are %.2f mm, remarks %.2f", name, table, note)
		}
	}
}

// Where a wide card must set its powders small, the remarks come down with them.
func TestRemarksNeverOutsizeWeights(t *testing.T) {
	r := record(t, "crowded", crowdedCard(), Wide, 1.6)
	table, note := 100.0, 0.0
	for _, x := range r.texts {
		if strings.HasSuffix(x.s, " g") {
			table = min(table, x.size)
		}
		if strings.HasPrefix(x.s, "Light:") {
			note = x.size
		}
	}
	if table >= noteText {
		t.Fatalf("the powders are %.2f mm; the case tests nothing", table)
	}
	if table < note-0.01 {
		t.Errorf("weights are %.2f mm, remarks %.2f", table, note)
	}
}

// An arm too narrow for 10 mm has a scale of 5.
func TestNarrowArmHasAScale(t *testing.T) {
	b := &Board{Heading: Heading{Title: "Eight", Source: "modelled"}}
	r := BoardRow{Name: "light", Skin: Patch{Lab: colour.Lab{L: 68, A: 10, B: 15}, Film: plainFilm(0.5, 0, 10, 1)}}
	for range MaxBoardColumns {
		b.Columns = append(b.Columns, "x")
		r.Looks = append(r.Looks, Look{Lab: colour.Lab{L: 70, A: 9, B: 17}, Film: plainFilm(0.5, 0.2, 10, 30)})
	}
	b.Rows = []BoardRow{r}
	if said := record(t, "eight", b, b.Paper(Upright), 2).said(); !strings.Contains(said, " 5 mm") {
		t.Errorf("no scale of 5 mm: %s", said)
	}
}

// A card without flakes says so, and speaks of no lamp.
func TestCardWithoutFlakes(t *testing.T) {
	c := demoCard()
	c.Sparkle = Sparkle{None: true}
	r := record(t, "none", c, Upright, 2)
	if said := r.said(); !strings.Contains(said, "Shimmer: none (no flakes)") || strings.Contains(said, "lamp") {
		t.Errorf("the card says %s", said)
	}
}

// A comparison with flakes has a scale on every arm and tells what the picture
// is; without flakes it speaks of no lamp. The colours take a good part of it.
func TestCompareTellsItsPicture(t *testing.T) {
	for name, p := range map[string]Paper{"upright": Upright, "wide": Wide} {
		for _, four := range []bool{false, true} {
			warm, cool := plainShimmerCard(), plainShimmerCard()
			if four {
				for _, c := range []*Card{warm, cool} {
					c.Coverages = append(c.Coverages, c.Coverages[2])
				}
			}
			c := &Compare{Heading: Heading{Title: "Warm and cool"}, Versions: []*Card{warm, cool}}
			r := record(t, name, c, p, 1.9)
			said := r.said()
			if n := strings.Count(said, "10 mm") + strings.Count(said, " 5 mm"); n != 2 {
				t.Errorf("%s: %d scales on two arms (%v)", name, n, four)
			}
			if !strings.Contains(said, "brighter than white is toned down") {
				t.Errorf("%s: the roll-off is not told", name)
			}
		}
		r := record(t, name, demoCompare(demoCard, demoCard), p, 1.9)
		if strings.Contains(r.said(), "lamp") {
			t.Errorf("%s: a flat comparison speaks of a lamp", name)
		}
		grid := 0.0
		for _, f := range r.fills {
			if f.W > r.w/2 && f.H > 1 {
				grid += f.H
			}
		}
		if share := grid / r.h; share < 0.2 {
			t.Errorf("%s: the colours take %.2f of the height", name, share)
		}
	}
}
