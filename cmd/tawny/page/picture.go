package page

import (
	"bytes"
	"context"
	"fmt"
	"image/png"
	"net/http"

	"tawny/cmd/tawny/work"
)

// The picture beside the sliders: a piece of arm 19 × 7 cm.
const (
	pictureWidth  = 720
	pictureHeight = 260
	pictureMM     = 0.26 // mm a pixel
	pictureSeed   = 7    // any; the same each time, so that only the blend changes
)

// servePicture draws the blend under a lamp.
func (s *Server) servePicture(w http.ResponseWriter, r *http.Request) {
	ctx, done, ok := s.turns.begin(r, "picture")
	if !ok {
		s.fail(w, context.Canceled)
		return
	}
	defer done()
	st, ok := s.asked(w, r)
	if !ok {
		return
	}
	if err := s.take(ctx); err != nil {
		s.fail(w, err)
		return
	}
	defer s.give()
	if ctx.Err() != nil {
		s.fail(w, ctx.Err())
		return
	}
	b, err := st.blend()
	if err != nil {
		s.fail(w, err)
		return
	}
	var p *work.ShimmerPicture
	if p, err = b.Shimmer(ctx, pictureWidth, pictureHeight, pictureMM, pictureSeed); err != nil {
		s.fail(w, err)
		return
	}
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, p.Image); err != nil {
		s.fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("X-Tawny-Grain", p.Grain.Word)
	w.Header().Set("X-Tawny-Glints", fmt.Sprintf("%.0f", p.Grain.PerCM2))
	w.Write(out.Bytes())
}
