package job

import (
	"fmt"
	"math"
	"strings"

	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/table"
)

// shimmerFields ask for what a shimmer has beside its shade.
func (in *Input) shimmerFields() []Field {
	words := listed(film.GleamWords[:], ", ", func(w film.GleamWord) string { return w.Name + " (" + gleamRange(w.Lo, w.Hi) + ")" })
	grains := append([]string{anyGrain}, film.GrainWords[:]...)
	return []Field{
		{Name: "gleam", Words: fmt.Sprintf("how much lighter towards the lamp, L* at 15° less L* at 45°: %s, two numbers as 3..8, or none for the shade alone whatever its gleam (default %g or more)", words, film.LeastGleam), Lists: "gleam", To: &in.Gleam},
		{Name: "grain", Words: "how single flakes show: " + orList(grains) + " (default any)", Choices: grains, To: &in.Grain},
	}
}

const anyGrain = "any"

// gleamFigure writes a gleam to a decimal, of none without a sign.
func gleamFigure(gleam float64) string { return fmt.Sprintf("%.1f", math.Round(10*gleam)/10+0) }

// gleamRange writes bounds of a gleam, to a decimal as gleams are.
func gleamRange(lo, hi float64) string {
	least, most := math.Round(10*lo)/10, math.Round(10*hi)/10
	switch {
	case hi == 0 || hi > 1e9:
		return fmt.Sprintf("%g and over", least)
	case least == most:
		return fmt.Sprintf("about %g", least)
	}
	return fmt.Sprintf("%g to %g", least, most)
}

// wanted is what a request wants beside the shade; nil for the shade alone.
func (in Input) wanted() (*search.Shimmer, error) {
	s := &search.Shimmer{GleamLo: film.LeastGleam, SpareBlack: in.spareBlack}
	if in.Grain != anyGrain {
		s.Grain = in.Grain
	}
	text := strings.ToLower(strings.TrimSpace(in.Gleam))
	switch {
	case text == "":
		return s, nil
	case text == film.NoGleam && s.Grain == "":
		return nil, nil
	case text == film.NoGleam:
		s.GleamLo = 0
		return s, nil
	}
	for _, w := range film.GleamWords {
		if text == w.Name {
			s.GleamLo = w.Lo
			if w.Hi < 1e9 {
				s.GleamHi = w.Hi
			}
			return s, nil
		}
	}
	lo, hi, two := strings.Cut(text, "..")
	var err error
	if s.GleamLo, err = table.Finite(lo); err == nil && two && strings.TrimSpace(hi) != "" {
		s.GleamHi, err = table.Finite(hi)
	}
	if err != nil || !two || !(s.GleamLo >= 0 && s.GleamLo <= 100) || s.GleamHi != 0 && !(s.GleamHi > s.GleamLo) {
		return nil, faultf("gleam", "is %q; %s, none, or two numbers as 3..8 are accepted", in.Gleam, listed(film.GleamWords[:], ", ", func(w film.GleamWord) string { return w.Name }))
	}
	return s, nil
}

// TwinView is a blend folded under one that looks like it.
type TwinView struct {
	Parts    []PartView `json:"parts"`
	DeltaE00 float64    `json:"deltaE00"`
	Cost     float64    `json:"powderCostPer100"`
}

// looked adds what a blend looks like to its view.
func (s *setting) looked(v *BlendView) error {
	worn := s.worn(v.parts, s.apply, s.tilt)
	var err error
	if v.Look, err = search.LookOf(worn); err != nil || s.quick {
		return input(err)
	}
	var gleams [2]float64
	off := doubt.Usual(worn).Tilt
	for i, tilt := range [2]float64{s.tilt - off, s.tilt + off} {
		worn.Tilt = tilt
		look, err := film.Predict(worn)
		if err != nil {
			return input(err)
		}
		gleams[i] = look.Gleam()
	}
	if ratio := gleams[0] / gleams[1]; gleams[1] > 0 && ratio > 1 {
		v.GleamFactor = math.Sqrt(ratio)
	}
	return nil
}

// glossLine says what of a blend's change of colour is the gloss of any film where the
// skin is read with its gloss; "" where that is hardly there.
func (s *setting) glossLine(parts []film.Part) (string, error) {
	if len(parts) == 0 {
		return "", nil
	}
	r, err := film.Diffuse(s.worn([]film.Part{{Pigment: parts[0].Pigment, Percent: traceOf}}, s.apply, s.tilt))
	if err != nil {
		return "", input(err)
	}
	bare, worn := s.viewing.Lab(&s.skin.Reflectance), s.viewing.Lab(&r)
	if colour.DeltaE00(bare, worn) < glossSeen {
		return "", nil
	}
	by := colour.ShiftBetween(bare, worn)
	return fmt.Sprintf("Of the change from bare skin, %.1f %s and %.1f %s is the gloss of any film, as a reading with gloss has it: no powder's.",
		math.Abs(by.DL), colour.LightnessWords.Of(by.DL), math.Abs(by.DC), colour.ChromaWords.Of(by.DC)), nil
}

