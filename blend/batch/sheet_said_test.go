package batch

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// everySheet is the batch in every format, as text.
func everySheet(t *testing.T, b *Batch) map[string]string {
	t.Helper()
	var text, md, page, pdf bytes.Buffer
	for _, err := range []error{Text(&text, b), Markdown(&md, b), HTML(&page, b, nil), PDF(&pdf, b, nil, false)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	shown, _ := pdfText(t, pdf.Bytes())
	return map[string]string{"text": text.String(), "markdown": md.String(), "html": page.String(), "pdf": shown}
}

// No sheet of any base shows a formatting fault or a count of "1 steps".
func TestSheetsAreWellFormed(t *testing.T) {
	bs := Builtin()
	for _, base := range bs {
		b, err := Scale(Request{Base: base, Containers: 3, ContainerML: 30, Parts: []Part{{demoGold(), 3}, {demoRed(), 0.1}},
			Scent: &Scent{Name: "Demo scent", Percent: 0.4}, Look: &Look{Skin: "tan", Lab: "L* 60", DeltaE00: 1.5}})
		if err != nil {
			t.Fatal(err)
		}
		for format, s := range everySheet(t, b) {
			if !strings.Contains(s, "% w/w") {
				t.Errorf("%s, %s: no heading of the per cent column", base.Name, format)
			}
			for _, bad := range []string{"%!", " 1 steps", ">1 steps", "to the target"} {
				if strings.Contains(s, bad) {
					t.Errorf("%s, %s: shows %q", base.Name, format, bad)
				}
			}
		}
	}
}

// Every format shows what was weighed beside the plan, ticked, and what was added.
func TestSheetsTellWhatWasWeighed(t *testing.T) {
	b := sheetBatch(t)
	for format, s := range everySheet(t, b) {
		if strings.Contains(s, "weighed g") || strings.Contains(s, done) {
			t.Errorf("%s: as if something was weighed", format)
		}
	}
	at := slices.IndexFunc(b.Weighings, func(l Weighing) bool { return l.Powder })
	b.Weighings[at].WeighedG = new(77.3)
	b.AsMade = []string{"Mended by hand."}
	puts := 0
	for _, one := range b.Steps {
		for _, w := range one.Weights {
			if w.Line == at {
				puts++
			}
		}
	}
	for format, s := range everySheet(t, b) {
		for _, want := range []string{"planned g", "weighed g", "77.3", "Mended by hand."} {
			if !strings.Contains(s, want) {
				t.Errorf("%s lacks %q", format, want)
			}
		}
		ticks, want := map[string]string{"text": done, "markdown": done, "html": "box done"}[format], 1
		if format != "markdown" { // whose steps are a task list
			want += puts
		}
		if ticks != "" && strings.Count(s, ticks) != want {
			t.Errorf("%s: %d boxes are ticked, want %d", format, strings.Count(s, ticks), want)
		}
	}
}

// The distance to the target is told where there is a target.
func TestTargetIsTold(t *testing.T) {
	b := sheetBatch(t)
	b.Look = &Look{Lab: "L* 60", Target: "skin:5,2,0", DeltaE00: 1.5}
	for format, s := range everySheet(t, b) {
		if !strings.Contains(strings.Join(strings.Fields(s), " "), "1.50 to the target") {
			t.Errorf("%s does not tell the distance", format)
		}
	}
}

// Flakes outside the mica rule's fineness stop a check as they stop a batch,
// by the middle where the coarse end is not given; within it they do not.
func TestTooCoarseStops(t *testing.T) {
	for _, c := range []struct {
		d50, d90 float64
		stops    bool
	}{{60, 200, true}, {200, 0, true}, {60, 150, false}, {60, 120, false}} {
		p := demoGold()
		p.D50, p.D90 = c.d50, c.d90
		base := mustFind(t, "silk-body-oil")
		if got := find(Check(base, Request{Parts: []Part{{p, 3}}}), Stop, "fineness"); got != c.stops {
			t.Errorf("d50 %g, d90 %g: stops is %v", c.d50, c.d90, got)
		}
		if _, err := Scale(Request{Base: base, Grams: 100, Parts: []Part{{p, 3}}}); (err != nil) != c.stops {
			t.Errorf("d50 %g, d90 %g: %v", c.d50, c.d90, err)
		}
	}
}

// A slurry is spoken of where the steps make one.
func TestSlurryOnlyInOils(t *testing.T) {
	for name, want := range map[string]bool{"everyday-lotion": false, "bought-white-lotion": false, "bought-clear-oil": false, "silk-body-oil": true, "stage-mist-oil": true} {
		if got := strings.Contains(scaled(t, name, Part{demoGold(), 3}).Powders[0].String(), "slurry"); got != want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Ounces and grams say the same, neither more than there is.
func TestNetWeightsAgree(t *testing.T) {
	for _, ml := range []float64{5, 30, 50, 99, 100, 250} {
		b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 3, ContainerML: ml})
		if err != nil {
			t.Fatal(err)
		}
		var oz, g float64
		if _, err := fmt.Sscanf(b.Label.US.Net, "NET WT %f OZ (%f g)", &oz, &g); err != nil {
			t.Fatalf("%s: %v", b.Label.US.Net, err)
		}
		in := ml * b.DensityGML
		if g > in || g < in*0.99 || oz*28.3495 > in || math.Abs(oz*28.3495-g) > 0.01*28.3495+0.01*g {
			t.Errorf("%.3f g: %s", in, b.Label.US.Net)
		}
	}
}

// What does not pour is sold by weight and gets no dropper, with a size and
// without.
func TestNetAndClosureByConsistency(t *testing.T) {
	for _, c := range []struct {
		base, net string
		dropper   bool
	}{{"everyday-lotion", "NET WT", false}, {"rich-body-cream", "NET WT", false}, {"standing-gel-oil", "NET WT", false}, {"silk-body-oil", "FL OZ", true}, {"light-body-milk", "FL OZ", false}} {
		base := mustFind(t, c.base)
		for _, req := range []Request{{Base: base, Grams: 300}, {Base: base, Containers: 3, ContainerML: 50}} {
			b, err := Scale(req)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(b.Label.US.Net, c.net) {
				t.Errorf("%s: %s", c.base, b.Label.US.Net)
			}
			if got := strings.HasPrefix(b.Filling.Closure, "dropper"); got != c.dropper {
				t.Errorf("%s: closure %s", c.base, b.Filling.Closure)
			}
		}
	}
}

// The temperatures of steps never rise again once the batch cools, and what
// was never warm is not measured for it.
func TestCoolDownNeverRises(t *testing.T) {
	bs := Builtin()
	for _, base := range bs {
		b := scaled(t, base.File[:len(base.File)-len(".csv")], Part{demoGold(), 3})
		limit := 1e9
		for _, s := range b.Steps {
			if s.TempC.High == 0 {
				continue
			}
			if strings.HasPrefix(s.Title, "Cool") {
				limit = s.TempC.Low
			} else if s.TempC.High > limit {
				t.Errorf("%s: %q at %g °C after %g °C", base.Name, s.Title, s.TempC.High, limit)
			} else if s.TempC.Low == 0 {
				limit = s.TempC.High
			}
			if s.TempC.Low == 0 && s.TempC.High > 40 {
				t.Errorf("%s: %q below %g °C, not 40", base.Name, s.Title, s.TempC.High)
			}
			if do := strings.Join(s.Do, " "); strings.Contains(do, "Take the temperature") && !base.HeatC.Stated() && base.pours() {
				t.Errorf("%s: %q measures what was never warmed", base.Name, s.Title)
			}
		}
	}
}

// The log, the filling and the last step keep the same samples, and the
// filling counts them: three jars of 10 ml take one 30 ml container, and one
// more is kept closed.
func TestKeptSamplesAreCounted(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 8, ContainerML: 30, OverfillPercent: 1, LossPercent: 4, Parts: []Part{{demoGold(), 3}}})
	if err != nil {
		t.Fatal(err)
	}
	if b.Filling.Filled != 8 || b.Filling.Kept != 2 || b.Filling.ToUse() != 6 {
		t.Errorf("%+v", b.Filling)
	}
	for format, s := range everySheet(t, b) {
		s = strings.Join(strings.Fields(s), " ")
		if n := strings.Count(s, "Keep 1 filled container closed"); n != 3 {
			t.Errorf("%s says what to keep %d times, not at filling, last step and log", format, n)
		}
		if !strings.Contains(s, "6 are to sell or use") || strings.Contains(s, "kept at each place") {
			t.Errorf("%s does not count what is kept", format)
		}
	}
	// Samples asked for are made over and above, and told apart on page one.
	one := 1
	if b, err = Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 8, ContainerML: 30, Samples: &one, OverfillPercent: 1, LossPercent: 4}); err != nil ||
		b.Filling.Filled != 9 || b.Filling.ToUse() != 8 || b.Filling.Opened() != 0 || b.Filling.LeftoverG < 3*10*b.DensityGML-1e-9 || !slices.Contains(b.Facts(), Fact{"fills", "9 × 30 ml: 8 to sell or use, 1 to keep"}) {
		t.Errorf("%v: %+v, %q", err, b.Filling, b.Facts())
	}
	if b, err = Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 1, ContainerML: 30}); err != nil || !strings.Contains(b.Filling.String(), "takes the whole batch") {
		t.Errorf("%v, %s", err, b.Filling)
	}
}
