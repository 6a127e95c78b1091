package job

import (
	"encoding/json"

	"tawny/blend/batch"
	"tawny/blend/book"
)

// BlendRecord is the blend as the book keeps it. request is what was asked,
// kept whole so that it can be asked again.
func (r *BlendResult) BlendRecord(request json.RawMessage) (book.Blend, error) {
	document, err := json.Marshal(r)
	if err != nil {
		return book.Blend{}, err
	}
	b := book.Blend{
		Name: r.title(), Base: r.setting.base.Name, Skin: &r.Skin.Lab, Predicted: r.Blend.compared, Target: r.Blend.compared,
		SkinGeometry: string(r.Skin.Geometry), Geometry: string(r.Skin.Geometry),
		DE00: r.Blend.DeltaE00, LoadPercent: r.Blend.LoadPercent, AppliedMgCM2: &r.setting.apply,
		Request: request, Document: document,
	}
	if r.Target != nil {
		b.Target, b.Geometry = r.Target.Lab, string(r.Target.Geometry)
	}
	for _, p := range r.Blend.parts {
		b.Powders = append(b.Powders, book.BlendPowder{PowderName: p.Pigment.Name, Lot: p.Pigment.Lot, Percent: p.Percent})
	}
	return b, nil
}

// BatchRecord is the blend's batch as the book keeps it, planned and not yet
// weighed.
func (r *BlendResult) BatchRecord(request json.RawMessage) (book.Batch, error) {
	b, err := r.Batch()
	if err != nil {
		return book.Batch{}, err
	}
	document, err := json.Marshal(b)
	if err != nil {
		return book.Batch{}, err
	}
	rec := book.Batch{
		Name: r.title(), Base: r.setting.base.Name, PlannedG: b.TotalG, LoadPercent: r.Blend.LoadPercent,
		Request: request, Document: document,
	}
	if n := int64(r.setting.in.Containers); n > 0 {
		ml := r.setting.in.ML
		rec.Containers, rec.ContainerML = &n, &ml
	}
	for _, w := range b.Weighings {
		role := "base"
		if w.Phase == batch.PhasePowder {
			role = "powder"
		}
		rec.Weights = append(rec.Weights, book.Weight{Role: role, Name: w.Name, Lot: w.Lot, PlannedG: w.Grams})
	}
	return rec, nil
}
