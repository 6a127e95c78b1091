package swatches

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
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
}

// writePNG puts a picture on the disk, for eyes.
func writePNG(path string, d Drawing, p Paper) error {
	data, _, err := PNG(d, p)
	if err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o644)
}

type onPaper struct {
	d Drawing
	p Paper
}

// allDrawings lists every kind of drawing on the papers it is meant for.
var allDrawings = sync.OnceValue(func() map[string]onPaper {
	all := map[string]onPaper{
		"reflectance": {plainReflectance(), Wide},
		"plane":       {plainPlane(), Upright},
		"load-chart":  {plainLoads(), Upright},
		"pair":        {demoPair(), Wide},
	}
	for name, c := range map[string]*Card{"card": demoCard(), "shimmer": shimmerCard("light", "bright gold"), "crowded": crowdedCard(), "client": clientCard(),
		"compare": compareCard(), "skins": skinsCard(), "loads": loadsCard()} {
		for paper, p := range map[string]Paper{"": Upright, "-wide": Wide, "-phone": Phone, "-a6": A6} {
			all[name+paper] = onPaper{c, c.Paper(p)}
		}
		for i, page := range c.Pages(A6) {
			if len(c.Rows) == 1 && i > 0 {
				all[name+"-back"+strings.Repeat("-more", i-1)] = onPaper{page, A6}
			}
		}
	}
	sheets, err := Sheets(A4, clientCard(), clientCard(), clientCard(), clientCard())
	if err != nil {
		panic(err)
	}
	all["sheet"] = onPaper{sheets[0], A4}
	return all
})

func demoPair() *Pair {
	return &Pair{Heading: Heading{"Which is nearer, left or right?", "hold it beside the smear", "14 March 2026", "by eye"}, Left: Patch{"a little lighter", colour.Lab{L: 66, A: 10, B: 20}, nil}, Right: Patch{"a little redder", colour.Lab{L: 64, A: 13, B: 20}, nil}}
}

// sevenPoint is 7 pt in mm.
const sevenPoint = 7 * 25.4 / 72

// No text leaves its page, touches other text, is cut or is under 7 points,
// whatever it says and on whatever paper; and on cards text of one kind is of one
// size, beside whatever it stands.
func TestTextKeepsItsPlaceAndSize(t *testing.T) {
	sizes := []float64{titleStyle.Size, bodyText, noteText}
	for name, d := range allDrawings() {
		_, card := d.d.(*Card)
		for _, x := range record(t, name, d.d, d.p, sevenPoint).texts {
			if strings.Contains(x.s, "…") {
				t.Errorf("%s: %q was cut", name, x.s)
			}
			if card && !slices.Contains(sizes, x.size) {
				t.Errorf("%s: %q is %.2f mm", name, x.s, x.size)
			}
		}
	}
}

// What a maker weighs and reads is on the card.
func TestCardSaysItAll(t *testing.T) {
	said := record(t, "card", demoCard(), demoCard().Paper(Upright), 0).said()
	for _, want := range []string{"Lantern gold", "14 March 2026", "modelled", "bare skin", "sheer", "smoothed", "full",
		"0.5 mg/cm²", "1 mg/cm²", "2 mg/cm²", "L* 67.6", "ΔE00 0.5", "hardly", "matched here",
		"Honey gold, fine", "3.10 %", "7.75 g", "5.00 %", "12.50 g", "237.50 g", "D65/2", "Shimmer: pearl, 340 glints per cm²",
		"15°", "45°", "75°", "110°", "in the jar, wet"} {
		if !strings.Contains(said, want) {
			t.Errorf("the card does not say %q: %s", want, said)
		}
	}
	said = record(t, "client", clientCard(), A6, 0).said()
	for _, banned := range []string{"L*", "ΔE", "%", " g ", "modelled", "mg/cm²"} {
		if strings.Contains(said, banned) {
			t.Errorf("the client's card says %q: %s", banned, said)
		}
	}
	if said = record(t, "compare", compareCard(), compareCard().Paper(Upright), 0).said(); !strings.Contains(said, "The gap: ΔE00 4.2") || !strings.Contains(said, "window") {
		t.Errorf("the comparison says %s", said)
	}
}

