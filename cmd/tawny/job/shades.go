package job

import (
	"context"
	"fmt"
	"math"
	"slices"

	"tawny/blend/mend"
	"tawny/blend/search"
	"tawny/colour"
)

// ShadeMap is the shades a drawer reaches on a skin, to be chosen from.
type ShadeMap struct {
	Wearing
	mend.ShadeMap
	Shades []MapShade `json:"shades"` // by rows, then columns
}

// MapShade is one shade of the map.
type MapShade struct {
	mend.MapShade
	Target string `json:"target"` // as a request has it
	Words  string `json:"words"`
	ColourView
	Powders []string `json:"powders"` // one way to it
}

// shades maps what the powders that may be used reach.
func (in Input) shades(ctx context.Context) (*ShadeMap, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	lo, hi := in.loads()
	choice, err := s.choice()
	if err != nil {
		return nil, err
	}
	may := search.Request{Powders: s.drawer.Pigments, Choice: choice, Most: search.MostPowders}
	powders, _, err := may.Usable()
	if err != nil {
		return nil, input(err)
	}
	powders = slices.DeleteFunc(powders, may.Unasked) // which turn skin to no shade of skin
	reached, err := mend.Shades(ctx, s.worn(nil, s.apply, s.tilt), powders, hi)
	if err != nil {
		return nil, searched(ctx, err)
	}
	m := &ShadeMap{Wearing: s.wearing(nil, lo, hi), ShadeMap: *reached}
	for _, r := range reached.Shades {
		d := colour.LChShift{DL: math.Round(r.Shift.DL), DC: math.Round(r.Shift.DC), DH: math.Round(r.Shift.DH)}
		v := MapShade{MapShade: r, Words: d.Words(), ColourView: colourView(s.viewing, r.Worn)}
		v.Target = fmt.Sprintf("skin:%g,%g,%g", d.DL, d.DC, d.DH)
		for _, p := range r.Parts {
			v.Powders = append(v.Powders, p.Pigment.Name)
		}
		m.Shades = append(m.Shades, v)
	}
	return m, nil
}

var shadesJob = &Job{
	Name:    "shades",
	Short:   "Map the shades the drawer reaches on a skin",
	Follows: true,
	New: func() Task {
		in := &Input{}
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			return q.shades(ctx)
		}, in.matchGroups()...)
	},
}

// Show lists the shades.
func (m *ShadeMap) Show(s *Screen) {
	for _, v := range m.Shades {
		s.line("%s%-8s %s", s.patch(v.Hex), v.Target, v.Words)
	}
}
