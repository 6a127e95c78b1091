package film

import (
	"fmt"
	"math"

	"tawny/blend/flake"
)

// View is one viewing direction under light at 45° in air, all angles in the
// plane of the light and in degrees.
type View struct {
	AspecularDeg float64 // from the mirror direction, towards the light
	AirDeg       float64 // from the normal, in air; positive on the light's side
	BinderDeg    float64 // from the normal, in the binder
	TiltDeg      float64 // of the flakes that mirror the light this way
	LocalDeg     float64 // at which the light meets those flakes
	Factor       float64 // radiance factor in air per unit of P: π Ti To D(β)/(4 n² cosθi cosθo)
	K1, K2       float64 // the surface's, for light at 45°
	TauC         float64 // share of the beam inside the escape cone, for light at 45°
}

// Views computes the four reported views for a binder and a tilt. A flat Tilt
// has a beam in the mirror direction only, and so factors of 0.
func Views(index float64, tilt Tilt) ([4]View, error) {
	var views [4]View
	s, err := NewSurface(index, At45, 0, tilt)
	if err != nil {
		return views, err
	}
	for i, a := range flake.Aspecular {
		views[i] = s.view(tilt, a)
	}
	return views, nil
}

// NewView computes one view, its direction between 0° (mirror) and 135° (just
// above the horizon on the light's side).
func NewView(index float64, tilt Tilt, aspecularDeg float64) (View, error) {
	if !(aspecularDeg >= 0 && aspecularDeg < 135) {
		return View{}, fmt.Errorf("film: an aspecular angle lies from 0° to below 135°, got %g°", aspecularDeg)
	}
	if aspecularDeg == 0 && tilt.SigmaDeg == 0 {
		return View{}, fmt.Errorf("film: the mirror direction of flat flakes has no finite radiance")
	}
	s, err := NewSurface(index, At45, 0, tilt)
	if err != nil {
		return View{}, err
	}
	return s.view(tilt, aspecularDeg), nil
}

// view computes one view through a surface made for light at 45°.
func (s *Surface) view(tilt Tilt, aspecularDeg float64) View {
	index := s.Index
	const deg = math.Pi / 180
	in := math.Asin(math.Sin(45*deg) / index)
	air := (aspecularDeg - 45) * deg
	out := math.Asin(math.Sin(air) / index)
	v := View{
		AspecularDeg: aspecularDeg,
		AirDeg:       aspecularDeg - 45,
		BinderDeg:    math.Abs(out) / deg,
		TiltDeg:      math.Abs(in+out) / 2 / deg,
		LocalDeg:     math.Abs(in-out) / 2 / deg,
		K1:           s.K1, K2: s.K2, TauC: s.TauC,
	}
	lobe := tilt.lobe(index, direction{math.Sin(in), math.Cos(in)}, direction{math.Abs(math.Sin(out)), math.Cos(out)}, math.Copysign(1, out))
	v.Factor = (1 - s.K1) * (1 - Fresnel(index, math.Cos(air))) * lobe
	return v
}

// Band returns the radiance factor seen this way of one band of a film, with
// its derivatives: the flakes' beam in this direction, and the rest of the
// light alike in all directions. The mirror reflection of the surface itself
// is not seen at these angles. sfLocal is the flakes' Sf at LocalDeg; the
// others are as in Surface.Band. The result may pass 1.
func (v *View) Band(k, s, sf, sfLocal, rg float64) (r, dk, ds, dsf, dsfLocal float64) {
	ri, ik, is := Reflect(k, s, rg)
	share, _, slope := Beam(1, k, s)
	in := 1 - v.K1
	over := 1 / (1 - v.K2*ri)
	out := (1 - v.K2) * over
	lost := in * v.TauC * out // taken from the diffuse light per unit of P
	r = v.Factor*sfLocal*share + in*ri*out - lost*sf*share
	byRi := in * out * over * (1 - v.K2*sf*share*v.TauC)
	common := (v.Factor*sfLocal - lost*sf) * slope
	return r, byRi*ik + common, byRi*is + common, -lost * share, v.Factor * share
}

// Surface returns a surface that reads a film as this view does, for films
// whose flakes reflect alike at every angle: a 45°:0° reading is the view at
// 45°.
func (v *View) Surface(index float64) Surface {
	return Surface{Index: index, K1: v.K1, K2: v.K2, Tau: v.Factor / (1 - v.K1), TauC: v.TauC}
}