// The two arms of a comparison stand side by side, alike large, with their light at
// the left and one scale for both.
func TestArmsStandSideBySide(t *testing.T) {
	c := compareCard()
	for name, p := range map[string]Paper{"upright": Upright, "wide": Wide, "phone": Phone} {
		r := record(t, name, c, c.Paper(p), sevenPoint)
		if len(r.images) != 2 {
			t.Fatalf("%s: %d arms", name, len(r.images))
		}
		a, b := r.images[0], r.images[1]
		if a.Y != b.Y || math.Abs(a.W-b.W) > 1e-9 || a.H != b.H || a.Right() >= b.X || a.H < leastFacing-0.01 {
			t.Errorf("%s: arms at %+v and %+v", name, a, b)
		}
	}
	r, err := Raster(c, c.Paper(Upright))
	if err != nil {
		t.Fatal(err)
	}
	lightness := func(b canvas.Box, from, to float64) (sum float64) {
		k := Upright.DPI / inch
		for x := int((b.X + from*b.W) * k); x < int((b.X+to*b.W)*k); x++ {
			sum += float64(r.Pix.RGBAAt(x, int((b.Y+5)*k)).G)
		}
		return sum
	}
	for _, b := range record(t, "compare", c, c.Paper(Upright), 0).images {
		if !(lightness(b, 0.1, 0.4) > 1.2*lightness(b, 0.6, 0.9)) {
			t.Errorf("the arm at %+v is not lit from the left", b)
		}
	}
}

// A board of six skins is one page of A4 whose arms can be seen, all its words on
// it.
func TestSixSkinsOnOnePage(t *testing.T) {
	c := skinsCard()
	p := c.Paper(Upright)
	if p.WidthMM != A4.WidthMM || p.HeightMM > A4.HeightMM {
		t.Errorf("six skins take %g × %g mm", p.WidthMM, p.HeightMM)
	}
	r := record(t, "skins", c, p, sevenPoint)
	if len(r.images) != 6 {
		t.Errorf("%d arms", len(r.images))
	}
	for _, b := range r.images {
		if b.H < leastRow-0.01 {
			t.Errorf("an arm is %.1f mm high", b.H)
		}
	}
}

// A card that has a set size keeps it: what does not fit stands on its back, whole.
func TestBackOfACard(t *testing.T) {
	c := crowdedCard()
	pages := c.Pages(A6)
	if len(pages) < 2 {
		t.Fatal("all of it fits; the case tests nothing")
	}
	all := ""
	for _, p := range pages {
		all += record(t, "page", p, A6, sevenPoint).said()
	}
	for _, want := range []string{"Interferenceviolett", "try it on a wrist", "110°", "full"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is on no page", want)
		}
	}
}

// The scale is 10 mm long to 2 %, or 5 where that is said, on every paper and on a
// sheet, as the picture itself has it.
func TestScaleIsTrue(t *testing.T) {
	for name, d := range allDrawings() {
		r := record(t, name, d.d, d.p, 0)
		scales := 0
		for _, bar := range r.fills {
			if bar.H != barMM {
				continue
			}
			scales++
			got := bar.W
			want := 10.0
			if got < 7 {
				want = 5
			}
			if math.Abs(got/want-1) > 0.02 || !strings.Contains(r.said(), number(want, 0)+" mm ") {
				t.Errorf("%s: the scale is %.2f mm", name, got)
			}
		}
		want := len(r.images)
		if c, ok := d.d.(*Card); ok {
			want = min(1, len(c.Rows)) // flat ones have it too, and all arms of a page are to one scale
		}
		if scales != want {
			t.Errorf("%s: %d scales, want %d", name, scales, want)
		}
	}
	// In a raster too: its ends are 10 mm of pixels apart.
	c := shimmerCard("dark", "bronze")
	r, err := Raster(c, Paper{101.6, 200, 200})
	if err != nil {
		t.Fatal(err)
	}
	best := 0
	for y := range r.Pix.Rect.Dy() {
		run := 0
		for x := range 200 {
			if q := r.Pix.RGBAAt(x, y); int(q.R)+int(q.G)+int(q.B) > 600 {
				run++
				best = max(best, run)
			} else {
				run = 0
			}
		}
		if best > 60 {
			break
		}
	}
	if want := 10.0 / 25.4 * 200; math.Abs(float64(best)-want) > 0.02*want {
		t.Errorf("the scale is %d pixels, 10 mm are %.1f", best, want)
	}
}

// The strip shows each colour exactly as sRGB has it.
func TestStripColours(t *testing.T) {
	for name, c := range map[string]*Card{"flat": demoCard(), "lit": shimmerCard("tan", "bright gold")} {
		p := c.Paper(Upright)
		r, err := Raster(c, p)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[colour.RGB8]int{}
		for i := 0; i < len(r.Pix.Pix); i += 4 {
			seen[colour.RGB8{R: r.Pix.Pix[i], G: r.Pix.Pix[i+1], B: r.Pix.Pix[i+2]}]++
		}
		for _, q := range append(c.Rows[0].patches(), *c.Rows[0].Target) {
			rgb, _ := colour.SRGB(q.Lab)
			// 0.5 cm² of the card at least.
			if area := float64(seen[rgb]) / (200 / 2.54) / (200 / 2.54); area < 0.5 {
				t.Errorf("%s: %s %s covers %.2f cm²", name, q.Name, rgb.Hex(), area)
			}
		}
	}
}

