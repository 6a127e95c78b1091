package job

import (
	"context"
	"image"
	"image/draw"

	"tawny/blend/film"
	"tawny/swatches/shimmer"
)

// ShimmerPicture is a blend beside the bare skin under a lamp: the left third
// bare, the rest wearing it, one arm across both.
type ShimmerPicture struct {
	Image *image.RGBA
	Grain shimmer.Grain
}

// Shimmer pictures a stated blend. width and height are pixels of mmPerPixel
// each.
func Shimmer(ctx context.Context, in BlendInput, width, height int, mmPerPixel float64, seed uint64) (*ShimmerPicture, error) {
	if width < 30 || height < 30 || width > 2000 || height > 2000 {
		return nil, inputf("a picture of %d × %d pixels; 30 to 2000 each way is accepted", width, height)
	}
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	parts, err := s.parts(in.Parts)
	if err != nil {
		return nil, err
	}
	worn, err := shimmer.Of(s.worn(parts, s.apply, s.tilt))
	if err != nil {
		return nil, input(err)
	}
	bare, err := shimmer.Of(film.Worn{Ground: s.worn(nil, 0, 0).Ground, Base: s.optics, Light: s.viewing, Second: s.second})
	if err != nil {
		return nil, input(err)
	}
	p := &ShimmerPicture{Image: image.NewRGBA(image.Rect(0, 0, width, height))}
	if p.Grain, err = shimmer.GrainOf(worn, shimmer.Scene{}); err != nil {
		return nil, input(err)
	}
	edge := width / 3
	for _, half := range []struct {
		film     *shimmer.Film
		from, to int
	}{{bare, 0, edge}, {worn, edge, width}} {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		pic, err := shimmer.Render(half.film, shimmer.Scene{}, shimmer.Options{
			Width: half.to - half.from, Height: height, MMPerPixel: mmPerPixel, Seed: seed, Viewing: s.viewing, Workers: 1,
		})
		if err != nil {
			return nil, input(err)
		}
		draw.Draw(p.Image, image.Rect(half.from, 0, half.to, height), pic.RGBA(shimmer.Tone{}), image.Point{}, draw.Src)
	}
	return p, nil
}
