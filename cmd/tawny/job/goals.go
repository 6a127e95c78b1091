package job

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/table"
)

// goals returns everything a match is to approach. Directions are written
// "45=0.5": the aspecular angle, or diffuse, with its weight; "@" and a target
// of its own may follow, "15=0.3@skin:12,6,8". Without one, a target relative to
// the skin is taken from the bare skin as it looks in that direction, and a
// colour is the goal in every direction alike.
func (s *setting) goals(t *target) ([]search.Goal, error) {
	var goals []search.Goal
	see := s.in.See
	if len(see) == 0 {
		see = []string{"diffuse"}
	}
	for _, item := range see {
		g, err := s.goal(item, t)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(goals, func(other search.Goal) bool { return other.Aspecular == g.Aspecular }) {
			return nil, inputf("direction %q is given twice", item)
		}
		goals = append(goals, g)
	}
	if s.in.BothLights {
		goals = append(goals, search.Goal{Lab: t.view.SecondLab, Viewing: s.second})
	}
	return goals, nil
}

func (s *setting) goal(item string, t *target) (search.Goal, error) {
	direction, own, hasOwn := strings.Cut(strings.TrimSpace(item), "@")
	name, number, weighted := strings.Cut(strings.ToLower(direction), "=")
	g := search.Goal{Lab: t.view.Lab, Weight: 1}
	var err error
	if weighted {
		if g.Weight, err = table.Finite(number); err != nil || !(g.Weight > 0 && g.Weight <= 1000) {
			return g, inputf("direction %q: a weight over 0 is accepted, such as 45=0.5", item)
		}
	}
	if name != "diffuse" {
		if g.Aspecular, err = table.Finite(name); err != nil || !slices.Contains(flake.Aspecular[:], g.Aspecular) {
			return g, inputf("direction %q; diffuse, 15, 45, 75 or 110, with =weight, is accepted", item)
		}
	}
	shift := t.shift
	if hasOwn {
		d, isRelative, err := relative(own)
		if err != nil {
			return g, err
		}
		if shift = nil; isRelative {
			shift = &d
		}
	}
	switch {
	case shift != nil && g.Aspecular != 0:
		bare, err := film.Predict(s.worn(nil, 0, s.tilt))
		if err != nil {
			return g, input(err)
		}
		c := bare.Angles[slices.Index(flake.Aspecular[:], g.Aspecular)].Lab.LCh()
		g.Lab = colour.LCh{L: c.L + shift.DL, C: math.Max(0, c.C+shift.DC), H: c.H + shift.DH}.Lab()
	case hasOwn:
		o, err := s.target(own)
		if err != nil {
			return g, err
		}
		// One blend is compared in one geometry, the target's.
		if is, want := o.view.Geometry.Assumed(), t.view.Geometry.Assumed(); g.Aspecular == 0 && is != want {
			return g, inputf("direction %q: its colour: %s; the target: %s; a colour read as the target is accepted", item, is.Words(), want.Words())
		}
		g.Lab = o.view.Lab
	}
	return g, nil
}

// judge notes how far a blend is from each goal, and from all of them.
func (s *setting) judge(v *BlendView, t *target) error {
	goals, err := s.goals(t)
	if err != nil {
		return err
	}
	sum, weights := 0.0, 0.0
	for _, g := range goals {
		w := cmp.Or(g.Weight, 1)
		seen := v.compared
		switch {
		case g.Viewing == s.second:
			seen = v.comparedSecond
		case g.Aspecular != 0:
			for i := range v.Angles {
				if a := &v.Angles[i]; a.Aspecular == g.Aspecular {
					seen = a.Lab
					lab, off := g.Lab, colour.DeltaE00(a.Lab, g.Lab)
					a.Target, a.DeltaE00 = &lab, &off
				}
			}
		}
		d := colour.DeltaE00(seen, g.Lab)
		sum += w * d * d
		weights += w
	}
	v.Overall = math.Sqrt(sum / weights)
	return nil
}
