package mend

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// ShadeMap is the shades a drawer reaches on a skin, laid out to be chosen from:
// columns from rose to gold, rows from light to deep.
type ShadeMap struct {
	Columns    int `json:"columns"`
	Rows       int `json:"rows"`
	SkinColumn int `json:"skinColumn"` // where the bare skin would be, perhaps beside the map
	SkinRow    int `json:"skinRow"`

	Shades []MapShade `json:"-"` // by rows, then columns
}

// MapShade is one shade of a map: as soft, or as rich, as the drawer has it at that
// place.
type MapShade struct {
	Column int             `json:"column"` // 0 is the rosiest
	Row    int             `json:"row"`    // 0 is the lightest
	Rich   bool            `json:"rich"`
	Parts  []film.Part     `json:"-"` // one blend that is it
	Worn   colour.Lab      `json:"-"`
	Shift  colour.LChShift `json:"-"` // from the bare skin

	turn float64 // ΔH* of CIELAB, signed towards yellow from red
}

// The map is coarse enough for a finger (our own choice, from trying it). It spans
// what the drawer reaches but for the rarest hundredth at each end.
const (
	shadeColumns = 7
	shadeRows    = 7
	rareShare    = 0.01
)

// Shades predicts each flake alone on w's skin, with each other one, and with a
// little of each plain pigment, at a load in % w/w.
func Shades(ctx context.Context, w film.Worn, powders []*palette.Pigment, load float64) (*ShadeMap, error) {
	var flakes, plain []*palette.Pigment
	for _, p := range powders {
		if p.Optics.Flake {
			flakes = append(flakes, p)
		} else {
			plain = append(plain, p)
		}
	}
	var reached []MapShade
	bare := w.Light.Lab(&w.Ground.Reflectance)
	note := func(parts ...film.Part) error {
		w.Parts = parts
		look, err := film.Predict(w)
		if err != nil {
			return err
		}
		s := MapShade{Parts: parts, Worn: look.Lab, Shift: colour.ShiftBetween(bare, look.Lab)}
		s.turn = 2 * math.Sqrt(bare.Chroma()*look.Lab.Chroma()) * math.Sin(s.Shift.DH/2*math.Pi/180)
		reached = append(reached, s)
		return nil
	}
	for i, p := range flakes {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := note(film.Part{Pigment: p, Percent: load}); err != nil {
			return nil, err
		}
		for _, q := range append(slices.Clone(flakes[i+1:]), plain...) {
			shares := []float64{0.25, 0.5, 0.75}
			if !q.Optics.Flake {
				shares = []float64{0.03, 0.1} // of the powders: enough to turn them
			}
			for _, x := range shares {
				if err := note(film.Part{Pigment: p, Percent: (1 - x) * load}, film.Part{Pigment: q, Percent: x * load}); err != nil {
					return nil, err
				}
			}
		}
	}
	if len(reached) == 0 {
		return nil, errors.New("no powder is left that may be used there")
	}
	return layOut(reached), nil
}

// layOut takes the softest and the richest of each place of the map.
func layOut(reached []MapShade) *ShadeMap {
	m := &ShadeMap{Columns: shadeColumns, Rows: shadeRows}
	column := axis(reached, shadeColumns, func(s *MapShade) float64 { return s.turn })
	row := axis(reached, shadeRows, func(s *MapShade) float64 { return -s.Shift.DL })
	m.SkinColumn, m.SkinRow = column(0), row(0)
	best := map[[3]int]*MapShade{}
	for i := range reached {
		s := &reached[i]
		s.Row, s.Column = row(-s.Shift.DL), column(s.turn)
		if s.Row < 0 || s.Row >= m.Rows || s.Column < 0 || s.Column >= m.Columns {
			continue
		}
		at := [3]int{s.Row, s.Column}
		if old := best[at]; old == nil || s.Shift.DC < old.Shift.DC {
			best[at] = s
		}
		at[2] = 1
		if old := best[at]; old == nil || s.Shift.DC > old.Shift.DC {
			best[at] = s
		}
	}
	for at, s := range best {
		shade := *s
		shade.Rich = at[2] == 1
		m.Shades = append(m.Shades, shade)
	}
	slices.SortFunc(m.Shades, func(a, b MapShade) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Worn.Chroma(), b.Worn.Chroma()))
	})
	return m
}

// axis divides what is reached into so many places.
func axis(reached []MapShade, n int, of func(*MapShade) float64) func(float64) int {
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
