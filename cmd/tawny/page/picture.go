package page

import (
	"context"
	"fmt"
	"net/http"

	"tawny/cmd/tawny/job"
)

// servePicture draws the blend on an arm.
func (s *Server) servePicture(w http.ResponseWriter, r *http.Request) {
	ctx, done, ok := s.turns.begin(r)
	if !ok {
		s.fail(w, context.Canceled)
		return
	}
	defer done()
	d, err := s.posted(w, r, "arm")
	if err != nil {
		s.fail(w, err)
		return
	}
	if err := take(ctx, s.drawing); err != nil {
		s.fail(w, err)
		return
	}
	defer give(s.drawing)
	env := s.env(nil)
	v, err := d.Do(ctx, env)
	if err != nil {
		s.fail(w, err)
		return
	}
	p := v.(*job.ShimmerPicture)
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("X-Tawny-Grain", p.Grain)
	w.Header().Set("X-Tawny-Glints", fmt.Sprintf("%.0f", p.Glints))
	w.Write(env.Delivered()[0].Data)
}
