package reading

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
)

// Limits on a photo, checked before anything is decoded. 60 megapixels is past
// the main camera of any telephone in common use; decoded it takes up to
// 500 MB at 16 bits a channel, 90 MB as a usual JPEG.
const (
	MaxPixels     = 60_000_000
	MaxPhotoBytes = 256 << 20
)

// Photo is a decoded picture with the right way up. Coordinates are pixels of
// the upright picture, from its top left corner.
type Photo struct {
	Name          string
	Width, Height int
	Profile       string // colour space, in words
	Notes         Notes

	pixels image.RGBA64Image
	turn   orientation
	space  space
	step   [2]float64 // by which light and colour are rounded, in 8-bit levels
}

// DecodePhoto reads a JPEG or PNG; name is used in errors.
func DecodePhoto(name string, data []byte) (*Photo, error) {
	if len(data) > MaxPhotoBytes {
		return nil, fmt.Errorf("%s is %d MB; at most %d MB is accepted", name, len(data)>>20, MaxPhotoBytes>>20)
	}
	var decodeConfig func(io.Reader) (image.Config, error)
	var decode func(io.Reader) (image.Image, error)
	var read func([]byte) (metadata, error)
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		decodeConfig, decode, read = jpeg.DecodeConfig, jpeg.Decode, jpegMetadata
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		decodeConfig, decode, read = png.DecodeConfig, png.Decode, pngMetadata
	case len(data) >= 12 && string(data[4:8]) == "ftyp":
		return nil, fmt.Errorf("%s is a HEIC or AVIF photo; save or share it as JPEG and try again", name)
	default:
		return nil, fmt.Errorf("%s is neither JPEG nor PNG; one of these is accepted", name)
	}
	c, err := decodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read as a picture: %w", name, err)
	}
	if c.Width < 1 || c.Height < 1 || int64(c.Width)*int64(c.Height) > MaxPixels {
		return nil, fmt.Errorf("%s is %d × %d pixels; at most %d megapixels is accepted, so make it smaller first", name, c.Width, c.Height, MaxPixels/1_000_000)
	}
	switch c.ColorModel {
	case color.GrayModel, color.Gray16Model:
		return nil, fmt.Errorf("%s is black and white; a colour photo is accepted", name)
	case color.CMYKModel:
		return nil, fmt.Errorf("%s is made for printing (CMYK); a photo in RGB is accepted", name)
	}
	meta, err := read(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	img, err := decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read as a picture: %w", name, err)
	}
	p, err := NewPhoto(name, img)
	if err != nil {
		return nil, err
	}
	p.turn, p.step = meta.turn, meta.step
	p.Width, p.Height = meta.turn.size(p.Width, p.Height)
	p.useProfile(meta)
	return p, nil
}

// NewPhoto takes a picture already in memory, upright and in sRGB.
func NewPhoto(name string, img image.Image) (*Photo, error) {
	pixels, ok := img.(image.RGBA64Image)
	if !ok {
		return nil, fmt.Errorf("%s is of a kind of picture that is not accepted; RGB is", name)
	}
	b := img.Bounds()
	return &Photo{Name: name, Width: b.Dx(), Height: b.Dy(), Profile: "sRGB", pixels: pixels, turn: upright, space: srgb}, nil
}

// at returns the stored pixel at an upright position.
func (p *Photo) at(x, y int) color.RGBA64 {
	b := p.pixels.Bounds()
	x, y = p.turn.stored(x, y, b.Dx(), b.Dy())
	return p.pixels.RGBA64At(b.Min.X+x, b.Min.Y+y)
}

func (p *Photo) useProfile(meta metadata) {
	switch {
	case meta.profile == nil && meta.gamma != 0 && (meta.gamma < 0.44 || meta.gamma > 0.47):
		p.Notes.add("the PNG states a gamma of %.3g and no profile; sRGB was assumed, so the colour may be off", meta.gamma)
	case meta.profile == nil:
		p.Profile = "sRGB, assumed"
	default:
		s, title, err := parseProfile(meta.profile)
		if title == "" {
			title = "unnamed"
		}
		switch {
		case err != nil:
			p.Profile = "sRGB, assumed"
			p.Notes.add("the photo's colour profile (%s) was not understood (%v); sRGB was assumed, so the colour may be off", title, err)
		case s.nearly(srgb):
			p.Profile = "sRGB"
		default:
			p.Profile = title
			p.space = s
			p.Notes.add("the photo is not in sRGB but in %q; its own primaries and tone curve were used", title)
		}
	}
	if meta.note != "" {
		p.Notes.add("%s", meta.note)
	}
}
