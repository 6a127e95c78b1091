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
			if x.s == "10" && x.box.X > p.WidthMM/2 {
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