func TestSameCardSameBytes(t *testing.T) {
	var files [2][2][]byte
	for i := range files {
		c := shimmerCard("tan", "bronze")
		var err error
		if files[i][0], _, err = PNG(c, c.Paper(Wide)); err != nil {
			t.Fatal(err)
		}
		if files[i][1], _, err = PDF(c.Paper(Wide), "demo", time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC), c); err != nil {
			t.Fatal(err)
		}
	}
	for k, name := range []string{"PNG", "PDF"} {
		if !bytes.Equal(files[0][k], files[1][k]) {
			t.Errorf("two drawings of one card differ as %s", name)
		}
	}
}

// The arm on a card is the renderer's own picture, pixel for pixel, under the rig
// asked for.
func TestArmIsTheRenderedPicture(t *testing.T) {
	for _, rig := range shimmer.Rigs {
		c := shimmerCard("light", "bright gold")
		c.Rig = rig
		p := c.Paper(Upright)
		r, err := Raster(c, p)
		if err != nil {
			t.Fatal(err)
		}
		rec := record(t, string(rig), c, p, 0)
		if len(rec.images) != 1 || !strings.Contains(rec.said(), rig.Words("above")[:12]) {
			t.Fatalf("%d pictures on the card, want one arm; it says %s", len(rec.images), rec.said())
		}
		at := rec.images[0]
		w, h := r.Pixels(at)
		var films []*shimmer.Film
		for _, q := range c.Rows[0].patches() {
			films = append(films, q.Film)
		}
		want, err := shimmer.Arm(films, rig.Scene(), shimmer.Options{Width: w, Height: h, MMPerPixel: at.H / float64(h), FeatherMM: seamMM, Seed: c.Seed})
		if err != nil {
			t.Fatal(err)
		}
		x0, y0 := int(math.Round(at.X*200/25.4)), int(math.Round(at.Y*200/25.4))
		for y := range h {
			for x := w / 4; x < w; x++ { // the scale stands on bare skin
				if r.Pix.RGBAAt(x0+x, y0+y) != want.RGBAAt(x, y) {
					t.Fatalf("%s: pixel %d, %d is %v, rendered %v", rig, x, y, r.Pix.RGBAAt(x0+x, y0+y), want.RGBAAt(x, y))
				}
			}
		}
	}
}

// A card of 1800 × 1200 pixels with three coverages: 120 ms and 100 MB are what
// the project allows it.
func BenchmarkCard(b *testing.B) {
	c := shimmerCard("light", "bright gold")
	p := Paper{WidthMM: 1800 / 300.0 * inch, HeightMM: 1200 / 300.0 * inch, DPI: 300}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := PNG(c, p); err != nil {
			b.Fatal(err)
		}
	}
}

var _ canvas.Canvas = (*recorder)(nil)

// The first name under an arm stands over the text, however narrow the films, and
// no amount is broken inside its unit.
func TestNamesStandOverTheText(t *testing.T) {
	for name, c := range map[string]*Card{"card": demoCard(), "skins": skinsCard(), "loads": loadsCard()} {
		r := record(t, name, c, c.Paper(Phone), 0)
		first := math.Inf(1)
		for _, x := range r.texts {
			if x.s == "bare skin" || x.s == "bare" {
				first = min(first, x.box.X)
			}
			if strings.HasSuffix(x.s, "mg/cm") || x.s == "²" {
				t.Errorf("%s: an amount is broken at %q", name, x.s)
			}
		}
		if math.Abs(first-margin) > 0.1 {
			t.Errorf("%s: bare skin is told %.2f mm from the left, text %.2f", name, first, margin)
		}
	}
}

// A picture's paper is as white as a PDF's: printed, it lays no veil.
func TestPaperIsWhite(t *testing.T) {
	r, err := Raster(demoCard(), Paper{101.6, 200, 100})
	if err != nil {
		t.Fatal(err)
	}
	if q := r.Pix.RGBAAt(2, r.Pix.Rect.Dy()-2); q.R != 255 || q.G != 255 || q.B != 255 {
		t.Errorf("the paper is %v", q)
	}
}
