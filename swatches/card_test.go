package swatches

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"tawny/colour"
	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// TestLook writes every picture to the folder in SWATCHES_LOOK, for eyes.
func TestLook(t *testing.T) {
	dir := os.Getenv("SWATCHES_LOOK")
	if dir == "" {
		t.Skip("set SWATCHES_LOOK to a folder to have the pictures written there")
	}
	for name, d := range allDrawings() {
		if err := writePNG(filepath.Join(dir, name+".png"), d.d, d.p); err != nil {
			t.Error(err)
		}
	}
	date := time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)
	if err := writePDF(filepath.Join(dir, "cards.pdf"), Upright, "demo cards", date, shimmerCard("light", goldPearl, nil), crowdedCard()); err != nil {
		t.Error(err)
	}
	for name, p := range map[string]Paper{"a4": A4, "letter": Letter} {
		sheets, err := Sheets(p, 0, shimmerCard("light", goldPearl, nil), shimmerCard("brown", bronzeSpark, nil), crowdedCard(), demoCard(), demoCard())
		if err != nil {
			t.Fatal(err)
		}
		if err := writePDF(filepath.Join(dir, name+".pdf"), p, "demo sheet", date, sheets[0], sheets[1]); err != nil {
			t.Error(err)
		}
	}
}

// writePNG and writePDF put a picture on the disk, for eyes.
func writePNG(path string, d Drawing, p Paper) error {
	data, err := PNG(d, p)
	if err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o644)
}

func writePDF(path string, p Paper, title string, date time.Time, pages ...Drawing) error {
	data, err := PDF(p, title, date, pages...)
	if err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o644)
}

type onPaper struct {
	d        Drawing
	p        Paper
	smallest float64 // the smallest text allowed, mm
}

// allDrawings lists every kind of drawing on the papers it is meant for. The
// ordinary ones keep text at 2.5 mm (7 points) or more; the crowded ones, with
// the longest of everything, at 1.6 mm (4.5 points).
func allDrawings() map[string]onPaper {
	return map[string]onPaper{
		"card":              {demoCard(), Upright, 2.4},
		"card-wide":         {demoCard(), Wide, 2.4},
		"compare-shimmer":   {shimmerCompare(), Upright, 1.9},
		"four":              {fourCard(), Upright, 2.1},
		"four-wide":         {fourCard(), Wide, 1.9},
		"shimmer":           {shimmerCard("light", goldPearl, nil), Upright, 2.4},
		"shimmer-wide":      {shimmerCard("brown", bronzeSpark, nil), Wide, 2.4},
		"shimmer-stage":     {shimmerCard("tan", roseSatin, stageView()), Upright, 2.4},
		"loads":             {loadsBoard(), Upright, 2.1},
		"coverages":         {coveragesBoard(), Wide, 2.1},
		"skins":             {skinsBoard(), skinsBoard().Paper(Upright), 2.1},
		"weighed":           {weighedBoard(), weighedBoard().Paper(Upright), 2.1},
		"weighed-wide":      {weighedBoard(), weighedBoard().Paper(Wide), 2.1},
		"grid":              {gridBoard(), Upright, 1.6},
		"grid-flat":         {flat(gridBoard()), Upright, 1.6},
		"lights":            {lightsBoard(), Upright, 2.1},
		"jars":              {jarsCard(), Upright, 2.1},
		"jars-wide":         {jarsCard(), Wide, 1.9},
		"reflectance":       {reflectanceChart(), Wide, 2.3},
		"plane":             {planeChart(), Upright, 2.3},
		"load-chart":        {loadChart(), Upright, 2.3},
		"crowded":           {crowdedCard(), Upright, 1.6},
		"crowded-wide":      {crowdedCard(), Wide, 1.6},
		"compare":           {demoCompare(demoCard, demoCard), Upright, 1.9},
		"compare-wide":      {demoCompare(demoCard, demoCard), Wide, 1.9},
		"compare-full":      {demoCompare(crowdedCard, crowdedCard), Upright, 1.35},
		"compare-full-wide": {demoCompare(crowdedCard, crowdedCard), Wide, 1.2},
	}
}

// No text leaves its page or touches other text, whatever it says.
func TestTextKeepsItsPlace(t *testing.T) {
	for name, d := range allDrawings() {
		record(t, name, d.d, d.p, d.smallest)
	}
}

