package page

import (
	"fmt"
	"net/http"

	"tawny/cmd/tawny/job"
)

// servePicture draws the blend on an arm.
func (s *Server) servePicture(w http.ResponseWriter, r *http.Request) error {
	d, err := s.posted(w, r, "arm")
	if err != nil {
		return err
	}
	if err := take(r.Context(), s.drawing); err != nil {
		return err
	}
	defer give(s.drawing)
	env := s.env(nil)
	v, err := d.Do(r.Context(), env)
	if err != nil {
		return err
	}
	p := v.(*job.ShimmerPicture)
	w.Header().Set("Content-Type", "image/png")
	w.Header().Set("X-Tawny-Grain", p.Grain)
	w.Header().Set("X-Tawny-Glints", fmt.Sprintf("%.0f", p.Glints))
	w.Write(env.Delivered[0].Data)
	return nil
}
