package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
)

// ShadeMap is the shades a drawer reaches on a skin, laid out to be chosen from:
// columns from rose to gold, rows from light to deep.
type ShadeMap struct {
	Wearing
	Columns    int        `json:"columns"`
	Rows       int        `json:"rows"`
	SkinColumn int        `json:"skinColumn"` // where the bare skin would be, perhaps beside the map
	SkinRow    int        `json:"skinRow"`
	Shades     []MapShade `json:"shades"` // by rows, then columns
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

// The map is coarse enough for a finger (our own choice, from trying it). It spans
// what the drawer reaches but for the rarest hundredth at each end.
const (
	shadeColumns = 7
	shadeRows    = 7
	rareShare    = 0.01
)

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
	may := search.Request{Powders: s.drawer.Pigments, Choice: choice, Most: search.MostPowders}
	use, _, err := may.Usable()
	if err != nil {
		return nil, input(err)
	}
	var flakes, plain []*palette.Pigment
	for _, p := range use {
		switch {
		case may.Unasked(p): // turns skin to no shade of skin
		case p.Optics.Flake:
			flakes = append(flakes, p)
		default:
			plain = append(plain, p)
		}
	}
	var reached []reachedShade
	bare := s.viewing.Lab(&s.skin.Reflectance)
	note := func(parts ...film.Part) error {
		look, err := film.Predict(s.worn(parts, s.apply, s.tilt))
		if err != nil {
			return input(err)
		}
		d := colour.ShiftBetween(bare, look.Lab)
		// ΔH* of CIELAB, signed towards yellow.
		turn := 2 * math.Sqrt(bare.Chroma()*look.Lab.Chroma()) * math.Sin(d.DH/2*math.Pi/180)
		reached = append(reached, reachedShade{parts, look.Lab, d, turn})
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
	if len(reached) == 0 {
		return nil, inputf("no powder is left that may be used there")
	}
	m.layOut(reached, s.viewing)
	return m, nil
}

// reachedShade is what one blend makes of the skin.
type reachedShade struct {
	parts []film.Part
	lab   colour.Lab
	shift colour.LChShift
	turn  float64 // towards yellow from red, as a hue difference
}

// layOut takes the softest and the richest of each place of the map.
func (m *ShadeMap) layOut(reached []reachedShade, v *colour.Viewing) {
	column := axis(reached, shadeColumns, func(r *reachedShade) float64 { return r.turn })
	row := axis(reached, shadeRows, func(r *reachedShade) float64 { return -r.shift.DL })
	m.SkinColumn, m.SkinRow = column(0), row(0)
	best := map[[3]int]*reachedShade{}
	for i := range reached {
		r := &reached[i]
		at := [3]int{row(-r.shift.DL), column(r.turn)}
		if at[0] < 0 || at[0] >= m.Rows || at[1] < 0 || at[1] >= m.Columns {
			continue
		}
		if old := best[at]; old == nil || r.shift.DC < old.shift.DC {
			best[at] = r
		}
		at[2] = 1
		if old := best[at]; old == nil || r.shift.DC > old.shift.DC {
			best[at] = r
		}
	}
	for at, r := range best {
		d := colour.LChShift{DL: math.Round(r.shift.DL), DC: math.Round(r.shift.DC), DH: math.Round(r.shift.DH)}
		shade := MapShade{Row: at[0], Column: at[1], Rich: at[2] == 1, Words: d.Words(), ColourView: colourView(v, r.lab)}
		shade.Target = fmt.Sprintf("skin:%g,%g,%g", d.DL, d.DC, d.DH)
		for _, p := range r.parts {
			shade.Powders = append(shade.Powders, p.Pigment.Name)
		}
		m.Shades = append(m.Shades, shade)
	}
	slices.SortFunc(m.Shades, func(a, b MapShade) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Column, b.Column), cmp.Compare(a.LCh.C, b.LCh.C))
	})
}

// axis divides what is reached into so many places.
func axis(reached []reachedShade, n int, of func(*reachedShade) float64) func(float64) int {
	var all []float64
	for i := range reached {
		all = append(all, of(&reached[i]))
	}
	slices.Sort(all)
	rare := int(rareShare * float64(len(all)))
	low, high := all[rare], all[len(all)-1-rare]
	step := math.Max((high-low)/float64(n), 0.5) // a narrower place looks the same as the next
	return func(x float64) int { return int(math.Floor((x - low) / step)) }
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
