package work

import (
	"fmt"

	"tawny/blend"
	"tawny/blend/batch"
)

// batchOf scales a blend into the setting's base.
func (s *setting) batchOf(title string, v *BlendView, t *target) (*batch.Batch, error) {
	balance, err := batch.NewBalance(s.balance())
	if err != nil {
		return nil, input(err)
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
		return nil, inputf("grams and containers are both given; one is accepted")
	case s.in.Containers > 0:
		r.Containers, r.ContainerML = s.in.Containers, s.in.ML
	default:
		r.Grams = s.batchGrams()
	}
	for _, p := range v.parts {
		r.Parts = append(r.Parts, batch.Part{Pigment: p.Pigment, Percent: p.Percent})
	}
	if err := s.in.Bench.apply(&r); err != nil {
		return nil, err
	}
	b, err := batch.Scale(r)
	if err != nil {
		return nil, input(err)
	}
	return b, s.in.Bench.price(b)
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
