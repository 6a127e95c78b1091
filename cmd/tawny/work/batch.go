package work

import (
	"context"
	"fmt"

	"tawny/blend"
	"tawny/blend/batch"
	"tawny/colour"
)

// batchOf scales a blend into the setting's base, its powders rounded to the
// balance where that costs the look least.
func (s *setting) batchOf(title string, v *BlendView, t *target) (*batch.Batch, error) {
	r, err := s.batchRequest(title, v, t)
	if err != nil {
		return nil, err
	}
	b, err := batch.Scale(r)
	if err != nil {
		return nil, input(err)
	}
	if len(v.parts) > 0 {
		q, err := s.request(t.orLook(v))
		if err != nil {
			return nil, err
		}
		q.LoadLo, q.LoadHi = v.LoadPercent, v.LoadPercent
		q.Choice = blend.Choice{}
		made := blend.Blend{Parts: v.parts, LoadPercent: v.LoadPercent}
		rounded, err := blend.Round(context.Background(), q, made, b.TotalG, s.balance())
		if err != nil {
			return nil, input(err)
		}
		r.PowderGrams = rounded.Grams
		r.Look.DeltaE00 = rounded.Blend.DeltaE00
		if b, err = batch.Scale(r); err != nil {
			return nil, input(err)
		}
		b.Notes = append(b.Notes, weighingNote(rounded, s.balance()))
	}
	return b, s.in.Bench.price(b)
}

// weighingNote says what the balance does to the shade.
func weighingNote(r blend.Rounded, step float64) string {
	note := fmt.Sprintf("Weighed to %g g the shade moves by ΔE00 %.2f (%s).", step, r.Apart, colour.DifferenceWords(r.Apart))
	if r.Apart >= 0.2 {
		note += " A larger batch or a finer balance would keep it closer."
	}
	return note
}

// orLook is the target, or the blend's own look where nothing was aimed at.
func (t *target) orLook(v *BlendView) *target {
	if t != nil {
		return t
	}
	return &target{view: TargetView{Lab: v.Lab, SecondLab: v.SecondLab}}
}

func (s *setting) batchRequest(title string, v *BlendView, t *target) (batch.Request, error) {
	balance, err := batch.NewBalance(s.balance())
	if err != nil {
		return batch.Request{}, input(err)
	}
	r := batch.Request{
		Base: s.base, Balance: balance, Title: title, Date: Today(),
		Area: blend.Area(orElse(s.in.Area, string(blend.Body))),
		Look: &batch.Look{
			Skin: s.skin.Name, ApplyMgCm2: s.apply, Source: v.Source, DeltaE00: v.DeltaE00,
			Lab: fmt.Sprintf("L* %.1f a* %.1f b* %.1f", v.Lab.L, v.Lab.A, v.Lab.B),
		},
	}
	if t != nil {
		r.Look.Target = t.view.Text
	}
	switch {
	case s.in.Containers > 0 && s.in.Grams > 0:
		return r, inputf("grams and containers are both given; one is accepted")
	case s.in.Containers > 0:
		r.Containers, r.ContainerML = s.in.Containers, s.in.ML
	default:
		r.Grams = s.batchGrams()
	}
	for _, p := range v.parts {
		r.Parts = append(r.Parts, batch.Part{Pigment: p.Pigment, Percent: p.Percent})
	}
	return r, s.in.Bench.apply(&r)
}

// What a batch for containers allows beyond their nominal content: common
// practice for hand filling.
const (
	DefaultOverfill = 1.0 // %
	DefaultLoss     = 4.0 // %, left on pans and spatulas
)

// weighed returns each powder's grams in a batch.
func weighed(b *batch.Batch) map[string]float64 {
	grams := map[string]float64{}
	for _, w := range b.Weighings {
		if w.Phase == batch.PhasePowder {
			grams[w.Name] = w.Grams
		}
	}
	return grams
}