// What a maker weighs and reads is on the card in full, never cut.
func TestNumbersAreWhole(t *testing.T) {
	for name, d := range allDrawings() {
		for _, x := range record(t, name, d.d, d.p, 0).texts {
			if strings.Contains(x.s, "…") && strings.ContainsAny(x.s, "%*Δ²") {
				t.Errorf("%s: %q was cut", name, x.s)
			}
		}
	}
	r := record(t, "card", demoCard(), Upright, 0)
	var all strings.Builder
	for _, x := range r.texts {
		all.WriteString(strings.ReplaceAll(x.s, "\u00a0", " ") + "\n")
	}
	for _, want := range []string{"Lantern gold", "14 March 2026", "modelled", "bare skin", "sheer", "smoothed", "full",
		"0.5 mg/cm²", "1 mg/cm²", "2 mg/cm²", "L* 67.6", "ΔE00 0.5", "hardly visible", "matched here",
		"Honey gold, fine", "3.10 %", "7.75 g", "5.00 %", "12.50 g", "237.50 g", "D65/2", "Shimmer: pearl, about 340 glints per cm²"} {
		if !strings.Contains(all.String(), want) {
			t.Errorf("the card does not say %q", want)
		}
	}
}

// The ribbon shows each colour exactly as sRGB has it.
func TestRibbonColours(t *testing.T) {
	c := demoCard()
	r, err := Raster(c, Upright)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[colour.RGB8]int{}
	for i := 0; i < len(r.Pix.Pix); i += 4 {
		seen[colour.RGB8{R: r.Pix.Pix[i], G: r.Pix.Pix[i+1], B: r.Pix.Pix[i+2]}]++
	}
	for name, l := range map[string]colour.Lab{"skin": c.Skin.Lab, "target": c.Target.Lab,
		"sheer": c.Coverages[0].Lab, "smoothed": c.Coverages[1].Lab, "full": c.Coverages[2].Lab} {
		rgb, _ := colour.SRGB(l)
		// 1.5 cm² of the card at least, 93,000 pixels in 15.5 cm².
		if area := float64(seen[rgb]) / (200 / 2.54) / (200 / 2.54); area < 1.5 {
			t.Errorf("%s %s covers %.2f cm²", name, rgb.Hex(), area)
		}
	}
}

func TestSameCardSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		r, err := Raster(crowdedCard(), Wide)
		if err != nil {
			t.Fatal(err)
		}
		if err := canvas.WritePNG(w, r.Pix, r.DPI); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two drawings of one card differ")
	}
}

func TestBadCardsAreRefused(t *testing.T) {
	nan := colour.Lab{L: 50, A: zero / zero}
	for want, spoil := range map[string]func(*Card){
		"skin is L*a*b*":        func(c *Card) { c.Skin.Lab = nan },
		"target is L*a*b*":      func(c *Card) { c.Target.Lab = nan },
		"coverage sheer":        func(c *Card) { c.Coverages[0].Lab = nan },
		"0 coverages":           func(c *Card) { c.Coverages = nil },
		"number 3":              func(c *Card) { c.Matched = 3 },
		"load is -1":            func(c *Card) { c.Blend.LoadPercent = -1 },
		"grams of Copper ember": func(c *Card) { c.Blend.Parts[1].Grams = zero / zero },
		"13 powders":            func(c *Card) { c.Blend.Parts = make([]Part, 13) },
	} {
		c := demoCard()
		spoil(c)
		data, err := PNG(c, Upright)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error with %q, got %v", want, err)
		}
		if data != nil {
			t.Errorf("%q drew %d bytes", want, len(data))
		}
	}
}

var zero float64

func TestBadBoardsAndChartsAreRefused(t *testing.T) {
	nan := colour.Lab{L: zero / zero}
	board := func(spoil func(*Board)) *Board { b := plainBoard(); spoil(b); return b }
	refl := plainReflectance()
	refl.Curves[1].Reflectance[4] = -0.1
	plane := plainPlane()
	plane.Reachable = plane.Reachable[:2]
	plane2 := plainPlane()
	plane2.Blend.Lab = nan
	loads := plainLoads()
	loads.Points[3].Percent = 1
	loads2 := plainLoads()
	loads2.Points = loads2.Points[:1]
	film := demoCard()
	film.Coverages[0].Film = plainFilm(0.5, 0.2, 10, 20)
	half := plainShimmerCard()
	half.Coverages[2].Film = nil
	jars := demoCard()
	jars.Jars = make([]Patch, 4)
	for want, d := range map[string]Drawing{
		"0 rows":                     board(func(b *Board) { b.Rows = nil }),
		"0 columns":                  board(func(b *Board) { b.Columns = nil }),
		"1 looks for 2":              board(func(b *Board) { b.Rows[1].Looks = b.Rows[1].Looks[:1] }),
		`row "deep": coarse`:         board(func(b *Board) { b.Rows[1].Looks[1].Lab = nan }),
		`row "light": target`:        board(func(b *Board) { b.Rows[0].Target.Lab = nan }),
		"smoothed is -0.1 at 420 nm": refl,
		"has 2 corners":              plane,
		"Lantern gold is L*a*b*":     plane2,
		"do not rise at 1 %":         loads,
		"1 loads":                    loads2,
		"bare skin has none":         film,
		"coverage full has none":     half,
		"has 4 jars":                 jars,
		"has 0 curves":               &ReflectanceChart{},
		"the sheet has no cards":     &Sheet{},
		"has 1 versions":             &Compare{Versions: []*Card{demoCard()}},
	} {
		if err := d.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error with %q, got %v", want, err)
		}
	}
}

