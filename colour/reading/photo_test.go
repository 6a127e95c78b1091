package reading

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"tawny/colour"
)

// Pillow stored the files and turned them upright again.
func TestOrientationByAnotherHand(t *testing.T) {
	for _, row := range readCSV(t, "orientation.csv") {
		p, err := openPhoto(testdata + "orientation-" + row[0] + ".jpg")
		if err != nil {
			t.Fatal(err)
		}
		if p.Width != atoi(t, row[1]) || p.Height != atoi(t, row[2]) {
			t.Errorf("tag %s: upright %d × %d, want %s × %s", row[0], p.Width, p.Height, row[1], row[2])
			continue
		}
		c := p.at(atoi(t, row[3]), atoi(t, row[4]))
		for i, v := range []uint16{c.R, c.G, c.B} {
			if want := atoi(t, row[5+i]); math.Abs(float64(v>>8)-float64(want)) > 3 { // two JPEG decoders
				t.Errorf("tag %s at %s,%s: channel %d is %d, want %d", row[0], row[3], row[4], i, v>>8, want)
			}
		}
	}
}

// Little CMS wrote the profiles and took the stored colours to sRGB.
func TestProfilesByAnotherHand(t *testing.T) {
	photos := map[string]*Photo{}
	for _, row := range readCSV(t, "profile.csv") {
		p := photos[row[0]]
		if p == nil {
			var err error
			if p, err = openPhoto(testdata + row[0]); err != nil {
				t.Fatal(err)
			}
			photos[row[0]] = p
		}
		// What was stored, by our decoder and by Pillow's.
		c := p.at(32*atoi(t, row[1])+16, 16)
		var stored [3]uint16
		for i, v := range []uint16{c.R, c.G, c.B} {
			want := atoi(t, row[2+i])
			if math.Abs(float64(v)/257-float64(want)) > 1.5 {
				t.Errorf("%s patch %s: channel %d is stored as %.1f, Pillow reads %d", row[0], row[1], i, float64(v)/257, want)
			}
			stored[i] = uint16(want * 257)
		}
		got := p.space.linear(stored[0], stored[1], stored[2])
		for i := range got {
			level, err := strconv.ParseFloat(row[5+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			if level < 0 {
				continue // outside sRGB, where its curve is not defined
			}
			if mine := 255 * encoded(got[i]); math.Abs(mine-level) > 0.1 {
				t.Errorf("%s patch %s: channel %d is %.3f, Little CMS makes it %.3f", row[0], row[1], i, mine, level)
			}
		}
	}
	if p := photos["wide-v4.jpg"]; p.Profile != "demo wide, version 4" || len(p.Notes) != 1 {
		t.Errorf("version 4: %q, %q", p.Profile, p.Notes)
	}
	if p := photos["wide-v2.png"]; p.Profile != "demo wide, version 2" || len(p.Notes) != 1 {
		t.Errorf("version 2: %q, %q", p.Profile, p.Notes)
	}
	if p := photos["srgb.jpg"]; p.Profile != "sRGB" || len(p.Notes) != 0 {
		t.Errorf("sRGB: %q, %q", p.Profile, p.Notes)
	}
}

func TestBrokenProfileIsSaid(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 4, 4))
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	p, err := DecodePhoto("x.png", insertChunk(b.Bytes(), "iCCP", []byte("name\x00\x00not zlib")))
	if err != nil {
		t.Fatal(err)
	}
	if p.Profile != "sRGB, assumed" || len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "not understood") {
		t.Errorf("%q, %q", p.Profile, p.Notes)
	}
	p, err = DecodePhoto("x.png", insertChunk(b.Bytes(), "gAMA", []byte{0, 0, 0xd9, 0x03})) // 0.55555
	if err != nil || len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "gamma") {
		t.Errorf("%q, %v", p.Notes, err)
	}
}

// insertChunk puts a chunk after a PNG's header.
func insertChunk(file []byte, kind string, data []byte) []byte {
	const after = 8 + 25
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	body := append([]byte(kind), data...)
	chunk = append(chunk, body...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(body))
	out := append([]byte{}, file[:after]...)
	return append(append(out, chunk...), file[after:]...)
}

