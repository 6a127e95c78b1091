package job

import (
	"fmt"

	"tawny/colour"
)

// film shows a powder's film by angle.
func (s *Screen) film(f *FilmView) {
	s.line("Film       %.3g mg/cm² of powder on %s, flakes within %.3g° of flat, %s", f.Mass, f.On, f.Tilt, f.Light)
	s.line("           %s%s   all round", s.patch(f.Hex), labColumns(f.Lab))
	s.angles("           ", f.Angles, f.Travel)
}

// angles shows what is seen from each side under light at 45°, and the change
// from beside the mirror direction to the light's own side.
func (s *Screen) angles(indent string, list []AngleView, travel LChShift) {
	s.directions(indent, list)
	s.line("%sfrom 15° to 110°: %s", indent, travelWords(travel))
}

func (s *Screen) directions(indent string, list []AngleView) {
	for _, a := range list {
		s.line("%s%s%s   at %-4s   C* %5.1f, hue %3.0f°", indent, s.patch(a.Hex), labColumns(a.Lab), fmt.Sprintf("%.0f°", a.Aspecular), a.LCh.C, a.LCh.H)
	}
}

// labColumns is labText for rows under each other: near the mirror L* passes 100
// and b* too may.
func labColumns(c colour.Lab) string {
	return fmt.Sprintf("L* %5.1f  a* %6.1f  b* %6.1f", c.L, c.A, c.B)
}

func travelWords(t LChShift) string {
	return fmt.Sprintf("ΔL* %+.1f, ΔC* %+.1f, Δh %+.0f°", t.DL, t.DC, t.DH)
}
