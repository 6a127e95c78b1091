package work

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend"
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
	b := &swatches.Board{Title: p.title, Note: orElse(s.in.note(), blendWords(p.v)), Date: Today(), Source: p.v.Source, Seed: o.Seed}
	row := func(name string, v *colour.Viewing) swatches.BoardRow {
		r := swatches.BoardRow{Name: name, Viewing: v, Skin: swatches.Patch{Name: "bare skin", Lab: v.Lab(&s.skin.Reflectance)}}
		if p.t != nil && v == s.viewing {
			r.Target = &swatches.Patch{Name: p.t.view.Text, Lab: p.t.view.Lab}
		}
		return r
	}
	switch kind {
	case "loads":
		if len(loads) == 0 {
			loads = []float64{1, 2, 3, 4, 6}
		}
		r := row(s.skin.Name, s.viewing)
		for _, load := range loads {
			if !(load > 0 && load <= blend.MaxLoad) {
				return nil, inputf("load %g %%; more than 0 and at most %g %% w/w is accepted", load, blend.MaxLoad)
			}
			b.Columns = append(b.Columns, fmt.Sprintf("%.4g %%", load))
			if err := p.look(&r, scaledParts(p.v.parts, load), s.apply, s.tilt, o); err != nil {
				return nil, err
			}
		}
		b.Rows = append(b.Rows, r)
	case "coverages", "lights":
		views := []*colour.Viewing{s.viewing}
		if kind == "lights" {
			views = append(views, s.second)
		}
		for _, c := range film.Coverages {
			b.Columns = append(b.Columns, fmt.Sprintf("%s %.3g mg/cm²", c.Name, c.MgPerCM2))
		}
		for _, v := range views {
			r := row(v.Illuminant.Name, v)
			for _, c := range film.Coverages {
				if err := p.look(&r, p.v.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
					return nil, err
				}
			}
			b.Rows = append(b.Rows, r)
		}
	default:
		return nil, inputf("board %q; %s is accepted", kind, strings.Join(BoardKinds, ", "))
	}
	return b, nil
}

// look adds a worn blend to a row, with its flakes where they are pictured.
func (p *piece) look(r *swatches.BoardRow, parts []blend.Part, apply, tilt float64, o CardOptions) error {
	w := p.s.worn(parts, apply, tilt)
	w.Light = r.Viewing
	look, err := blend.Predict(w)
	if err != nil {
		return input(err)
	}
	l := swatches.Look{Lab: look.Lab}
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
func scaledParts(parts []blend.Part, load float64) []blend.Part {
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

// SkinsBoard sets the same blend, or the best match for each skin, on several
// skins: a row a skin, bare skin first.
func SkinsBoard(ctx context.Context, in BlendInput, skins []string, o CardOptions) (*swatches.Board, error) {
	if len(skins) < 2 || len(skins) > 6 {
		return nil, inputf("%d skins; 2 to 6 are accepted", len(skins))
	}
	b := &swatches.Board{Title: orElse(in.Title, "On several skins"), Date: Today(), Seed: o.Seed}
	for _, c := range film.Coverages {
		b.Columns = append(b.Columns, fmt.Sprintf("%s %.3g mg/cm²", c.Name, c.MgPerCM2))
	}
	for _, name := range skins {
		one := in
		one.Skin = name
		p, err := one.pieceFor(ctx)
		if err != nil {
			return nil, err
		}
		r := swatches.BoardRow{
			Name: p.s.skin.Name, Viewing: p.s.viewing,
			Skin: swatches.Patch{Name: "bare skin", Lab: p.s.viewing.Lab(&p.s.skin.Reflectance)},
		}
		if p.t != nil {
			r.Target = &swatches.Patch{Name: p.t.view.Text, Lab: p.t.view.Lab}
		}
		for _, c := range film.Coverages {
			if err := p.look(&r, p.v.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
				return nil, err
			}
		}
		b.Rows = append(b.Rows, r)
		b.Source = p.v.Source
		if len(in.Parts) == 0 {
			b.Remarks = append(b.Remarks, fmt.Sprintf("%s: %s, ΔE00 %.1f.", p.s.skin.Name, blendWords(p.v), p.v.DeltaE00))
		} else {
			b.Note = blendWords(p.v)
		}
	}
	return b, nil
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
