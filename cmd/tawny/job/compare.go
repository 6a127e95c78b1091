package job

import (
	"context"
	"fmt"

	"tawny/colour"
	"tawny/swatches"
)

var compareJob = &Job{
	Name:     "compare",
	Searches: true,
	Short:    "Set a warm and a cool version of one target side by side",
	Long: `Turns the target's hue --turn degrees towards yellow (warm) and as far towards
red (cool), matches both, and with --out writes one picture of the two
(compare.png, or compare.pdf with --format pdf).`,
	Example: "  tawny compare --demo --out demo\n  tawny compare --skin tan --target skin:3,5,0 --load 4 --turn 12 --format pdf --out both",
	New: func() Task {
		in := &Input{}
		p := &picture{}
		turn, out := DefaultTurn, ""
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			for _, name := range []string{"format", "wide", "dpi", "seed", "flat", "rig"} {
				if !env.Sends && env.given(name) {
					return nil, faultf(name, "is for the picture; give {out} too")
				}
			}
			r, err := Compare(ctx, q, turn, env.Progress)
			if err != nil || !env.Sends {
				return r, err
			}
			d, err := r.Picture(CardOptions{Shimmer: !p.flat, Rig: p.rig, Seed: p.seed})
			if err != nil {
				return nil, err
			}
			return r, env.drawn("compare", p.format, p.paper(), d)
		}, in.matchGroups(Group{Title: "Picture", Fields: append(p.paperFields(),
			Field{Name: "flat", Words: "flat colours instead of shimmer", To: &p.flat},
			Field{Name: "turn", Words: "degrees of hue to either side (default 10)", Unit: "degrees", High: 90, Above: true, To: &turn},
			outField(&out),
		)})...)
	},
}

// Show writes the best blend of each side.
func (r *CompareResult) Show(s *Screen) {
	if r.Title != "" {
		s.line("%s (demo: invented)", r.Title)
	}
	s.skinLine(&r.Warm.Skin)
	s.wornLine(&r.Warm.Conditions)
	s.line("Warm and cool are %.3g° of hue to either side of the target.", r.Turn)
	for _, m := range []*MatchResult{r.Warm, r.Cool} {
		s.line("")
		s.line("%s      %s%s", m.Title, s.patch(m.Target.Hex), labText(m.Target.Lab))
		s.blend(&m.Blends[0], true)
	}
	s.line("")
	s.line("The two differ by ΔE00 %.1f.", r.Between)
}

// DefaultTurn is how far, in degrees of hue, compare turns the target to the
// warm and to the cool side.
const DefaultTurn = 10.0

// CompareResult is a warm and a cool version of one target.
type CompareResult struct {
	Turn float64      `json:"turnDegrees"`
	Warm *MatchResult `json:"warm"`
	Cool *MatchResult `json:"cool"`
	// Between is how far apart the two blends look, ΔE00.
	Between float64 `json:"betweenDeltaE00"`
	Title   string  `json:"title,omitempty"`
}

// Compare matches the target turned by turn degrees towards yellow (warm) and
// as far towards red (cool).
func Compare(ctx context.Context, in Input, turn float64, progress func(float64)) (*CompareResult, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	t, err := s.target(in.Target)
	if err != nil {
		return nil, err
	}
	if t.view.Lab.Chroma() < 1 {
		return nil, inputf("target %q is almost grey (C* %.1f), so it has no warm and cool side", in.Target, t.view.Lab.Chroma())
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	r := &CompareResult{Turn: turn, Title: in.DemoTitle()}
	for i, side := range []struct {
		name string
		turn float64
		to   **MatchResult
	}{{"warm", turn, &r.Warm}, {"cool", -turn, &r.Cool}} {
		turned, err := s.turned(t, side.turn, side.name)
		if err != nil {
			return nil, err
		}
		half := func(done float64) {
			if progress != nil {
				progress((float64(i) + done) / 2)
			}
		}
		if *side.to, err = s.match(ctx, turned, half); err != nil {
			return nil, err
		}
		(*side.to).Title = map[string]string{"warm": "Warm", "cool": "Cool"}[side.name]
	}
	a, b := r.Warm.Blends[0], r.Cool.Blends[0]
	r.Between = colour.DeltaE00(a.Lab, b.Lab)
	return r, nil
}

// turned is a target with its hue turned, degrees towards yellow from red.
func (s *setting) turned(t *target, by float64, name string) (*target, error) {
	c := t.view.Lab.LCh()
	c.H += by
	u := &target{view: t.view}
	if t.shift != nil {
		d := *t.shift
		d.DH += by
		u.shift = &d
	}
	u.view.Text = fmt.Sprintf("%s, %s by %g°", t.view.Text, name, by)
	u.view.Words = fmt.Sprintf("%s, %s by %g°", t.view.Words, name, by)
	u.view.ColourView = colourView(s.viewing, c.Lab())
	bare, err := s.bareIn(t.view.Geometry)
	if err != nil {
		return nil, err
	}
	u.view.Shift = shiftBetween(bare, u.view.Lab)
	u.view.SecondLab = u.view.Lab
	if like := like(u.view.Lab, s.viewing, u.view.Geometry); like != nil {
		u.view.SecondLab = s.second.Lab(like)
	}
	return u, nil
}

// Picture sets the two versions beside each other.
func (r *CompareResult) Picture(o CardOptions) (*swatches.Compare, error) {
	c := &swatches.Compare{Heading: swatches.Heading{Title: orElse(r.Title, "Warm and cool"), Note: r.Warm.setting.in.note(), Date: r.Warm.setting.in.lent().today()}}
	for _, m := range []*MatchResult{r.Warm, r.Cool} {
		best, err := m.one(1)
		if err != nil {
			return nil, err
		}
		card, err := best.Card(o)
		if err != nil {
			return nil, err
		}
		c.Versions = append(c.Versions, card)
	}
	return c, nil
}
