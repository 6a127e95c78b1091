package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// ShadeMap is the shades a drawer reaches on a skin, laid out to be chosen from:
// columns from rose to gold, rows from light to deep.
type ShadeMap struct {
	Wearing
	Columns int        `json:"columns"`
	Rows    int        `json:"rows"`
	Shades  []MapShade `json:"shades"` // by rows, then columns
}

// MapShade is one shade of the map: as soft, or as rich, as the drawer has it
// at that place.
type MapShade struct {
	Column int    `json:"column"` // 0 is the rosiest
	Row    int    `json:"row"`    // 0 is the lightest
	Rich   bool   `json:"rich"`
	Target string `json:"target"` // as a request has it
	Words  string `json:"words"`
	ColourView
	Powders []string `json:"powders"` // one way to it
}

// The map is coarse enough for a finger, its neighbours are told apart at a glance,
// and it reaches as far as shimmer on skin goes (our own choice, from trying it):
// steps of 3 in hue difference and in lightness.
const (
	shadeColumns = 7
	shadeRows    = 7
	columnWide   = 3.0
	rowHigh      = 3.0
)

// oddFamilies are those that turn skin to no shade of skin.
var oddFamilies = []string{"green", "blue", "violet"}

// shades predicts every flake alone, with each other one, and with a little of
// each plain pigment.
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
	m := &ShadeMap{Wearing: s.wearing(nil, lo, hi), Columns: shadeColumns, Rows: shadeRows}
	var flakes, plain []*palette.Pigment
	for _, p := range s.drawer.Pigments {
		switch {
		case slices.Contains(oddFamilies, p.Family), slices.ContainsFunc(choice.Without, func(name string) bool { return fold(name) == fold(p.Name) }), !p.AllowedOn(choice.Area):
		case p.Optics.Flake:
			flakes = append(flakes, p)
		default:
			plain = append(plain, p)
		}
	}
	bare := s.viewing.Lab(&s.skin.Reflectance)
	best := map[[3]int]*MapShade{}
	reach := map[[3]int]float64{}
	note := func(parts ...film.Part) error {
		look, err := film.Predict(s.worn(parts, s.apply, s.tilt))
		if err != nil {
			return input(err)
		}
		d := shiftBetween(bare, look.Lab)
		// ΔH* of CIELAB, signed towards yellow.
		turn := 2 * math.Sqrt(bare.Chroma()*look.Lab.Chroma()) * math.Sin(d.DH/2*math.Pi/180)
		column := int(math.Round(turn/columnWide)) + shadeColumns/2
		row := shadeRows/2 - int(math.Round(d.DL/rowHigh))
		if column < 0 || column >= shadeColumns || row < 0 || row >= shadeRows {
			return nil
		}
		for rich, sign := range []float64{-1, 1} {
			key := [3]int{row, column, rich}
			if old, ok := reach[key]; ok && sign*d.DC <= sign*old {
				continue
			}
			reach[key] = d.DC
			d := LChShift{math.Round(d.DL), math.Round(d.DC), math.Round(d.DH)}
			v := &MapShade{Column: column, Row: row, Rich: rich == 1, Words: d.words(), ColourView: colourView(s.viewing, look.Lab)}
			v.Target = fmt.Sprintf("skin:%g,%g,%g", d.DL, d.DC, d.DH)
			for _, p := range parts {
				v.Powders = append(v.Powders, p.Pigment.Name)
			}
			best[key] = v
		}
		return nil
	}
	for i, p := range flakes {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := note(film.Part{Pigment: p, Percent: hi}); err != nil {
			return nil, err
		}
		for _, q := range append(slices.Clone(flakes[i+1:]), plain...) {
			shares := []float64{0.25, 0.5, 0.75}
			if !q.Optics.Flake {
				shares = []float64{0.03, 0.1} // of the powders: enough to turn them
			}
			for _, x := range shares {
				if err := note(film.Part{Pigment: p, Percent: (1 - x) * hi}, film.Part{Pigment: q, Percent: x * hi}); err != nil {
					return nil, err
				}
			}
		}
	}
	for _, v := range best {
		m.Shades = append(m.Shades, *v)
	}
	slices.SortFunc(m.Shades, func(a, b MapShade) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Target, b.Target))
	})
	return m, nil
}

var shadesJob = &Job{
	Name:    "shades",
	Short:   "Map the shades the drawer reaches on a skin",
	Follows: true,
	New: func() Task {
		in := &Input{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q, err := in.ready(env)
			if err != nil {
				return nil, err
			}
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