// A picture by itself has its own physical scale, and its linear light keeps
// what the screen cannot show.
func TestPictureScale(t *testing.T) {
	p, err := shimmer.Render(plainFilm(0.5, 0.6, 8, 40), shimmer.Lamp.Scene(), shimmer.Options{Width: 60, Height: 40, MMPerPixel: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := canvas.WritePNG(&b, p.RGBA(), inch/p.MMPerPixel); err != nil {
		t.Fatal(err)
	}
	// 0.1 mm to a pixel is 10,000 pixels in a metre, 0x2710.
	if !bytes.Contains(b.Bytes(), []byte("pHYs\x00\x00\x27\x10\x00\x00\x27\x10\x01")) {
		t.Error("the picture does not say its scale")
	}
	if slices.Max(p.Pix) < 2 {
		t.Errorf("the brightest glint is %.2f of white; the case tests nothing", slices.Max(p.Pix))
	}
}

// The arm of a shimmer card is the renderer's own picture, pixel for pixel.
func TestArmIsTheRenderedPicture(t *testing.T) {
	c := plainShimmerCard()
	r, err := Raster(c, Upright)
	if err != nil {
		t.Fatal(err)
	}
	rec := record(t, "shimmer", c, Upright, 0)
	if len(rec.images) != 1 {
		t.Fatalf("%d pictures on the card, want one arm", len(rec.images))
	}
	at := rec.images[0]
	w, h := r.Pixels(at)
	want, err := shimmer.Arm(c.films(), c.Rig.Scene(), shimmer.Options{Width: w, Height: h, MMPerPixel: at.H / float64(h), Seed: c.Seed})
	if err != nil {
		t.Fatal(err)
	}
	x0, y0 := int(math.Round(at.X*200/25.4)), int(math.Round(at.Y*200/25.4))
	for y := range h {
		for x := w / 4; x < w; x++ { // the scale stands on bare skin
			if r.Pix.RGBAAt(x0+x, y0+y) != want.RGBAAt(x, y) {
				t.Fatalf("pixel %d, %d is %v, rendered %v", x, y, r.Pix.RGBAAt(x0+x, y0+y), want.RGBAAt(x, y))
			}
		}
	}
}

func TestComparisonMustCompareLikeWithLike(t *testing.T) {
	c := demoCompare(demoCard, demoCard)
	c.Versions[1].Skin.Lab.L++
	if err := c.Check(); err == nil || !strings.Contains(err.Error(), "another skin") {
		t.Errorf("two skins were accepted: %v", err)
	}
	c = demoCompare(demoCard, demoCard)
	c.Versions[1].Target = nil
	if err := c.Check(); err == nil || !strings.Contains(err.Error(), "target") {
		t.Errorf("half a target was accepted: %v", err)
	}
}

func BenchmarkCardPNG(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := PNG(demoCard(), Wide); err != nil {
			b.Fatal(err)
		}
	}
}

// The card of the speed goal: 1800 × 1200 pixels, four patches under a lamp,
// with the fine grade whose glints are the most.
func BenchmarkShimmerCard(b *testing.B) {
	p := Wide
	p.DPI = 300
	for name, m := range map[string]mix{"pearl": goldPearl, "sparkle": bronzeSpark, "satin": {{"warm gold satin", 4}, {"satin veil", 1}}} {
		c := shimmerCard("light", m, nil)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := PNG(c, p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(peakMB(b), "peak-MB")
		})
	}
}

// peakMB is the process's greatest resident size, where the system tells it.
func peakMB(b *testing.B) float64 {
	data, err := os.ReadFile("/proc/self/status")
	if err != nil {
		b.Logf("no peak memory: %v", err)
		return 0
	}
	for _, line := range strings.Split(string(data), "\n") {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			kb, _ := strconv.ParseFloat(strings.Fields(rest)[0], 64)
			return kb / 1024
		}
	}
	return 0
}

// The card with its films made from the blend, as a command does it.
func BenchmarkShimmerCardFromBlend(b *testing.B) {
	b.ReportAllocs()
	p := Wide
	p.DPI = 300
	for b.Loop() {
		if _, err := PNG(shimmerCard("light", goldPearl, nil), p); err != nil {
			b.Fatal(err)
		}
	}
}
