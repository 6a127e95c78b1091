package job

import (
	"encoding/json"

	"tawny/blend/batch"
	"tawny/blend/book"
)

// records are the blend and its batch, planned and not yet weighed, as the book keeps
// them. request is what was asked, kept whole so that it can be asked again.
func (r *BlendResult) records(request json.RawMessage, client int64, note string) (b book.Blend, planned book.Batch, err error) {
	made, err := r.Batch()
	if err != nil {
		return b, planned, err
	}
	b = book.Blend{
		Name: r.title(), ClientID: client, Base: r.setting.base.Name,
		DE00: r.Blend.DeltaE00, LoadPercent: r.Blend.LoadPercent, AppliedMgCM2: &r.setting.apply, Request: request, Note: note,
	}
	if !r.setting.weighOnly {
		b.Skin, b.Predicted, b.Target = &r.Skin.Lab, &r.Blend.compared, &r.Blend.compared
		b.SkinGeometry, b.Geometry = string(r.Skin.Geometry), string(r.Skin.Geometry)
	}
	if r.Target != nil {
		b.Target, b.Geometry = &r.Target.Lab, string(r.Target.Geometry)
	}
	if u := r.Blend.Uncertainty; u != nil {
		b.DE00At95 = &u.DeltaE95
	}
	for _, p := range r.Blend.parts {
		b.Powders = append(b.Powders, book.BlendPowder{PowderName: p.Pigment.Name, Lot: p.Pigment.Lot, Percent: p.Percent})
	}
	planned = book.Batch{
		Name: b.Name, ClientID: client, Base: b.Base, PlannedG: made.TotalG, LoadPercent: b.LoadPercent, Request: request, Note: note,
	}
	if n := int64(r.setting.in.Containers); n > 0 {
		planned.Containers, planned.ContainerML = &n, new(r.setting.in.ML)
	}
	if c := made.Cost; c != nil && len(c.Missing) == 0 {
		planned.Cost = &c.Total
	}
	for _, w := range made.Weighings {
		role := "base"
		if w.Phase == batch.PhasePowder {
			role = "powder"
		}
		planned.Weights = append(planned.Weights, book.Weight{Role: role, Name: w.Name, Lot: w.Lot, PlannedG: w.Grams})
	}
	if b.Document, err = json.Marshal(r); err == nil {
		planned.Document, err = json.Marshal(made)
	}
	return b, planned, err
}