// A trace of powder makes a film and no colour, and a change of so much, ΔE00, is told as
// the film's own.
const (
	traceOf   = 1e-6 // %
	glossSeen = 0.5
)

// Of the change that even light shows, ΔE00, what is hardly there and what is
// faint (common practice puts a just visible difference near 1).
const (
	hardlyThere = 1.5
	faintlySeen = 4
)

// tint reports whether nothing of a blend gleams or glints.
func (v *BlendView) tint() bool { return v.GleamWord == film.NoGleam && !v.Scattered() }

// tintWords name what a tint makes of skin that it makes more colourful, by its hue up to
// a limit, degrees (common practice; the limits are our own).
var tintWords = []struct {
	to   float64
	word string
}{{42, "brick red"}, {60, "terracotta"}, {85, "ochre"}}

// moreColourful is by how much more chroma.
const moreColourful = 4.0

// lookWords name a blend by its colour and grade; a tint, whose powders' colour is not
// seen as theirs, by the colour it makes, or else by what it does to the skin.
func (s *setting) lookWords(v *BlendView) string {
	look, _, _ := strings.Cut(v.Look.Name, ",")
	if v.tint() {
		bare, worn := s.viewing.Lab(&s.skin.Reflectance), v.Lab.LCh()
		for _, w := range tintWords {
			if worn.C > bare.Chroma()+moreColourful && worn.H <= w.to {
				return w.word + " tint"
			}
		}
		return orElse(colour.SkinWords(bare, v.Lab), "sheer") + " tint"
	}
	return look
}

// sentence says what she will see.
func (s *setting) sentence(v *BlendView, t *target) string {
	var w strings.Builder
	look := s.lookWords(v)
	fmt.Fprintf(&w, "%s %s", either(strings.ContainsRune("aeiou", rune(look[0])), "An", "A"), look)
	switch {
	case v.GleamWord != film.NoGleam:
		fmt.Fprintf(&w, " with a %s gleam, most in the light", v.GleamWord)
	case v.Scattered():
		w.WriteString(" with scattered glints, most in the light")
	default:
		w.WriteString(" without gleam")
	}
	there, where := ", there", " in shade"
	switch change := colour.DeltaE00(v.Lab, s.viewing.Lab(&s.skin.Reflectance)); {
	case change < hardlyThere:
		there = ", hardly there"
	case change < faintlySeen:
		there = ", faint"
	case v.tint():
		there = ", plain to see"
	default:
		where += " too"
	}
	if v.tint() {
		where = "" // nor is it more in the light
	}
	w.WriteString(there + where)
	if t != nil {
		fmt.Fprintf(&w, "; %.1f off the shade you asked for: %s", v.Overall, colour.DifferenceWords(v.Overall, colour.MeanL(t.view.Lab, v.compared)))
	}
	w.WriteString(".")
	return w.String()
}

// How many times another's gleam one may be that is to gleam like it, and where that
// cannot be had (a client sees the first; conventions of this tool).
const (
	likeGleam = 1.25
	nearGleam = 2
)

// wish is what is wanted beside a target's shade.
func (s *setting) wish(t *target) (*search.Shimmer, error) {
	in, b := s.in, t.beside
	in.Gleam = orElse(in.Gleam, t.gleam)
	like := b != nil && b.GleamWord != film.NoGleam && in.Gleam != film.NoGleam
	if like && t.within == likeGleam {
		in.Gleam = orElse(in.Gleam, b.GleamWord)
		if in.Grain == "" || in.Grain == anyGrain {
			in.Grain = b.Grain
		}
	}
	w, err := in.wanted()
	if err != nil || w == nil {
		return nil, err
	}
	if !like {
		return w, nil
	}
	most := b.Gleam * t.within
	if w.GleamHi > 0 {
		most = math.Min(most, w.GleamHi)
	}
	w.GleamLo = math.Max(w.GleamLo, b.Gleam/t.within)
	w.GleamHi = math.Max(w.GleamLo, most)
	return w, nil
}

