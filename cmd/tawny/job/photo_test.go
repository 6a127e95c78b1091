package job

import (
	"errors"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/colour"
)

// demoPhoto is the demo photo with its strip marked and one area.
func demoPhoto(areas ...string) PhotoInput {
	return PhotoInput{
		File:   "../../../testdata/photo/smear-demo.jpg",
		Strips: []string{"../../../testdata/photo/strip-demo.csv@60,40,680,100"}, Areas: areas,
	}
}

// The demo photo is tinted, mixed, sloped, noisy and a JPEG; its forearm and
// smear come out within ΔE00 1.5 of what they were painted
// (demo_photo_test.go).
func TestPhotoOfDemo(t *testing.T) {
	r, err := Photo(desk, demoPhoto("120,260,200,200", "500,280,160,160"), "area")
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []colour.Lab{{L: 55.1, A: 11.9, B: 18.6}, {L: 73.37, A: -6.21, B: 26.70}} {
		d := colour.DeltaE00(r.Areas[i].Lab, want)
		t.Logf("area %d: ΔE00 %.2f from the truth", i+1, d)
		if d > 1.5 {
			t.Errorf("area %d: %v, ΔE00 %.2f", i+1, r.Areas[i].Lab, d)
		}
		back, err := desk.ReadColour(r.Areas[i].Reading)
		if err != nil || back.Geometry != colour.Photo || colour.DeltaE00(back.Lab, r.Areas[i].Lab) > 0.02 {
			t.Errorf("%s does not read back: %+v, %v", r.Areas[i].Reading, back, err)
		}
	}
	// What it prints for --skin is a skin.
	one, err := Photo(desk, demoPhoto("120,260,200,200"), "area")
	if err != nil {
		t.Fatal(err)
	}
	if k, err := Skin(Input{env: desk, Skin: one.Reading, Repeat: one.Repeat}); err != nil || k.Class != "tan" {
		t.Errorf("%s: %+v, %v", one.Reading, k, err)
	}
}

// Without marks it says how to take one and how large it is.
func TestPhotoAdvice(t *testing.T) {
	r, err := measurePhoto(desk, PhotoInput{File: demoPhoto().File})
	if err != nil || r.Width != 800 || r.Height != 560 || len(r.Areas) != 0 {
		t.Fatalf("%+v, %v", r, err)
	}
	advice := strings.Join(r.Advice, " ")
	for _, want := range []string{"daylight", "No flash", "one angle"} {
		if !strings.Contains(advice, want) {
			t.Errorf("the advice does not say %q", want)
		}
	}
}

func TestPhotoRefuses(t *testing.T) {
	dir := t.TempDir()
	white := filepath.Join(dir, "white.png")
	img := image.NewNRGBA(image.Rect(0, 0, 400, 300))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	f, err := os.Create(white)
	if err != nil {
		t.Fatal(err)
	}
	png.Encode(f, img)
	f.Close()
	text := filepath.Join(dir, "text.jpg")
	os.WriteFile(text, []byte("not a picture"), 0o644)
	demo := demoPhoto("120,260,200,200")
	with := func(change func(*PhotoInput)) PhotoInput {
		in := demo
		change(&in)
		return in
	}
	for _, c := range []struct {
		in   PhotoInput
		want string
	}{
		{PhotoInput{File: filepath.Join(dir, "none.jpg")}, "no such file"},
		{PhotoInput{File: text}, "text.jpg"},
		{with(func(in *PhotoInput) { in.Areas = nil }), "no area"},
		{with(func(in *PhotoInput) { in.Strips = nil }), "nothing known"},
		{with(func(in *PhotoInput) { in.Areas = []string{"700,500,200,200"} }), "700,500,200,200"},
		{with(func(in *PhotoInput) { in.Areas = []string{"a,b,c,d"} }), "a,b,c,d"},
		{with(func(in *PhotoInput) { in.Strips = []string{"grey-strip:5"} }), "known@x,y,w,h"},
		{with(func(in *PhotoInput) { in.Patches = []string{"grey-strip:5@10,10,50,50"} }), "set of 5"},
		{with(func(in *PhotoInput) {
			in.Patches = []string{"../../../testdata/photo/strip-demo.csv#teal@400,40,80,90"}
		}), "no patch \"teal\""},
		// Wrong colours for what is there: the fit cannot hold.
		{with(func(in *PhotoInput) { in.Strips = []string{"grey-strip:8@60,40,680,100"} }), "cannot be used"},
		// Burnt out.
		{PhotoInput{File: white, Patches: []string{"grey-card@10,10,60,60"}, Areas: []string{"200,100,80,80"}}, "cannot be used"},
	} {
		if r, err := Photo(desk, c.in, "area"); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q, got %+v, %v", c.want, r, err)
		}
	}
}
