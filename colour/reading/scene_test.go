package reading

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"tawny/colour"
)

// scene is a rendered photo with everything known: patches and targets of
// given colour, a light that slopes, a camera that tints and mixes, noise.
type scene struct {
	w, h     int
	gain     [3]float64    // exposure and tint
	mix      [3][3]float64 // camera's own mixing, rows sum to 1
	slope    [2]float64    // ln light per frame
	contrast float64       // exponent on linear light
	bend     bool          // a telephone's S-shaped tone curve as well
	noise    float64       // relative, at the light of mid grey
	seed     uint64
}

type swatch struct {
	lab  colour.Lab
	area image.Rectangle
}

// chart is eighteen invented patches: six greys and twelve hues on two rings
// of lightness, all well inside sRGB.
func chart() []Known {
	var list []Known
	for _, l := range []float64{92, 78, 63, 48, 34, 22} {
		list = append(list, Known{Name: "grey", Lab: colour.Lab{L: l}})
	}
	for i := range 6 {
		h := float64(i) * 60
		list = append(list, Known{Name: "light hue", Lab: colour.LCh{L: 68, C: 30, H: h + 20}.Lab()},
			Known{Name: "deep hue", Lab: colour.LCh{L: 45, C: 32, H: h + 50}.Lab()})
	}
	return list
}

// skins run from very light to dark, within the colours published for skin.
var skins = []colour.Lab{{L: 71, A: 9, B: 15}, {L: 64, A: 11, B: 15}, {L: 56, A: 13, B: 19}, {L: 45, A: 13, B: 19}, {L: 33, A: 12, B: 15}, {L: 27, A: 9, B: 10}}

// random makes a camera and a light: up to ± 20 % tint, 12 % mixing, and light
// that falls by up to a third across the frame. exposed is how bright the
// brightest patch comes out, 0.9 for a well-exposed photo.
func random(seed uint64, exposed float64) scene {
	r := rand.New(rand.NewPCG(seed, 7))
	s := scene{w: 900, h: 600, noise: 0.03, seed: seed, contrast: 1}
	for i := range 3 {
		s.gain[i] = 0.8 + 0.4*r.Float64()
		sum := 0.0
		for j := range 3 {
			if i != j {
				s.mix[i][j] = 0.02 + 0.10*r.Float64()
				sum += s.mix[i][j]
			}
		}
		s.mix[i][i] = 1 - sum
	}
	turn := 2 * math.Pi * r.Float64()
	size := 0.15 + 0.25*r.Float64()
	s.slope = [2]float64{size * math.Cos(turn), size * math.Sin(turn)}
	_, white, _ := colour.LinearSRGB(colour.Lab{L: 92})
	bright := white * max(s.gain[0], s.gain[1], s.gain[2]) * math.Exp(size/2)
	for i := range s.gain {
		s.gain[i] *= exposed / bright
	}
	return s
}

func (s scene) render(list []swatch) *image.NRGBA64 {
	r := rand.New(rand.NewPCG(s.seed, 99))
	img := image.NewNRGBA64(image.Rect(0, 0, s.w, s.h))
	frame := float64(max(s.w, s.h))
	background := colour.Lab{L: 60, A: 2, B: 5}
	which := make([]int, s.w*s.h)
	for i, sw := range list {
		for y := sw.area.Min.Y; y < sw.area.Max.Y; y++ {
			for x := sw.area.Min.X; x < sw.area.Max.X; x++ {
				which[y*s.w+x] = i + 1
			}
		}
	}
	linear := make([][3]float64, len(list)+1)
	for i := range linear {
		lab := background
		if i > 0 {
			lab = list[i-1].lab
		}
		var c [3]float64
		c[0], c[1], c[2] = colour.LinearSRGB(lab)
		for k := range 3 {
			linear[i][k] = s.gain[k] * (s.mix[k][0]*c[0] + s.mix[k][1]*c[1] + s.mix[k][2]*c[2])
		}
	}
	for y := range s.h {
		for x := range s.w {
			u, v := (float64(x)+0.5-float64(s.w)/2)/frame, (float64(y)+0.5-float64(s.h)/2)/frame
			e := math.Exp(s.slope[0]*u + s.slope[1]*v)
			var px [3]uint16
			dice := r.Uint64() // 16 bits a channel
			for k := range 3 {
				c := linear[which[y*s.w+x]][k] * e
				c += s.noise * math.Sqrt(0.18*math.Max(c, 0)+0.0004) * normal[dice>>(16*k)&0xffff] // shot and read noise
				if c = math.Max(c, 0); s.contrast != 1 {
					c = math.Pow(c, s.contrast)
				}
				c = encoded(c)
				if s.bend {
					c += 0.06 * math.Sin(2*math.Pi*(c-0.5))
				}
				px[k] = uint16(math.Round(65535 * math.Min(math.Max(c, 0), 1)))
			}
			img.SetNRGBA64(x, y, color.NRGBA64{R: px[0], G: px[1], B: px[2], A: 0xffff})
		}
	}
	return img
}

