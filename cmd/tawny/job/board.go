package job

import (
	"context"
	"fmt"
	"strings"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/swatches"
	"tawny/swatches/shimmer"
)

// BoardKinds lists the boards: one blend at several loads, coverages or
// lights, or the best blends on several skins.
var BoardKinds = []string{"loads", "coverages", "lights", "skins"}

// Board draws a table of looks of kind loads, coverages or lights; loads are
// % w/w, nil for a usual ladder.
func (r *BlendResult) Board(kind string, loads []float64, o CardOptions) (*swatches.Board, error) {
	s := r.setting
	b := &swatches.Board{Heading: swatches.Heading{Title: r.title(), Note: s.in.note(), Date: s.in.lent().today(), Source: r.Blend.Source}, Seed: o.Seed, Rig: o.Rig}
	weigh, err := r.weigh()
	if err != nil {
		return nil, err
	}
	b.Blend = weigh
	o = r.lit(b, o)
	switch kind {
	case "loads":
		if len(loads) == 0 {
			loads = []float64{1, 2, 3, 4, 6}
		}
		row := r.row(s.wearer(), s.viewing)
		for _, load := range loads {
			b.Columns = append(b.Columns, fmt.Sprintf("%.4g %%", load))
			if err := r.look(&row, film.Scaled(r.Blend.parts, load), s.apply, s.tilt, o); err != nil {
				return nil, err
			}
		}
		b.Rows = append(b.Rows, row)
		b.Remarks = append(b.Remarks, fmt.Sprintf("Columns: load, %% w/w of the product. Worn at %s. Weights are for %.4g %%; the powders keep their shares at every load.", s.coverageWords(), r.Blend.LoadPercent))
	case "coverages", "lights":
		views := []*colour.Viewing{s.viewing}
		if kind == "lights" {
			views = append(views, s.second)
		}
		worn, _ := film.Beside(s.apply, s.tilt)
		b.Columns = coverageColumns(worn)
		for _, v := range views {
			name := s.wearer()
			if kind == "lights" {
				name = v.Illuminant.Name
			}
			row := r.row(name, v)
			for _, c := range worn {
				if err := r.look(&row, r.Blend.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
					return nil, err
				}
			}
			b.Rows = append(b.Rows, row)
		}
		if kind == "lights" {
			b.Remarks = append(b.Remarks, r.shiftRemark())
		}
	default:
		return nil, inputf("board %q; %s is accepted", kind, strings.Join(BoardKinds, ", "))
	}
	b.Remarks = append(b.Remarks, s.extrapolated()...)
	return b, nil
}

// row begins a row under a light, bare skin first; what was aimed at holds for
// the light matched in.
func (r *BlendResult) row(name string, v *colour.Viewing) swatches.BoardRow {
	row := swatches.BoardRow{Name: name, Viewing: v, Skin: swatches.Patch{Name: "bare skin", Lab: v.Lab(&r.setting.skin.Reflectance)}}
	if r.target != nil && v == r.setting.viewing {
		row.Target = &swatches.Patch{Name: r.target.view.Words, Lab: r.target.view.Lab}
	}
	return row
}

// wearer is who wears it: the demo's dancer, else the skin's name.
func (s *setting) wearer() string { return orElse(s.in.demoDancer, s.skin.Name) }

// coverageColumns names coverages with their amounts.
func coverageColumns(worn []film.Coverage) (names []string) {
	for _, c := range worn {
		names = append(names, fmt.Sprintf("%s %.3g\u00a0mg/cm²", c.Name, c.MgPerCM2))
	}
	return names
}

// coverageWords says how thickly the setting's product is worn.
func (s *setting) coverageWords() string {
	words := fmt.Sprintf("%.3g mg/cm²", s.apply)
	if s.coverage != "" {
		words += " (" + s.coverage + ")"
	}
	return words
}

// lit leaves the lamp out where it would show nothing, and says why on the
// board where that is not for want of flakes.
func (r *BlendResult) lit(b *swatches.Board, o CardOptions) CardOptions {
	shows, why := pictured(r.Blend.parts)
	if o.Shimmer && why != "" {
		b.Remarks = append(b.Remarks, why)
	}
	o.Shimmer = o.Shimmer && shows
	return o
}

