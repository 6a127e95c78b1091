package job

import (
	"context"
	"image"
	"io"

	"tawny/blend/film"
	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// ShimmerPicture is a blend beside the bare skin on one arm: its left half
// bare, its right half wearing it, nothing else in the picture.
type ShimmerPicture struct {
	Grain  string  `json:"grain,omitempty"` // its word, "" where no flake stands out
	Glints float64 `json:"glintsPerCm2"`

	image *image.RGBA
}

// Show says nothing beside the picture.
func (*ShimmerPicture) Show(*Screen) {}

// The picture is a piece of arm 46 mm high, whatever its size in pixels.
const pictureMM = 46.0

// arm pictures a worn blend, width and height in pixels.
func (s *setting) arm(parts []film.Part, scene shimmer.Scene, width, height int, seed uint64) (*ShimmerPicture, error) {
	w := s.worn(parts, s.apply, s.tilt)
	worn, err := shimmer.Of(w)
	if err != nil {
		return nil, input(err)
	}
	bare, err := shimmer.Of(s.worn(nil, 0, s.tilt))
	if err != nil {
		return nil, input(err)
	}
	grain, err := film.Glints(w)
	if err != nil {
		return nil, input(err)
	}
	p := &ShimmerPicture{Grain: grain.Word, Glints: grain.PerCM2}
	p.image, err = shimmer.Arm([]*shimmer.Film{bare, worn}, scene, shimmer.Options{
		Width: width, Height: height, MMPerPixel: pictureMM / float64(height), Seed: seed, Viewing: s.viewing,
	})
	return p, input(err)
}

// send delivers the picture as arm.png.
func (p *ShimmerPicture) send(env *Env) error {
	return env.deliver("arm.png", func(w io.Writer) error {
		return canvas.WritePNG(w, p.image, float64(p.image.Rect.Dy())/pictureMM*25.4)
	})
}

var armJob = &Job{
	Name:    "arm",
	Short:   "Picture a stated blend on an arm, bare skin beside it",
	Follows: true,
	New: func() Task {
		in := &Input{}
		wide, high, rig := 0, 0, shimmer.Window
		return in.asking(func(ctx context.Context, env *Env, asked Input) (Result, error) {
			if wide == 0 || high == 0 {
				return nil, faultf("wide", "and {high} are needed, in pixels")
			}
			s, parts, err := asked.openBlend()
			if err != nil {
				return nil, err
			}
			p, err := s.arm(parts, rig.Scene(), wide, high, 1)
			if err != nil {
				return nil, err
			}
			return p, p.send(env)
		}, in.matchGroups(Group{Title: "Picture", Fields: []Field{
			partField(&in.Parts),
			rigField(&rig),
			{Name: "wide", Words: "pixels", Low: 30, High: 1200, To: &wide},
			{Name: "high", Words: "pixels", Low: 30, High: 400, To: &high},
		}})...)
	},
}

// rigField is the light that pictures are taken in.
func rigField(to *shimmer.Rig) Field {
	*to = shimmer.Window
	return Field{Name: "rig", Words: "light of the picture: window (default), lamp or even", Choices: spelt(shimmer.Rigs[:]), To: (*string)(to)}
}
