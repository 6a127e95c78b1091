package job

import (
	"context"
	"fmt"
	"slices"
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
func (p *piece) board(kind string, loads []float64, o CardOptions) (*swatches.Board, error) {
	s := p.s
	b := &swatches.Board{Title: p.title, Note: s.in.note(), Date: s.in.today(), Source: p.v.Source, Seed: o.Seed}
	weigh := p.weigh()
	b.Blend = &weigh
	o = p.lit(b, o)
	row := func(name string, v *colour.Viewing) swatches.BoardRow {
		r := swatches.BoardRow{Name: name, Viewing: v, Skin: swatches.Patch{Name: "bare skin", Lab: v.Lab(&s.skin.Reflectance)}}
		if p.t != nil && v == s.viewing {
			r.Target = &swatches.Patch{Name: p.t.view.Words, Lab: p.t.view.Lab}
		}
		return r
	}
	switch kind {
	case "loads":
		if len(loads) == 0 {
			loads = []float64{1, 2, 3, 4, 6}
		}
		r := row(s.wearer(), s.viewing)
		for _, load := range loads {
			if !(load > 0 && load <= film.MaxLoad) {
				return nil, inputf("load %g %%; more than 0 and at most %g %% w/w is accepted", load, film.MaxLoad)
			}
			b.Columns = append(b.Columns, fmt.Sprintf("%.4g %%", load))
			if err := p.look(&r, scaledParts(p.v.parts, load), s.apply, s.tilt, o); err != nil {
				return nil, err
			}
		}
		b.Rows = append(b.Rows, r)
		b.Remarks = append(b.Remarks, fmt.Sprintf("Columns: load, %% w/w of the product. Worn at %s. Weights are for %.4g %%; the powders keep their shares at every load.", s.coverageWords(), p.v.LoadPercent))
	case "coverages", "lights":
		views := []*colour.Viewing{s.viewing}
		if kind == "lights" {
			views = append(views, s.second)
		}
		worn, _ := s.coverages()
		b.Columns = coverageColumns(worn)
		for _, v := range views {
			name := s.wearer()
			if kind == "lights" {
				name = v.Illuminant.Name
			}
			r := row(name, v)
			for _, c := range worn {
				if err := p.look(&r, p.v.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
					return nil, err
				}
			}
			b.Rows = append(b.Rows, r)
		}
		if kind == "lights" {
			b.Remarks = append(b.Remarks, p.shiftRemark())
		}
	default:
		return nil, inputf("board %q; %s is accepted", kind, strings.Join(BoardKinds, ", "))
	}
	b.Remarks = append(b.Remarks, s.extrapolated()...)
	return b, nil
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
func (p *piece) lit(b *swatches.Board, o CardOptions) CardOptions {
	shows, why := pictured(p.v.parts)
	if o.Shimmer && why != "" {
		b.Remarks = append(b.Remarks, why)
	}
	o.Shimmer = o.Shimmer && shows
	return o
}

// look adds a worn blend to a row, with its flakes where they are pictured.
func (p *piece) look(r *swatches.BoardRow, parts []film.Part, apply, tilt float64, o CardOptions) error {
	w := p.s.worn(parts, apply, tilt)
	w.Light = r.Viewing
	look, err := film.Predict(w)
	if err != nil {
		return input(err)
	}
	l := swatches.Look{Lab: look.Lab, Words: []string{undertoneShort(r.Skin.Lab, look.Lab)}}
	if l.Sparkle, err = p.s.sparkle(parts, apply, tilt); err != nil {
		return err
	}
	if o.Shimmer {
		if r.Skin.Film == nil {
			bare := w
			bare.Parts, bare.Apply = nil, 0
			if r.Skin.Film, err = shimmer.Of(bare); err != nil {
				return input(err)
			}
		}
		if l.Film, err = shimmer.Of(w); err != nil {
			return input(err)
		}
	}
	r.Looks = append(r.Looks, l)
	return nil
}

// scaledParts is a blend at another load, its shares kept.
func scaledParts(parts []film.Part, load float64) []film.Part {
	sum := 0.0
	for _, p := range parts {
		sum += p.Percent
	}
	scaled := slices.Clone(parts)
	for i := range scaled {
		scaled[i].Percent *= load / sum
	}
	return scaled
}

// blendWords names powders with their shares of the product.
func blendWords(v *BlendView) string {
	var words []string
	for _, p := range v.Parts {
		words = append(words, fmt.Sprintf("%s %.2f %%", p.Powder, p.Percent))
	}
	return strings.Join(words, " + ")
}

// Board draws one blend at several loads, coverages or lights.
func (m *MatchResult) Board(rank int, kind string, loads []float64, o CardOptions) (*swatches.Board, error) {
	p, err := m.piece(rank)
	if err != nil {
		return nil, err
	}
	return p.board(kind, loads, o)
}

// Board draws the blend at several loads, coverages or lights.
func (r *BlendResult) Board(kind string, loads []float64, o CardOptions) (*swatches.Board, error) {
	p, err := r.piece()
	if err != nil {
		return nil, err
	}
	return p.board(kind, loads, o)
}

// SkinBlend is a blend on one of several skins.
type SkinBlend struct {
	Skin  SkinView  `json:"skin"`
	Blend BlendView `json:"blend"`
}

// SkinsBoard sets the same blend, or the best match for each skin, on several
// skins: a row a skin, bare skin first.
func SkinsBoard(ctx context.Context, in BlendInput, skins []string, o CardOptions) (*swatches.Board, []SkinBlend, error) {
	if len(skins) < 2 || len(skins) > 6 {
		return nil, nil, inputf("%d skins; 2 to 6 are accepted", len(skins))
	}
	b := &swatches.Board{Title: orElse(in.Title, "On several skins"), Note: in.note(), Date: in.today(), Seed: o.Seed}
	var pieces []*piece
	for _, name := range skins {
		one := in
		one.Skin = name
		p, err := one.pieceFor(ctx)
		if err != nil {
			return nil, nil, err
		}
		pieces = append(pieces, p)
		if shows, _ := pictured(p.v.parts); !shows {
			o = p.lit(b, o) // a board is lit as a whole or not at all
		}
	}
	worn, matched := pieces[0].s.coverages()
	b.Columns = coverageColumns(worn)
	stated := len(in.Parts) > 0
	if stated {
		weigh := pieces[0].weigh()
		b.Blend = &weigh
	}
	var beyond []string
	var told []SkinBlend
	for _, p := range pieces {
		r := swatches.BoardRow{
			Name: p.s.skin.Name, Viewing: p.s.viewing,
			Skin: swatches.Patch{Name: "bare skin", Lab: p.s.viewing.Lab(&p.s.skin.Reflectance)},
		}
		if p.t != nil {
			r.Target = &swatches.Patch{Name: p.t.view.Words, Lab: p.t.view.Lab}
		}
		for _, c := range worn {
			if err := p.look(&r, p.v.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
				return nil, nil, err
			}
		}
		if !stated {
			r.Words = p.recipe(worn[matched].Name)
			for i := range r.Looks {
				r.Looks[i].Words, r.Looks[i].Sparkle = nil, swatches.Sparkle{}
			}
		}
		b.Rows = append(b.Rows, r)
		told = append(told, SkinBlend{p.s.skinView(false), *p.v})
		b.Source = p.v.Source
		if p.s.skin.Extrapolated {
			beyond = append(beyond, p.s.skin.Name)
		}
	}
	if !stated {
		first := pieces[0]
		b.Remarks = append(b.Remarks, fmt.Sprintf("Each skin's own blend, matched at %s; weights are for %.4g g of %s.", first.s.coverageWords(), first.batch.TotalG, first.s.base.Name))
	}
	if len(beyond) > 0 {
		b.Remarks = append(b.Remarks, strings.Join(beyond, ", ")+": skin outside those the model was fitted to, so its spectrum is extrapolated.")
	}
	return b, told, nil
}

// recipe is a row's own blend in lines: what to weigh, then how it looks worn
// as it was matched.
func (p *piece) recipe(at string) []string {
	grams := weighed(p.batch)
	var words []string
	for _, part := range p.v.Parts {
		words = append(words, fmt.Sprintf("%s %.2f\u00a0%%\u00a0(%.*f\u00a0g)", part.Powder, part.Percent, decimals(p.s.balance()), grams[part.Powder]))
	}
	look := at + ": " + undertoneWords(p.s.viewing.Lab(&p.s.skin.Reflectance), p.v.Lab)
	if s, err := p.s.sparkle(p.v.parts, p.s.apply, p.s.tilt); err == nil && s.Words() != "" {
		look += "; shimmer " + s.Words()
	}
	return []string{strings.Join(words, " + ") + fmt.Sprintf(" =\u00a0load\u00a0%.4g\u00a0%%", p.v.LoadPercent), look}
}

// pieceFor is the stated blend, or the best match.
func (in BlendInput) pieceFor(ctx context.Context) (*piece, error) {
	if len(in.Parts) > 0 {
		r, err := Blend(in)
		if err != nil {
			return nil, err
		}
		return r.piece()
	}
	m, err := Match(ctx, in.Input, nil)
	if err != nil {
		return nil, err
	}
	return m.piece(1)
}