// givenUp says what of a shimmer a blend has not, and which of the others has it or
// what would give it.
func (s *setting) givenUp(v *BlendView, others []BlendView, want *search.Shimmer) (list []string, err error) {
	if want == nil {
		if v.Gleam >= film.LeastGleam {
			list = append(list, fmt.Sprintf("It gleams all the same (%.1f, %s): none asks for the shade alone, --gleam 0..%g for one without.", v.Gleam, v.GleamWord, film.LeastGleam))
		}
		return list, nil
	}
	switch {
	case v.Gleam < want.GleamLo-search.GleamShown:
		more, err := s.moreGleam(v, want.GleamLo)
		if err != nil {
			return nil, err
		}
		list = append(list, fmt.Sprintf("The gleam asked for, %s, is not to be had so: the nearest has %.1f.%s", gleamRange(want.GleamLo, want.GleamHi), v.Gleam, more))
	case want.GleamHi > 0 && v.Gleam > want.GleamHi+search.GleamShown:
		less, err := s.lessGleam(v, want)
		if err != nil {
			return nil, err
		}
		list = append(list, fmt.Sprintf("Less gleam than %.1f is not to be had so; %s was asked for. Rubbing it in, or clear mica in place of some powder, gives less.%s", v.Gleam, gleamRange(want.GleamLo, want.GleamHi), less))
	}
	if least, most := s.in.loads(); v.Because != "" && want.GleamHi > 0 && least == most {
		list = append(list, fmt.Sprintf("A rule is set aside for so little gleam at a load of exactly %.3g %%: --load-max %g lets the load be less.", most, most))
	}
	if want.Grain == "" || v.Grain == want.Grain {
		return list, nil
	}
	for i := range others {
		if o := &others[i]; o.Grain == want.Grain {
			return append(list, fmt.Sprintf("The grain asked for, %s, is not to be had with so much of the rest: the first is %s; no. %d is %s, with a gleam of %.1f and ΔE00 %.1f off.", want.Grain, orElse(v.Grain, "without flakes"), o.Rank, o.Grain, o.Gleam, o.Overall)), nil
		}
	}
	list = append(list, fmt.Sprintf("The grain asked for, %s, is not to be had so: the nearest is %s.%s", want.Grain, orElse(v.Grain, "without flakes"), s.grainPowders(want.Grain, v.Grain)))
	return list, nil
}

// moreGleam says whether brushing it on, or more powder, gives a gleam.
func (s *setting) moreGleam(v *BlendView, want float64) (string, error) {
	full := film.Coverages[len(film.Coverages)-1]
	load := 2 * v.LoadPercent
	says := ""
	tell := func(how string, w film.Worn) error {
		look, err := film.Predict(w)
		if err != nil {
			return input(err)
		}
		says += fmt.Sprintf(" %s %s %.1f.", capital(how), either(look.Gleam() >= want, "it has enough,", "it would have"), look.Gleam())
		return nil
	}
	var err error
	if full.MgPerCM2 > s.apply {
		err = tell(full.Plain, s.worn(v.parts, full.MgPerCM2, full.SigmaDeg))
	}
	if load <= film.MaxLoad && err == nil {
		err = tell(fmt.Sprintf("at a load of %.3g %%", load), s.worn(film.Scaled(v.parts, load), s.apply, s.tilt))
	}
	return says, err
}

// lessGleam says at what lower load a blend has a gleam between bounds, and how to
// ask for it.
func (s *setting) lessGleam(v *BlendView, want *search.Shimmer) (string, error) {
	least, most := s.in.loads()
	if least < most && v.LoadPercent > least*(1+1e-6) {
		return "", nil // less was free to be chosen
	}
	middle := (want.GleamLo + want.GleamHi) / 2
	lo, hi, gleam := 0.0, v.LoadPercent, 0.0
	for range 12 {
		load := (lo + hi) / 2
		look, err := film.Predict(s.worn(film.Scaled(v.parts, load), s.apply, s.tilt))
		if err != nil {
			return "", input(err)
		}
		if gleam = look.Gleam(); gleam > middle {
			hi = load
		} else {
			lo = load
		}
	}
	how := either(least < most, fmt.Sprintf("--load-min %.2g lets it", lo), fmt.Sprintf("--load-max %g lets the load be less", most))
	return fmt.Sprintf(" At a load of %.2g %% it would have %.1f: %s.", lo, gleam, how), nil
}

// grainPowders names powders of a size that gives a grain.
func (s *setting) grainPowders(want, have string) string {
	coarser := want == film.GrainWords[2] || have == film.GrainWords[0] || have == ""
	var best *palette.Pigment
	for _, g := range s.drawer.Pigments {
		if g.Optics.Flake && (best == nil || coarser == (g.D50 > best.D50) && g.D50 != best.D50) {
			best = g
		}
	}
	switch {
	case best == nil:
		return " A powder with flakes would give it."
	case coarser:
		return fmt.Sprintf(" A coarser powder gives it; the coarsest of this drawer is %s, %.3g µm.", best.Name, best.D50)
	}
	return fmt.Sprintf(" A finer powder gives it; the finest of this drawer is %s, %.3g µm.", best.Name, best.D50)
}
