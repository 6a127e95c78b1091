package page

import (
	"bytes"
	"context"
	"fmt"
	"image/png"
	"net/http"

	"tawny/cmd/tawny/job"
)

// The picture above the sliders is a piece of arm 46 mm high, whatever its
// size in pixels: two thirds of the arm's breadth, so that its edge turns away
// and the shading shows.
const (
	pictureMM   = 46.0
	maxWide     = 1200 // pixels
	maxHigh     = 400
	pictureSeed = 7 // any; the same each time, so that only the blend changes
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
	wide, err := count(r.URL.Query().Get("wide"), maxWide)
	if err != nil {
		s.fail(w, ask("wide", "picture: %v", err))
		return
	}
	high, err := count(r.URL.Query().Get("high"), maxHigh)
	if err != nil {
		s.fail(w, ask("high", "picture: %v", err))
		return
	}
	if err := take(ctx, s.drawing); err != nil {
		s.fail(w, err)
		return
	}
	defer give(s.drawing)
	if ctx.Err() != nil {
		s.fail(w, ctx.Err())
		return
	}
	p, err := job.Shimmer(ctx, job.BlendInput{Input: st.in, Parts: st.parts}, wide, high, pictureMM/float64(high), pictureSeed)
	if err != nil {
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