// A small file that claims a vast picture is refused before it is decoded.
func TestImageBombIsRefused(t *testing.T) {
	header := []byte{0, 0, 0x4e, 0x20, 0, 0, 0x4e, 0x20, 8, 6, 0, 0, 0} // 20000 × 20000 RGBA
	body := append([]byte("IHDR"), header...)
	file := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), body...)
	file = binary.BigEndian.AppendUint32(file, crc32.ChecksumIEEE(body))
	_, err := DecodePhoto("bomb.png", file)
	if err == nil || !strings.Contains(err.Error(), "20000 × 20000") || !strings.Contains(err.Error(), "60 megapixels") {
		t.Errorf("PNG: %v", err)
	}
	frame := []byte("\xff\xd8\xff\xc0\x00\x11\x08\xff\xff\xff\xff\x03\x01\x22\x00\x02\x11\x01\x03\x11\x01\xff\xda\x00\x0c\x03\x01\x00\x02\x11\x03\x11\x00\x3f\x00")
	if _, err := DecodePhoto("bomb.jpg", frame); err == nil || !strings.Contains(err.Error(), "65535 × 65535") {
		t.Errorf("JPEG: %v", err)
	}
}

func TestPhotoFaultsAreNamed(t *testing.T) {
	grey := image.NewGray(image.Rect(0, 0, 20, 20))
	var b bytes.Buffer
	if err := png.Encode(&b, grey); err != nil {
		t.Fatal(err)
	}
	var whole bytes.Buffer
	if err := jpeg.Encode(&whole, image.NewNRGBA(image.Rect(0, 0, 64, 64)), nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ data, want string }{
		{"", "neither JPEG nor PNG"},
		{"GIF89a..........", "neither JPEG nor PNG"},
		{"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00", "HEIC"},
		{b.String(), "black and white"},
		{whole.String()[:whole.Len()/2], "cannot be read as a picture"},
		{"\xff\xd8\xff", "cannot be read as a picture"},
		{"\x89PNG\r\n\x1a\n", "cannot be read as a picture"},
	} {
		if _, err := DecodePhoto("f", []byte(c.data)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.20q: %v, want %q", c.data, err, c.want)
		}
	}
}

func TestBrokenOrientationIsSaid(t *testing.T) {
	data, err := os.ReadFile(testdata + "orientation-6.jpg")
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte("Exif\x00\x00"))
	tag := bytes.Index(data[at:], []byte("\x01\x12"))
	if tag < 0 {
		tag = bytes.Index(data[at:], []byte("\x12\x01"))
	}
	broken := append([]byte{}, data...)
	for i := at + tag + 8; i < at+tag+10; i++ {
		broken[i] = 99
	}
	p, err := DecodePhoto("x.jpg", broken)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "orientation") {
		t.Errorf("%q", p.Notes)
	}
}

