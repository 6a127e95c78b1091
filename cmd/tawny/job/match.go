package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/mend"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/parallel"
)

// MatchResult is what a match found; --json prints it.
type MatchResult struct {
	Wearing
	Blends []BlendView       `json:"blends"` // best first
	Front  []BlendView       `json:"front"`  // the best of each number of powders
	Search search.Counts     `json:"search"`
	Reach  *mend.ReachReport `json:"reach,omitempty"`
	Notes  []string          `json:"notes,omitempty"`
	// GivenUp says what of the shimmer asked for the best has not, and what
	// would give it.
	GivenUp []string `json:"givenUp,omitempty"`

	result *search.Result
}

// BlendView is one blend and its predicted look on the skin.
type BlendView struct {
	Rank int `json:"rank"`
	search.Look
	Sentence    string     `json:"sentence"`              // what she will see
	GleamFactor float64    `json:"gleamFactor,omitempty"` // its gleam may be so many times more or less, by the tilt's doubt
	Parts       []PartView `json:"parts"`
	LoadPercent float64    `json:"loadPercent"`
	ColourView
	InGamut     bool                          `json:"inGamut"`
	DeltaE00    float64                       `json:"deltaE00"`
	Overall     float64                       `json:"overallDeltaE00"` // weighted root mean square over the goals; DeltaE00 where there is one
	Words       string                        `json:"words"`           // how far off, in words
	Off         string                        `json:"off,omitempty"`   // in which direction, in words
	Shift       colour.LChShift               `json:"shiftFromTarget"` // blend less target
	SecondLab   colour.Lab                    `json:"secondLab"`
	LightShift  float64                       `json:"lightShiftDeltaE00"`   // between the two lights
	SecondOff   float64                       `json:"secondDeltaE00"`       // to the target under the second light
	Covered     float64                       `json:"covered"`              // share of skin behind a flake
	Cost        float64                       `json:"powderCostPer100"`     // powders of 100 g
	DemoPrices  bool                          `json:"demoPrices,omitempty"` // some of Cost is by the built-in drawer's invented prices
	Source      string                        `json:"source"`               // the least certain of its powders'
	Angles      []AngleView                   `json:"angles"`               // under light at 45°
	Sweep       []AngleView                   `json:"sweep"`                // the same from towards the lamp to away from it, close enough to be drawn as one
	Views       map[colour.Geometry]AngleView `json:"views"`                // as each geometry reads it
	Travel      colour.LChShift               `json:"travel"`               // from 15° to 110°
	Residual    float64                       `json:"kktResidual"`          // of the search, 0 for a perfect optimum
	Reflectance []float64                     `json:"reflectance"`
	Apart       string                        `json:"apart,omitempty"` // what sets it apart from the others found
	Jars        *jarViews                     `json:"jars,omitempty"`  // the product too deep to see through
	Twins       int                           `json:"twins"`           // blends that look like it, folded under it
	Alike       []TwinView                    `json:"alike,omitempty"` // some of them, where asked for
	// Because says which rule is set aside and what keeping it would cost;
	// Premix lets powders too small to weigh be weighed.
	Because string         `json:"because,omitempty"`
	Premix  []batch.Premix `json:"premix,omitempty"`
	// Uncertainty is how far the skin may lie from this when it is made and
	// worn.
	Uncertainty *doubt.Spread `json:"uncertainty"`

	parts []film.Part
	small bool // holds less of a powder than can be weighed
	// As the target was read, under both lights: what is compared with it.
	compared, comparedSecond colour.Lab
}

// names lists the powders.
func (v *BlendView) names() string {
	return listed(v.Parts, ", ", func(p PartView) string { return p.Powder })
}

// shares lists the powders with their per cent of the product.
func (v *BlendView) shares(digits int) string {
	return listed(v.Parts, " + ", func(p PartView) string { return fmt.Sprintf("%s %.*f %%", p.Powder, digits, p.Percent) })
}

// PartView is one powder of a blend.
type PartView struct {
	Powder    string     `json:"powder"`
	Percent   float64    `json:"percent"` // % w/w of the product
	Share     float64    `json:"share"`   // % of the powders
	ArealMass float64    `json:"mgCm2"`   // on the skin
	Source    string     `json:"source"`
	Grade     [3]float64 `json:"gradeUm"` // d10, d50, d90
}

