package main

import (
	"fmt"

	"tawny/cmd/tawny/work"
)

// film shows a powder's film by angle.
func (s *screen) film(f *work.FilmView) {
	s.line("Film       %.3g mg/cm² of powder on %s, flakes within %.3g° of flat, %s", f.Mass, f.On, f.Tilt, f.Light)
	s.line("           %s%s   all round", s.patch(f.Hex), labText(f.Lab))
	s.angles("           ", f.Angles, f.Travel)
}

// angles shows what is seen from each side under light at 45°, and the change
// from beside the mirror direction to the light's own side.
func (s *screen) angles(indent string, list []work.AngleView, travel work.LChShift) {
	for _, a := range list {
		c := a.LCh
		s.line("%s%s%s   at %.0f°   C* %.1f, hue %.0f°", indent, s.patch(a.Hex), labText(a.Lab), a.Aspecular, c.C, c.H)
	}
	s.line("%sfrom 15° to 110°: %s", indent, travelWords(travel))
}

func travelWords(t work.LChShift) string {
	return fmt.Sprintf("ΔL* %+.1f, ΔC* %+.1f, Δh %+.0f°", t.DL, t.DC, t.DH)
}
