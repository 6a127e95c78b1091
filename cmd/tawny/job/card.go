package job

import (
	"fmt"
	"math"
	"strings"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/swatches"
	"tawny/swatches/shimmer"
)

// CardOptions say how a card is to look.
type CardOptions struct {
	Shimmer bool        // picture the flakes instead of flat colour
	Rig     shimmer.Rig // light of the picture
	Seed    uint64      // of the flakes' places
	Jars    bool        // show the product in the jar too
}

// Card lays a blend out as a swatch card: bare skin beside each coverage, the
// one matched at among them.
func (r *BlendResult) Card(o CardOptions) (*swatches.Card, error) {
	s, v := r.setting, &r.Blend
	c := &swatches.Card{
		Heading: swatches.Heading{Title: r.title(), Note: s.in.note(), Date: s.in.lent().today(), Source: v.Source}, Viewing: s.viewing, Light: s.lightWords(),
		Skin: swatches.Patch{Name: "bare skin", Lab: s.viewing.Lab(&s.skin.Reflectance)},
		Seed: o.Seed, Rig: o.Rig,
	}
	if r.target != nil {
		c.Target = &swatches.Patch{Name: r.target.view.Words, Lab: r.target.view.Lab}
	}
	worn, matched := film.Beside(s.apply, s.tilt)
	c.Matched = matched
	for _, cov := range worn {
		look, err := film.Predict(s.worn(v.parts, cov.MgPerCM2, cov.SigmaDeg))
		if err != nil {
			return nil, input(err)
		}
		c.Coverages = append(c.Coverages, swatches.Coverage{Name: cov.Name, MgPerCM2: cov.MgPerCM2, Lab: look.Lab})
	}
	if err := r.shimmer(c, worn, o.Shimmer); err != nil {
		return nil, err
	}
	if o.Jars {
		jars, err := s.jars(v.parts)
		if err != nil {
			return nil, err
		}
		c.Jars = jars
	}
	weigh, err := r.weigh()
	if err != nil {
		return nil, err
	}
	c.Blend = *weigh
	c.Undertone = undertoneWords(c.Skin.Lab, v.Lab)
	c.Remarks = append(c.Remarks, r.shiftRemark())
	c.Remarks = append(c.Remarks, s.extrapolated()...)
	return c, nil
}

// weigh is what goes into the jar, with the grams of its batch.
func (r *BlendResult) weigh() (*swatches.Blend, error) {
	b, err := r.Batch()
	if err != nil {
		return nil, err
	}
	w := &swatches.Blend{Name: r.title(), LoadPercent: r.Blend.LoadPercent, Base: b.Base, BatchGrams: b.TotalG, Decimals: decimals(b.BalanceG)}
	grams := weighed(b)
	for _, part := range r.Blend.Parts {
		w.Parts = append(w.Parts, swatches.Part{Powder: part.Powder, Percent: part.Percent, Grams: grams[part.Powder]})
	}
	return w, nil
}

// shiftRemark says how far the colour moves between the two lights.
func (r *BlendResult) shiftRemark() string {
	s := r.setting
	return fmt.Sprintf("From %s to %s the colour moves ΔE00\u00a0%.1f, the bare skin %.1f.", s.viewing.Illuminant.Name, s.second.Illuminant.Name, r.Blend.LightShift, colour.Shift(&s.skin.Reflectance, s.viewing, s.second))
}

// extrapolated warns of a skin beyond the model's.
func (s *setting) extrapolated() []string {
	if !s.skin.Extrapolated {
		return nil
	}
	return []string{"Skin outside those the model was fitted to: its spectrum is extrapolated."}
}

// pictured says whether a lamp would show anything of a blend, and why not
// where that is not for want of flakes.
func pictured(parts []film.Part) (shows bool, why string) {
	flakes := false
	for _, part := range parts {
		o := &part.Pigment.Optics
		if o.Flake && o.FaceArea == 0 {
			return false, "Flat colour: how large a face " + part.Pigment.Name + "'s flakes have is not known."
		}
		flakes = flakes || o.Flake
	}
	return flakes, ""
}

