package canvas

import (
	"fmt"
	"image"
	"image/draw"
	"math"

	"github.com/fogleman/gg"
	"github.com/golang/freetype/truetype"
	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"

	"tawny/colour"
)

// Raster is a canvas of pixels. Edges of filled boxes fall on whole pixels so
// that flat colours meet without a seam; shapes and letters are anti-aliased.
type Raster struct {
	DPI   float64 // pixels in 25.4 mm
	Pix   *image.RGBA
	scale float64 // pixels in a mm
	gc    *gg.Context
	faces map[faceKey]font.Face
	Missing
}

type faceKey struct {
	weight Weight
	size   fixed.Int26_6 // pixels
}

// MaxPixels bounds a picture: a hundred million are 400 MB.
const MaxPixels = 100e6

// NewRaster returns blank paper of the given size in mm at dpi.
func NewRaster(width, height, dpi float64, paper colour.RGB8) (*Raster, error) {
	if !(width > 0 && height > 0 && dpi >= 20 && dpi <= 2400) {
		return nil, fmt.Errorf("a picture of %g × %g mm at %g dpi; a size above 0 and 20 to 2400 dpi are accepted", width, height, dpi)
	}
	scale := dpi / 25.4
	w, h := math.Round(width*scale), math.Round(height*scale)
	if w < 1 || h < 1 || w*h > MaxPixels {
		return nil, fmt.Errorf("a picture of %.0f × %.0f pixels; 1 to %.0f million are accepted", w, h, MaxPixels/1e6)
	}
	r := &Raster{DPI: dpi, scale: scale, faces: map[faceKey]font.Face{}}
	r.Pix = image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
	r.gc = gg.NewContextForRGBA(r.Pix)
	draw.Draw(r.Pix, r.Pix.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	return r, nil
}

// Pixels returns the size of a box in whole pixels.
func (r *Raster) Pixels(b Box) (width, height int) {
	size := r.on(b).Size()
	return size.X, size.Y
}

// on returns the whole-pixel rectangle of a box.
func (r *Raster) on(b Box) image.Rectangle {
	round := func(mm float64) int { return int(math.Round(mm * r.scale)) }
	return image.Rect(round(b.X), round(b.Y), round(b.Right()), round(b.Bottom()))
}

// Fill paints a box. One that is not empty is at least a pixel wide and high,
// so that a fine line never rounds away.
func (r *Raster) Fill(b Box, c colour.RGB8) {
	on := r.on(b)
	if b.W > 0 && on.Dx() == 0 {
		on.Min.X = int(math.Floor((b.X + b.W/2) * r.scale))
		on.Max.X = on.Min.X + 1
	}
	if b.H > 0 && on.Dy() == 0 {
		on.Min.Y = int(math.Floor((b.Y + b.H/2) * r.scale))
		on.Max.Y = on.Min.Y + 1
	}
	draw.Draw(r.Pix, on, image.NewUniform(c), image.Point{}, draw.Src)
}

// Shape paints a closed outline.
func (r *Raster) Shape(outline []Point, c colour.RGB8) {
	r.path(outline)
	r.gc.ClosePath()
	r.gc.SetColor(c)
	r.gc.Fill()
}

// Line draws through the points, dashed or whole.
func (r *Raster) Line(points []Point, width float64, c colour.RGB8, dashes ...float64) {
	var on []float64
	for _, mm := range dashes {
		on = append(on, mm*r.scale)
	}
	r.gc.SetDash(on...)
	r.path(points)
	r.gc.SetColor(c)
	r.gc.SetLineWidth(width * r.scale)
	r.gc.SetLineCapRound()
	r.gc.SetLineJoinRound()
	r.gc.Stroke()
}

func (r *Raster) path(p []Point) {
	r.gc.NewSubPath()
	for i, q := range p {
		if i == 0 {
			r.gc.MoveTo(q.X*r.scale, q.Y*r.scale)
		} else {
			r.gc.LineTo(q.X*r.scale, q.Y*r.scale)
		}
	}
}

// Image places a picture in a box, resampled if its pixels do not match.
func (r *Raster) Image(b Box, m *image.RGBA) {
	to := r.on(b)
	if to.Size() == m.Bounds().Size() {
		draw.Draw(r.Pix, to, m, m.Bounds().Min, draw.Src)
		return
	}
	xdraw.CatmullRom.Scale(r.Pix, to, m, m.Bounds(), xdraw.Src, nil)
}

// Text sets letters that the typeface has with their baseline's left end at the point.
func (r *Raster) Text(at Point, s string, st Style) {
	t := faces[st.Weight]
	face := r.face(st)
	ink := image.NewUniform(st.Colour)
	x := at.X
	for _, c := range s {
		if c != ' ' && c != noBreak {
			dot := fixed.Point26_6{X: fixed.Int26_6(math.Round(x * r.scale * 64)), Y: fixed.Int26_6(math.Round(at.Y * r.scale * 64))}
			if dr, mask, mp, _, ok := face.Glyph(dot, c); ok {
				draw.DrawMask(r.Pix, dr, ink, image.Point{}, mask, mp, draw.Over)
			}
		}
		x += t.own(c) * st.Size
	}
}

func (r *Raster) face(st Style) font.Face {
	size := fixed.Int26_6(math.Round(st.Size * r.scale * 64))
	k := faceKey{st.Weight, size}
	if f, ok := r.faces[k]; ok {
		return f
	}
	// At 72 dpi a point is a pixel.
	f := truetype.NewFace(faces[st.Weight].font, &truetype.Options{Size: float64(size) / 64, DPI: 72, Hinting: font.HintingNone, SubPixelsX: 4, SubPixelsY: 1})
	r.faces[k] = f
	return f
}
