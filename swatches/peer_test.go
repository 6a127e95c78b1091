package swatches

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"tawny/colour"
	"tawny/colour/canvas"
)

// flatWork is a canvas that keeps only the fills, as whole pixels.
type flatWork struct {
	boxes   []canvas.Box
	colours []colour.RGB8
}

func (f *flatWork) Fill(b canvas.Box, c colour.RGB8) {
	f.boxes = append(f.boxes, b)
	f.colours = append(f.colours, c)
}
func (f *flatWork) Shape([]canvas.Point, colour.RGB8)                     {}
func (f *flatWork) Line([]canvas.Point, float64, colour.RGB8, ...float64) {}
func (f *flatWork) Text(canvas.Point, string, canvas.Style)               {}
func (f *flatWork) Image(canvas.Box, *image.RGBA)                         {}
func (f *flatWork) Pixels(canvas.Box) (int, int)                          { return 0, 0 }

// The flat part of a card, painted here and by Cairo in one run: the same
// pixels, and the ratio of the times. See testdata/swatches/peer/run.sh.
func TestPeer(t *testing.T) {
	peer := os.Getenv("SWATCHES_PEER")
	if peer == "" {
		t.Skip("testdata/swatches/peer/run.sh builds the peer and runs this")
	}
	const width, height, runs = 1800, 1200, 40
	work := &flatWork{}
	demoCard().Draw(work, Wide.page())
	c := crowdedCard()
	c.Rows = append(c.Rows, c.Rows[0], c.Rows[0])
	c.Draw(work, Wide.page())

	paint, png := time.Duration(0), time.Duration(0)
	var r *canvas.Raster
	size := 0
	for range runs {
		start := time.Now()
		var err error
		if r, err = canvas.NewRaster(Wide.WidthMM, Wide.HeightMM, 300, paperWhite); err != nil {
			t.Fatal(err)
		}
		for i, b := range work.boxes {
			r.Fill(b, work.colours[i])
		}
		paint += time.Since(start)
		start = time.Now()
		var b bytes.Buffer
		if err := canvas.WritePNG(&b, r.Pix, 300); err != nil {
			t.Fatal(err)
		}
		png += time.Since(start)
		size = b.Len()
	}

	var list strings.Builder
	fmt.Fprintf(&list, "0 0 %d %d %d %d %d\n", width, height, paperWhite.R, paperWhite.G, paperWhite.B)
	for i, b := range work.boxes {
		x0, y0 := math.Round(b.X*300/25.4), math.Round(b.Y*300/25.4)
		x1, y1 := math.Round(b.Right()*300/25.4), math.Round(b.Bottom()*300/25.4)
		c := work.colours[i]
		fmt.Fprintf(&list, "%g %g %g %g %d %d %d\n", x0, y0, x1-x0, y1-y0, c.R, c.G, c.B)
	}
	cmd := exec.Command(peer, fmt.Sprint(width), fmt.Sprint(height), fmt.Sprint(runs))
	cmd.Stdin = strings.NewReader(list.String())
	var times bytes.Buffer
	cmd.Stderr = &times
	pixels, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	if len(pixels) != 3*width*height {
		t.Fatalf("the peer gave %d bytes", len(pixels))
	}
	for i := range width * height {
		if [3]byte(pixels[3*i:]) != [3]byte(r.Pix.Pix[4*i:]) {
			t.Fatalf("pixel %d, %d is %v here and %v there", i%width, i/width, r.Pix.Pix[4*i:4*i+3], pixels[3*i:3*i+3])
		}
	}
	var peerPaint, peerPNG float64
	var peerSize int
	if _, err := fmt.Sscan(times.String(), &peerPaint, &peerPNG, &peerSize); err != nil {
		t.Fatal(err)
	}
	here, hereP := paint.Seconds()/runs, png.Seconds()/runs
	t.Logf("%d rectangles on %d × %d, the same pixels", len(work.boxes), width, height)
	t.Logf("paint: here %.2f ms, Cairo %.2f ms, ratio %.2f", here*1e3, peerPaint*1e3, here/peerPaint)
	t.Logf("PNG:   here %.2f ms (%d kB), Cairo %.2f ms (%d kB), ratio %.2f", hereP*1e3, size/1000, peerPNG*1e3, peerSize/1000, hereP/peerPNG)
}