// Match finds blends for a target on a skin.
func Match(ctx context.Context, in Input, progress func(float64)) (*MatchResult, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	t, err := s.target(in.Target)
	if err != nil {
		return nil, err
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	return s.match(ctx, t, progress)
}

// match answers a request. A shade asked for soft has a soft gleam where none is
// said, unless that leaves it too far off.
func (s *setting) match(ctx context.Context, t *target, progress func(float64)) (*MatchResult, error) {
	m, err := s.answer(ctx, t, false, progress)
	if err != nil || t.gleam == "" || s.in.Gleam != "" || m.reaches() && len(m.GivenUp) == 0 {
		return m, err
	}
	var plain *MatchResult
	for _, word := range [2]string{film.GleamWords[1].Name, ""} {
		other := *t
		other.gleam = word
		if plain, err = s.answer(ctx, &other, false, nil); err != nil || plain.reaches() {
			break
		}
	}
	if err != nil || m.Blends[0].Overall-plain.Blends[0].Overall <= search.RuleWorth && len(m.GivenUp) == 0 {
		return m, err
	}
	plain.GivenUp = append(plain.GivenUp, fmt.Sprintf("No gleam so soft comes near enough: with --gleam %s the first has %.1f, ΔE00 %.1f off.", film.GleamWords[0].Name, m.Blends[0].Gleam, m.Blends[0].Overall))
	return plain, nil
}

// answer is match of just what is asked, whatever keeping the rules costs where they
// are to be kept.
func (s *setting) answer(ctx context.Context, t *target, keepRules bool, progress func(float64)) (*MatchResult, error) {
	r, err := s.request(t)
	if err != nil {
		return nil, err
	}
	r.Progress, r.KeepRules = progress, keepRules
	if w := r.Shimmer; w != nil && w.GleamHi > 0 && !strings.Contains(s.in.Gleam, "..") {
		w.GleamHi = math.Max(w.GleamLo, w.GleamHi-2*search.GleamShown) // as it is told it is under the next word
	}
	res, err := search.Match(ctx, r)
	if err != nil {
		return nil, searched(ctx, err)
	}
	m := &MatchResult{Wearing: s.wearing(t, res.Request.LoadLo, res.Request.LoadHi)}
	if err := m.take(res); err != nil {
		return nil, err
	}
	if slices.ContainsFunc(m.Blends, func(b BlendView) bool { return b.small && len(b.Premix) == 0 }) {
		// What no premix helps is no answer, if there is any other.
		r.MustWeigh = true
		res, err := search.Match(ctx, r)
		if ctx.Err() != nil {
			return nil, searched(ctx, ctx.Err())
		}
		if err == nil {
			if err := m.take(res); err != nil {
				return nil, err
			}
		}
	}
	apart(m.Blends)
	if m.GivenUp, err = s.givenUp(&m.Blends[0], m.Blends[1:], m.result.Request.Shimmer); err != nil {
		return nil, err
	}
	m.Notes, err = m.notes()
	return m, err
}

// take tells what a search found.
func (m *MatchResult) take(res *search.Result) error {
	m.result, m.Search, m.Conditions.EqualWithin = res, res.Counts, res.Request.Equal
	all := slices.Concat(res.Blends, res.Front)
	var parts []film.Part
	for _, b := range all {
		parts = append(parts, b.Parts...)
	}
	if err := m.setting.openDoubts(parts); err != nil {
		return err
	}
	views, errs := make([]*BlendView, len(all)), make([]error, len(all))
	parallel.For(m.setting.in.lent().Workers, len(all), func(i int) {
		views[i], errs[i] = m.setting.blendView(all[i], m.target)
	})
	m.Blends, m.Front = nil, nil
	for i, v := range views {
		if errs[i] != nil {
			return errs[i]
		}
		if i < len(res.Blends) {
			v.Rank = i + 1
			m.Blends = append(m.Blends, *v)
		} else {
			m.Front = append(m.Front, *v)
		}
	}
	return nil
}

// request puts setting and target into a match.
func (s *setting) request(t *target) (r search.Request, err error) {
	r.LoadLo, r.LoadHi = s.in.loads()
	if r.Choice, err = s.choice(); err != nil {
		return r, err
	}
	r.Ground, r.Geometry = s.ground(), t.view.Geometry.Assumed()
	r.Powders, r.Apply, r.Tilt, r.Base = s.drawer.Pigments, s.apply, s.tilt, s.optics
	r.SurfaceShare = s.in.SurfaceTilt / s.tilt
	r.BatchGrams, r.BalanceStep = s.batchGrams(), s.balance()
	r.Looks, r.ShowTwins, r.Family = true, s.in.Twins, t.family
	if r.Shimmer, err = s.wish(t); err != nil {
		return r, err
	}
	r.Light, r.Second, r.Most, r.Keep, r.Workers = s.viewing, s.second, s.in.Most, s.in.Keep, s.in.lent().Workers
	if r.Targets, err = s.goals(t); err != nil {
		return r, err
	}
	r.Bands = t.bands
	return r, nil
}

// ground is the bare skin.
func (s *setting) ground() film.Ground {
	return film.Ground{Reflectance: s.skin.Reflectance, Geometry: s.skin.Reading.Geometry}
}

// worn is a blend on this setting's skin.
func (s *setting) worn(parts []film.Part, apply, tilt float64) film.Worn {
	return film.Worn{
		Ground: s.ground(),
		Parts:  parts, Apply: apply, Tilt: tilt, SurfaceShare: s.in.SurfaceTilt / s.tilt, Base: s.optics, Light: s.viewing, Second: s.second,
	}
}

// wornAs is the same, read as the target was.
func (s *setting) wornAs(parts []film.Part, apply, tilt float64, t *target) film.Worn {
	w := s.worn(parts, apply, tilt)
	if t != nil {
		w.Geometry = t.view.Geometry.Assumed()
	}
	return w
}

// blendView is a blend that was found: its look, and what only the search knows.
func (s *setting) blendView(b search.Blend, t *target) (*BlendView, error) {
	v, err := s.lookView(b.Parts, t)
	if err != nil {
		return nil, err
	}
	v.Residual, v.Because, v.Twins = b.Residual, b.Because, b.Twins
	if b.Look.Name != "" {
		v.Look.Name = b.Look.Name
	}
	for _, twin := range b.Alike {
		v.Alike = append(v.Alike, TwinView{Parts: s.partViews(twin.Parts), DeltaE00: twin.DeltaE00, Cost: twin.CostPer100})
	}
	v.Sentence = s.sentence(v, t)
	if v.small = len(b.Small) > 0; !v.small {
		return v, nil
	}
	made, err := s.batchOf("", v, t)
	if err != nil {
		return nil, err
	}
	for _, p := range made.Premixes {
		if slices.ContainsFunc(b.Small, func(g *palette.Pigment) bool { return g.Name == p.Powder }) {
			v.Premix = append(v.Premix, p)
		}
	}
	return v, nil
}

// lookView predicts a blend's look and compares it with the target, where
// there is one.
func (s *setting) lookView(parts []film.Part, t *target) (*BlendView, error) {
	worn := s.worn(parts, s.apply, s.tilt)
	look, err := film.Predict(worn)
	if err != nil {
		return nil, input(err)
	}
	v := &BlendView{
		compared: look.Lab, comparedSecond: look.SecondLab,
		ColourView: colourView(s.viewing, look.Lab), SecondLab: look.SecondLab, LightShift: look.Shift,
		Covered: look.Covered, Source: string(leastCertain(parts)), parts: parts,
		Reflectance: append([]float64(nil), look.Reflectance[:]...),
	}
	_, v.InGamut = s.viewing.Screen(look.Lab)
	for _, p := range parts {
		v.LoadPercent += p.Percent
		v.Cost += p.Percent * p.Pigment.PricePerG
		v.DemoPrices = v.DemoPrices || p.Pigment.Invented || s.in.Drawer == ""
	}
	v.Parts = s.partViews(parts)
	v.Angles = angleViews(s.viewing, look.Angles[:])
	if v.Sweep, err = s.sweep(parts); err != nil {
		return nil, err
	}
	v.Views = map[colour.Geometry]AngleView{}
	for g, lab := range look.Views {
		v.Views[g] = AngleView{ColourView: colourView(s.viewing, lab)}
	}
	for _, a := range v.Angles {
		if a.Aspecular == 45 {
			v.Views[colour.At45] = a
		}
	}
	v.Travel = look.Travel()
	if !s.weighOnly && !s.quick {
		v.Jars = s.jarViews(parts)
	}
	worn = s.wornAs(parts, s.apply, s.tilt, t)
	if v.Uncertainty, err = s.uncertainty(worn); err != nil {
		return nil, err
	}
	if t != nil {
		if worn.Geometry != worn.Ground.Geometry.Assumed() {
			r, err := film.Diffuse(worn)
			if err != nil {
				return nil, input(err)
			}
			v.compared, v.comparedSecond = s.viewing.Lab(&r), s.second.Lab(&r)
		}
		if err := s.judge(v, t); err != nil {
			return nil, err
		}
		v.DeltaE00 = colour.DeltaE00(v.compared, t.view.Lab)
		v.SecondOff = colour.DeltaE00(v.comparedSecond, t.view.SecondLab)
		s.tellOff(v, t)
		v.Shift = colour.ShiftBetween(t.view.Lab, v.compared)
	}
	if len(parts) > 0 {
		if err := s.looked(v); err != nil {
			return nil, err
		}
		v.Sentence = s.sentence(v, t)
	}
	return v, nil
}

// tellOff says how far a blend is off a target, and which way where that is seen.
func (s *setting) tellOff(v *BlendView, t *target) {
	l := colour.MeanL(t.view.Lab, v.compared)
	v.Words = colour.DifferenceWords(v.DeltaE00, l)
	if v.Off = ""; !colour.Unseen(v.DeltaE00, l) {
		v.Off = colour.TurnWords(t.view.Lab, v.compared)
	}
}

// partViews tells the powders of a blend.
func (s *setting) partViews(parts []film.Part) (views []PartView) {
	load := 0.0
	for _, p := range parts {
		load += p.Percent
	}
	for _, p := range parts {
		views = append(views, PartView{
			Powder: p.Pigment.Name, Percent: p.Percent, Share: 100 * p.Percent / load,
			ArealMass: s.apply * p.Percent / 100, Source: string(p.Pigment.Source),
			Grade: [3]float64{p.Pigment.D10, p.Pigment.D50, p.Pigment.D90},
		})
	}
	return views
}

// leastCertain returns the weakest source among the powders.
func leastCertain(parts []film.Part) palette.Source {
	order, worst := []palette.Source{palette.Measured, palette.Modelled, palette.Guessed, palette.Demo}, 0
	for _, p := range parts {
		worst = max(worst, slices.Index(order, p.Pigment.Source))
	}
	return order[worst]
}

// notes says what a maker should know of the answer.
func (m *MatchResult) notes() ([]string, error) {
	best := &m.Blends[0]
	model := when(m.Skin.Extrapolated, "This skin lies outside those the skin model was fitted to; its spectrum is extrapolated.")
	source := when(best.Source != string(palette.Measured), "The powders' colours are "+best.Source+", not measured: make a small test smear before a batch.")
	gloss, err := m.setting.glossLine(best.parts)
	skin, target := around("Skin: ", strings.TrimSuffix(m.Skin.Note, "."), "."), around("Target: ", strings.TrimSpace(m.Target.Note), ".")
	return nonEmpty(slices.Concat([]string{model, skin, m.setting.barred, m.Search.LeftOut(), target}, m.setting.notes, []string{m.outOfReach(), source, gloss})...), err
}

// outOfReach says how near the shade can be come to, "" where it is reached.
func (m *MatchResult) outOfReach() string {
	nearest := &m.Front[len(m.Front)-1]
	if nearest.Overall <= m.Conditions.EqualWithin {
		return ""
	}
	bound := either(m.Conditions.LoadMin == m.Conditions.LoadMax, "exactly", "at most")
	over := when(len(m.result.Request.Targets) > 1, " over everything that was to be matched")
	return fmt.Sprintf("With a load of %s %.3g %% worn at %.3g mg/cm² the nearest shade is ΔE00 %.1f away%s: %s%s.", bound, m.Conditions.LoadMax, m.Conditions.Apply, nearest.Overall, over, colour.DifferenceWords(nearest.Overall, colour.MeanL(m.Target.Lab, nearest.compared)), around(", ", nearest.Off, " than the target"))
}

// unreached says what of the look asked for the best has not.
func (m *MatchResult) unreached() []string {
	return nonEmpty(append(slices.Clone(m.GivenUp), m.outOfReach())...)
}