func TestAreas(t *testing.T) {
	p, err := NewPhoto("x", image.NewNRGBA(image.Rect(0, 0, 200, 100)))
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]image.Rectangle{
		"10,20,30,40":      image.Rect(10, 20, 40, 60),
		" 10 , 20, 30 ,40": image.Rect(10, 20, 40, 60),
		"10%,20%,50%,10%":  image.Rect(20, 20, 120, 30),
		"0,0,100%,100%":    image.Rect(0, 0, 200, 100),
	} {
		if got, err := p.Area(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for text, want := range map[string]string{
		"10,20,30": "3 numbers", "a,1,2,3": "not a number", "0,0,7,50": "7 × 50", "190,0,20,20": "outside",
		"-5,0,20,20": "outside", "50,50,-20,20": "-20 × 20", "1e300,0,20,20": "not a number",
	} {
		if got, err := p.Area(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v; want %q", text, got, err, want)
		}
	}
}

func TestStripSplitsEvenly(t *testing.T) {
	known, err := GreyStrip(5)
	if err != nil {
		t.Fatal(err)
	}
	for _, area := range []image.Rectangle{image.Rect(100, 40, 603, 90), image.Rect(40, 100, 90, 603)} {
		patches := Strip(area, known)
		for i, p := range patches {
			if !p.Area.In(area) || p.Area.Dx() < 40 || p.Area.Dy() < 40 {
				t.Errorf("%v: patch %d is %v", area, i, p.Area)
			}
			middle := p.Area.Min.Add(p.Area.Max).Div(2)
			along := max(middle.X, middle.Y) - 100
			if want := (2*i + 1) * 503 / 10; along < want-2 || along > want+2 {
				t.Errorf("%v: patch %d is centred at %d, want %d", area, i, along, want)
			}
		}
	}
}

func TestKnownPatches(t *testing.T) {
	if l := GreyCard().Lab; math.Abs(l.L-49.496) > 0.001 || math.Abs(l.A) > 1e-9 || math.Abs(l.B) > 1e-9 {
		t.Errorf("18 %% grey is %v, want L* 49.496", l)
	}
	for text, n := range map[string]int{"grey-card": 1, "white-paper": 1, "grey-strip": 5, "grey-strip:7": 7, "lab:50,10,10": 1, "#b98a6e": 1} {
		known, _, err := FindKnown(text)
		if err != nil || len(known) != n {
			t.Errorf("%q: %d patches, %v", text, len(known), err)
		}
	}
	for text, want := range map[string]string{"grey-strip:1": "3 to 24", "grey-strip:x": "whole number", "nothing.csv": "grey-card"} {
		if _, _, err := FindKnown(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	path := t.TempDir() + "/patches.csv"
	if err := os.WriteFile(path, []byte("name;L;a;b;SE\nred oxide;38,5;40;28;0,4\ngrey;50;0;0;\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	known, _, err := knownIn(path)
	if err != nil || len(known) != 2 || known[0] != (Known{"red oxide", colour.Lab{L: 38.5, A: 40, B: 28}, 0.4}) || known[1].SE != 0 {
		t.Errorf("%+v, %v", known, err)
	}
	// A grey read under A stays grey under D65.
	l, _ := colour.FindIlluminant("A")
	known, notes, err := KnownFrom([]Sample{{Name: "x", Reading: colour.Reading{Lab: colour.Lab{L: 60}, Viewing: colour.NewViewing(l, colour.CIE1931)}}})
	if err != nil || colour.DeltaE76(known[0].Lab, colour.Lab{L: 60}) > 1e-6 || known[0].SE == 0 || len(notes) != 1 {
		t.Errorf("%+v, %q, %v", known, notes, err)
	}
}

// Hair, glints and dust on a fifth of an area leave its value alone.
func TestPatchValueIsRobust(t *testing.T) {
	lab := colour.Lab{L: 55, A: 12, B: 18}
	base := random(3, 0.9)
	base.mix = [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	clean := base.render([]swatch{{lab, image.Rect(200, 200, 500, 400)}})
	dirty := image.NewNRGBA64(clean.Bounds())
	copy(dirty.Pix, clean.Pix)
	for y := 200; y < 400; y++ {
		for x := 200; x < 500; x++ {
			switch {
			case (x/4+y/3)%10 == 0:
				dirty.SetNRGBA64(x, y, color.NRGBA64{R: 60000, G: 60000, B: 58000, A: 0xffff})
			case (x/2)%10 == 1:
				dirty.SetNRGBA64(x, y, color.NRGBA64{R: 4000, G: 3000, B: 3000, A: 0xffff})
			}
		}
	}
	var got [2]patchStat
	for i, img := range []*image.NRGBA64{clean, dirty} {
		p, err := NewPhoto("x", img)
		if err != nil {
			t.Fatal(err)
		}
		if got[i], err = p.measure(image.Rect(200, 200, 500, 400)); err != nil {
			t.Fatal(err)
		}
	}
	for c := range 3 {
		if d := got[1].rgb[c]/got[0].rgb[c] - 1; math.Abs(d) > 0.015 {
			t.Errorf("channel %d moves by %.1f %%", c, 100*d)
		}
	}
	// The slope inside is the light's.
	for k := range 2 {
		if d := got[0].slope[k] - base.slope[k]; math.Abs(d) > 0.03 {
			t.Errorf("slope %d is %.3f a frame, want %.3f", k, got[0].slope[k], base.slope[k])
		}
	}
}

// W agrees with CIEDE2000, and a camera at rest with sRGB.
func TestCameraMathematics(t *testing.T) {
	for _, lab := range append(skins, colour.Lab{L: 50}, colour.Lab{L: 60, A: 30, B: -10}) {
		w := colour.Ellipsoid00(lab)
		for _, d := range [][3]float64{{0.1, 0, 0}, {0, 0.1, 0}, {0, 0, 0.1}, {0.05, -0.08, 0.06}} {
			sum := 0.0
			for a := range 3 {
				x := w[a][0]*d[0] + w[a][1]*d[1] + w[a][2]*d[2]
				sum += x * x
			}
			want := colour.DeltaE00(lab, colour.Lab{L: lab.L + d[0], A: lab.A + d[1], B: lab.B + d[2]})
			if got := math.Sqrt(sum); math.Abs(got/want-1) > 0.03 {
				t.Errorf("%v + %v: |W·Δ| %.4f, ΔE00 %.4f", lab, d, got, want)
			}
		}
	}
	rest := camera{}
	rgb := [3]float64{0.35, 0.22, 0.12}
	x, y, z := colorful.LinearRgb(rgb[0], rgb[1], rgb[2]).Lab()
	if got, want := rest.lab(rgb, 0, 0), (colour.Lab{L: x * 100, A: y * 100, B: z * 100}); colour.DeltaE76(got, want) > 1e-3 {
		t.Errorf("a camera at rest gives %v, sRGB is %v", got, want)
	}
}

func FuzzOrientation(f *testing.F) {
	for i := 1; i <= 8; i++ {
		data, err := os.ReadFile(fmt.Sprintf("%sorientation-%d.jpg", testdata, i))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[bytes.Index(data, []byte("Exif\x00\x00"))+6:])
	}
	f.Add([]byte("MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		o, _ := exifOrientation(data)
		if o < 1 || o > 8 {
			t.Fatalf("orientation %d", o)
		}
		w, h := o.size(5, 3)
		seen := map[[2]int]bool{}
		for y := range h {
			for x := range w {
				sx, sy := o.stored(x, y, 5, 3)
				if sx < 0 || sy < 0 || sx >= 5 || sy >= 3 {
					t.Fatalf("orientation %d: %d,%d is stored at %d,%d", o, x, y, sx, sy)
				}
				seen[[2]int{sx, sy}] = true
			}
		}
		if len(seen) != 15 {
			t.Fatalf("orientation %d reaches %d of 15 pixels", o, len(seen))
		}
	})
}

func FuzzProfile(f *testing.F) {
	for _, name := range []string{"wide-v4.jpg", "srgb.jpg", "wide-v2.png"} {
		data, err := os.ReadFile(testdata + name)
		if err != nil {
			f.Fatal(err)
		}
		var m metadata
		if strings.HasSuffix(name, "jpg") {
			m, err = jpegMetadata(data)
		} else {
			m, err = pngMetadata(data)
		}
		if err != nil || len(m.profile) == 0 {
			f.Fatalf("%s: no profile, %v", name, err)
		}
		f.Add(m.profile)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, title, err := parseProfile(data)
		if len([]rune(title)) > 61 {
			t.Fatalf("title of %d runes", len([]rune(title)))
		}
		if err != nil {
			return
		}
		for _, v := range s.linear(65535, 32768, 100) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("a pixel becomes %g", v)
			}
		}
	})
}

func FuzzDecodePhoto(f *testing.F) {
	for _, name := range []string{"orientation-6.jpg", "wide-v4.jpg", "wide-v2.png"} {
		data, err := os.ReadFile(testdata + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		// What is inside the limit is decoded; here the limit is a small one,
		// so that the fuzzer spends its time on the parsers.
		if c, err := jpeg.DecodeConfig(bytes.NewReader(data)); err == nil && c.Width*c.Height > 1<<16 {
			return
		}
		if c, err := png.DecodeConfig(bytes.NewReader(data)); err == nil && c.Width*c.Height > 1<<16 {
			return
		}
		p, err := DecodePhoto("f", data)
		if err != nil {
			return
		}
		area, err := p.Area("0,0,50%,100%")
		if err != nil {
			return
		}
		target, err := p.Area("50%,0,50%,100%")
		if err != nil {
			return
		}
		r, err := p.Measure(Marks{Patches: []Patch{{GreyCard(), area}}, Target: target})
		if err == nil && r.Verdict != Refused && !r.Lab.Finite() {
			t.Fatalf("%+v", r)
		}
	})
}
