package job

import (
	"tawny/blend/batch"
	"tawny/blend/palette"
)

// BaseView is a base with what the checks say of it.
type BaseView struct {
	batch.Base
	SumPercent float64         `json:"sumPercent"`
	HasWater   bool            `json:"hasWater"`
	Findings   []batch.Finding `json:"findings"`
}

// Bases lists the built-in bases.
func Bases() (BaseList, error) {
	list, err := batch.Builtin()
	if err != nil {
		return nil, err
	}
	var views []BaseView
	for _, b := range list {
		views = append(views, viewBase(b, batch.Use{}))
	}
	return views, nil
}

// BaseOf checks a base, built in or from a file, alone or with the powders, area
// and scent it is to carry.
func BaseOf(name string, in Input) (*BaseView, error) {
	b, err := in.lent().base(name)
	if err != nil {
		return nil, err
	}
	in.Base, in.Skin = name, orElse(in.Skin, "light")
	use := batch.Use{NozzleUM: in.Bench.NozzleUM}
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	c, err := s.choice()
	if err != nil {
		return nil, err
	}
	use.Area = c.Area
	if len(in.Parts) > 0 {
		if err := s.openDrawer(); err != nil {
			return nil, err
		}
		parts, err := s.parts(in.Parts)
		if err != nil {
			return nil, err
		}
		for _, p := range parts {
			use.Parts = append(use.Parts, batch.Part{Pigment: p.Pigment, Percent: p.Percent})
		}
	}
	r := batch.Request{}
	if err := in.Bench.apply(&r); err != nil {
		return nil, err
	}
	use.Scent = r.Scent
	v := viewBase(b, use)
	return &v, nil
}

func viewBase(b batch.Base, use batch.Use) BaseView {
	if use.Area == "" {
		use.Area = palette.Body
	}
	return BaseView{Base: b, SumPercent: b.Sum(), HasWater: b.HasWater(), Findings: batch.Check(b, use)}
}

// ToMend counts the findings that must be mended before the base is made:
// what may not be made or sold, and what is wrong.
func (v *BaseView) ToMend() (stops, faults int) {
	for _, f := range v.Findings {
		switch f.Severity {
		case batch.Stop:
			stops++
		case batch.Fault:
			faults++
		}
	}
	return stops, faults
}
