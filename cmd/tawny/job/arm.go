package job

import (
	"context"
	"image"
	"image/draw"
	"image/png"
	"io"

	"tawny/blend/film"
	"tawny/swatches/shimmer"
)

// ShimmerPicture is a blend beside the bare skin under a lamp: the left third
// bare, the rest wearing it, one arm across both.
type ShimmerPicture struct {
	Grain  string  `json:"grain,omitempty"` // its word, "" where no flake stands out
	Glints float64 `json:"glintsPerCm2"`

	image *image.RGBA
}

// Show says nothing beside the picture.
func (*ShimmerPicture) Show(*Screen) {}

// shimmer pictures a stated blend. width and height are pixels of mmPerPixel
// each.
func (in Input) shimmer(ctx context.Context, width, height int, mmPerPixel float64, seed uint64) (*ShimmerPicture, error) {
	s, parts, err := in.openBlend(in.Parts)
	if err != nil {
		return nil, err
	}
	w := s.worn(parts, s.apply, s.tilt)
	worn, err := shimmer.Of(w)
	if err != nil {
		return nil, input(err)
	}
	bare, err := shimmer.Of(film.Worn{Ground: s.worn(nil, 0, 0).Ground, Base: s.optics, Light: s.viewing, Second: s.second})
	if err != nil {
		return nil, input(err)
	}
	p := &ShimmerPicture{image: image.NewRGBA(image.Rect(0, 0, width, height))}
	grain, err := film.Glints(w)
	if err != nil {
		return nil, input(err)
	}
	p.Grain, p.Glints = grain.Word, grain.PerCM2
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
		draw.Draw(p.image, image.Rect(half.from, 0, half.to, height), pic.RGBA(), image.Point{}, draw.Src)
	}
	return p, nil
}

// The picture above the sliders is a piece of arm 46 mm high, whatever its
// size in pixels: two thirds of the arm's breadth, so that its edge turns away
// and the shading shows.
const (
	pictureMM   = 46.0
	pictureSeed = 7 // any; the same each time, so that only the blend changes
)

var armJob = &Job{
	Name:    "arm",
	Short:   "Picture a stated blend on an arm, bare skin beside it",
	Follows: true,
	New: func() Task {
		in := &Input{}
		wide, high := 0, 0
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			asked, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			if wide == 0 || high == 0 {
				return nil, faultf("wide", "and {high} are needed, in pixels")
			}
			p, err := asked.shimmer(ctx, wide, high, pictureMM/float64(high), pictureSeed)
			if err != nil {
				return nil, err
			}
			return p, env.deliver("arm.png", func(w io.Writer) error {
				return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(w, p.image)
			})
		}, in.matchGroups(Group{Title: "Picture", Fields: []Field{
			partField(&in.Parts),
			{Name: "wide", Words: "pixels", Low: 30, High: 1200, To: &wide},
			{Name: "high", Words: "pixels", Low: 30, High: 400, To: &high},
		}})...)
	},
}