// encoded is the sRGB curve from a table, since a scene has two million values.
func encoded(c float64) float64 {
	x := math.Min(c, 1.2) / 1.2 * (float64(len(encodeTable) - 1))
	k := min(int(x), len(encodeTable)-2)
	f := x - float64(k)
	return (1-f)*encodeTable[k] + f*encodeTable[k+1]
}

var encodeTable = func() (t [1 << 14]float64) {
	for i := range t {
		c := 1.2 * float64(i) / float64(len(t)-1)
		if c <= 0.0031308 {
			t[i] = 12.92 * c
		} else {
			t[i] = 1.055*math.Pow(c, 1/2.4) - 0.055
		}
	}
	return t
}()

// normal is a table of normal deviates, since drawing two million is slow.
var normal = func() (t [1 << 16]float64) {
	r := rand.New(rand.NewPCG(11, 12))
	for i := range t {
		t[i] = r.NormFloat64()
	}
	return t
}()

// lay puts the patches in a block on one side and the targets on the other.
func lay(known []Known, targets []colour.Lab) (patches []Patch, areas []image.Rectangle, list []swatch) {
	for i, k := range known {
		x, y := 40+(i%6)*70, 60+(i/6)*80
		if len(known) <= 6 { // round the skin, as one would lay loose patches
			x, y = 420+(i%2)*400, 50+(i/2)*200
			if len(known) <= 4 {
				y = 50 + (i/2)*400
			}
		}
		p := Patch{k, image.Rect(x, y, x+56, y+56)}
		patches = append(patches, p)
		list = append(list, swatch{k.Lab, p.Area.Inset(-4)})
	}
	for i, lab := range targets {
		x, y := 500+(i%2)*155, 60+(i/2)*170
		r := image.Rect(x, y, x+130, y+130)
		areas = append(areas, r)
		list = append(list, swatch{lab, r.Inset(-8)})
	}
	return
}

// throughJPEG stores 8 bits a channel, rounded as a camera does; the encoder
// left to itself would cut 16 bits down to 8 and shift everything by half a
// step. It stores the colour at half the resolution (4:2:0).
func throughJPEG(t testing.TB, deep *image.NRGBA64, quality int) *Photo {
	t.Helper()
	img := image.NewNRGBA(deep.Bounds())
	for i := 0; i < len(img.Pix); i++ {
		v := uint32(deep.Pix[2*i])<<8 | uint32(deep.Pix[2*i+1])
		img.Pix[i] = uint8((v + 128) / 257)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	p, err := DecodePhoto("scene.jpg", b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func throughPNG(t testing.TB, img image.Image) *Photo {
	t.Helper()
	var b bytes.Buffer
	fast := png.Encoder{CompressionLevel: png.NoCompression} // noise does not compress
	if err := fast.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	p, err := DecodePhoto("scene.png", b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func openPhoto(path string) (*Photo, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return DecodePhoto(path, data)
}

func readFile(path string) ([]Sample, Notes, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	return Parse(path, f)
}

func knownIn(path string) ([]Known, Notes, error) {
	samples, _, err := readFile(path)
	if err != nil {
		return nil, nil, err
	}
	return KnownFrom(samples)
}

// Marks is what the maker marks in a photo: the known patches and the area
// whose colour is wanted.
type Marks struct {
	Patches []Patch
	Target  image.Rectangle
}

// Measure finds the camera and the colour of the target in one.
func (p *Photo) Measure(m Marks) (Result, error) {
	c, err := p.Calibrate(m.Patches)
	if err != nil {
		return Result{name: p.Name}, err
	}
	return c.Measure(m.Target)
}