// sparkle says how much single flakes of a worn blend show.
func (s *setting) sparkle(parts []film.Part, apply, tilt float64) (swatches.Sparkle, error) {
	shows, why := pictured(parts)
	if !shows {
		return swatches.Sparkle{None: why == ""}, nil
	}
	g, err := film.Glints(s.worn(parts, apply, tilt))
	return swatches.Sparkle{Word: g.Word, PerCM2: g.PerCM2}, input(err)
}

// shimmer says how much the flakes sparkle and, where lit is set, puts them
// under a lamp. A powder known only by its spectrum has no flakes to picture;
// the card then stays flat and says so. So does a blend without flakes.
func (r *BlendResult) shimmer(c *swatches.Card, worn []film.Coverage, lit bool) (err error) {
	s := r.setting
	if c.Sparkle, err = s.sparkle(r.Blend.parts, s.apply, s.tilt); err != nil {
		return err
	}
	shows, why := pictured(r.Blend.parts)
	if lit && why != "" {
		c.Remarks = append(c.Remarks, why)
	}
	if !lit || !shows {
		return nil
	}
	if c.Skin.Film, err = shimmer.Of(s.worn(nil, 0, s.tilt)); err != nil {
		return input(err)
	}
	for i, cov := range worn {
		if c.Coverages[i].Film, err = shimmer.Of(s.worn(r.Blend.parts, cov.MgPerCM2, cov.SigmaDeg)); err != nil {
			return input(err)
		}
	}
	return nil
}

// jars returns the product in the jar, too deep to see through: a lotion wet
// and as its dried film in depth, an oil as it is.
func (s *setting) jars(parts []film.Part) ([]swatches.Patch, error) {
	deep := func(name string, base film.Base) (swatches.Patch, error) {
		w := s.worn(parts, 1, 0)
		w.Base = base
		r, err := film.InTheJar(w)
		return swatches.Patch{Name: name, Lab: s.viewing.Lab(&r)}, input(err)
	}
	if !s.base.HasWater() {
		oil, err := deep("in the jar", s.optics)
		return []swatches.Patch{oil}, err
	}
	wet, err := film.WetLotion(s.base.OilShare(), s.optics.Index)
	if err != nil {
		return nil, input(err)
	}
	jar, err := deep("in the jar, wet", wet)
	if err != nil {
		return nil, err
	}
	dry, err := deep("dried, in depth", s.optics)
	return []swatches.Patch{jar, dry}, err
}

// JarView is the product in the jar as data.
type JarView struct {
	Name string     `json:"name"`
	Lab  colour.Lab `json:"lab"` // under the light asked for
	Hex  string     `json:"hex"`
}

// jarViews is the product in the jar, or nothing where no look is predicted.
func (s *setting) jarViews(parts []film.Part) (views []JarView, err error) {
	if s.weighOnly || s.quick {
		return nil, nil
	}
	jars, err := s.jars(parts)
	for _, j := range jars {
		views = append(views, JarView{j.Name, j.Lab, hexOf(s.viewing, j.Lab)})
	}
	return views, err
}

// undertoneWords compares the hue of a worn blend with that of the bare skin.
func undertoneWords(bare, worn colour.Lab) string {
	short := undertoneShort(bare, worn)
	for _, word := range []string{colour.WarmthWords.Up, colour.WarmthWords.Down} {
		if rest, ok := strings.CutPrefix(short, word); ok {
			return word + " than the skin" + rest
		}
	}
	return strings.Replace(short, "skin", "the skin", 1)
}

// undertoneShort is undertoneWords for a narrow column.
func undertoneShort(bare, worn colour.Lab) string {
	d := colour.HueTurn(bare.LCh().H, worn.LCh().H)
	switch {
	case worn.Chroma() < 3:
		return "almost colourless"
	case math.Abs(d) > 2:
		return fmt.Sprintf("%s by\u00a0%.0f°", colour.WarmthWords.Of(d), math.Abs(d))
	}
	return "as warm as skin"
}

func (s *setting) lightWords() string {
	if l := s.viewing.Illuminant; l.Plain != "" {
		return l.Plain
	}
	return s.viewing.Illuminant.Name
}

func (s *setting) balance() float64 {
	if s.in.Balance == 0 {
		return DefaultBalance
	}
	return s.in.Balance
}