// look adds a worn blend to a row, with its flakes where they are pictured.
func (r *BlendResult) look(row *swatches.BoardRow, parts []film.Part, apply, tilt float64, o CardOptions) error {
	w := r.setting.worn(parts, apply, tilt)
	w.Light = row.Viewing
	look, err := film.Predict(w)
	if err != nil {
		return input(err)
	}
	l := swatches.Look{Lab: look.Lab, Words: []string{undertoneShort(row.Skin.Lab, look.Lab)}}
	if l.Sparkle, err = r.setting.sparkle(parts, apply, tilt); err != nil {
		return err
	}
	if o.Shimmer {
		if row.Skin.Film == nil {
			bare := w
			bare.Parts, bare.Apply = nil, 0
			if row.Skin.Film, err = shimmer.Of(bare); err != nil {
				return input(err)
			}
		}
		if l.Film, err = shimmer.Of(w); err != nil {
			return input(err)
		}
	}
	row.Looks = append(row.Looks, l)
	return nil
}

// SkinBlend is a blend on one of several skins.
type SkinBlend struct {
	Skin  SkinView  `json:"skin"`
	Blend BlendView `json:"blend"`
}

// SkinsBoard sets the same blend, or the best match for each skin, on several
// skins: a row a skin, bare skin first.
func SkinsBoard(ctx context.Context, in Input, skins []string, o CardOptions) (*swatches.Board, []SkinBlend, error) {
	if len(skins) < 2 || len(skins) > 6 {
		return nil, nil, inputf("%d skins; 2 to 6 are accepted", len(skins))
	}
	b := &swatches.Board{Heading: swatches.Heading{Title: orElse(in.Title, "On several skins"), Note: in.note(), Date: in.lent().today()}, Seed: o.Seed, Rig: o.Rig}
	stated := len(in.Parts) > 0
	var blends []*BlendResult
	var weighs []*swatches.Blend
	for _, name := range skins {
		one := in
		one.Skin, one.Rank = name, 1
		r, _, err := one.blended(ctx, nil)
		if err != nil {
			return nil, nil, err
		}
		weigh, err := r.weigh()
		if err != nil {
			return nil, nil, err
		}
		blends, weighs = append(blends, r), append(weighs, weigh)
		if shows, _ := pictured(r.Blend.parts); !shows {
			o = r.lit(b, o) // a board is lit as a whole or not at all
		}
	}
	first := blends[0]
	worn, matched := film.Beside(first.setting.apply, first.setting.tilt)
	b.Columns = coverageColumns(worn)
	if stated {
		b.Blend = weighs[0]
	}
	var beyond []string
	var told []SkinBlend
	for i, r := range blends {
		row := r.row(r.setting.skin.Name, r.setting.viewing)
		for _, c := range worn {
			if err := r.look(&row, r.Blend.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
				return nil, nil, err
			}
		}
		if !stated {
			row.Words = r.recipe(weighs[i], worn[matched].Name)
			for i := range row.Looks {
				row.Looks[i].Words, row.Looks[i].Sparkle = nil, swatches.Sparkle{}
			}
		}
		b.Rows = append(b.Rows, row)
		told = append(told, SkinBlend{r.Skin, r.Blend})
		b.Source = r.Blend.Source
		if r.setting.skin.Extrapolated {
			beyond = append(beyond, r.setting.skin.Name)
		}
	}
	if !stated {
		b.Remarks = append(b.Remarks, fmt.Sprintf("Each skin's own blend, matched at %s; weights are for %.4g g of %s.", first.setting.coverageWords(), weighs[0].BatchGrams, weighs[0].Base))
	}
	if len(beyond) > 0 {
		b.Remarks = append(b.Remarks, strings.Join(beyond, ", ")+": skin outside those the model was fitted to, so its spectrum is extrapolated.")
	}
	return b, told, nil
}

// recipe is a row's own blend in lines: what to weigh, then how it looks worn
// as it was matched.
func (r *BlendResult) recipe(w *swatches.Blend, at string) []string {
	var words []string
	for _, part := range w.Parts {
		words = append(words, fmt.Sprintf("%s %.2f\u00a0%%\u00a0(%.*f\u00a0g)", part.Powder, part.Percent, w.Decimals, part.Grams))
	}
	look := at + ": " + undertoneWords(r.setting.viewing.Lab(&r.setting.skin.Reflectance), r.Blend.Lab)
	if s, err := r.setting.sparkle(r.Blend.parts, r.setting.apply, r.setting.tilt); err == nil && s.Words() != "" {
		look += "; shimmer " + s.Words()
	}
	return []string{strings.Join(words, " + ") + fmt.Sprintf(" =\u00a0load\u00a0%.4g\u00a0%%", r.Blend.LoadPercent), look}
}
