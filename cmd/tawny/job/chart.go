package job

import (
	"context"
	"math"
	"strings"

	"tawny/blend/film"
	"tawny/blend/mend"
	"tawny/colour"
	"tawny/swatches"
)

var chartJob = &Job{
	Name:  "chart",
	Short: "Draw a blend as a chart",
	Long: `Draws a chart into --out (default the current folder): reflectance of skin and
film against wavelength; plane, where skin, target and blend stand on the a*b*
plane with what pairs from the drawer reach; or load, the colour against the
load. The blend is given with --part, or matched first.`,
	Example: "  tawny chart --demo --kind plane --out demo\n  tawny chart --skin tan --part 'pale gold=2' --kind load --format pdf",
	New: func() Task {
		in := &Input{}
		p := &picture{}
		kind := "reflectance"
		fields := append(p.fields(in),
			Field{Name: "kind", Words: strings.Join(chartKinds, ", ") + " (default reflectance)", Choices: chartKinds, To: &kind},
			outField("."))
		for i, f := range fields {
			fields[i].Hidden = f.Name == "wide" || f.Name == "flat" || f.Name == "seed" || f.Name == "rig" || f.Name == "paper"
		}
		return in.asking(func(ctx context.Context, env *Env, asked Input) (Result, error) {
			blend, r, err := asked.blended(ctx, env.Progress)
			if err != nil {
				return nil, err
			}
			d, err := blend.Chart(kind)
			if err != nil {
				return nil, err
			}
			p.wide = true
			paper := p.paper()
			return quiet{r}, env.drawn("chart-"+kind, p.format, paper, d)
		}, in.matchGroups(Group{Title: "Picture", Fields: fields})...)
	},
}

var chartKinds = []string{"reflectance", "plane", "load"}

// Chart draws a blend as a chart: its reflectance, its place on the a*b*
// plane, or its colour against the load.
func (r *BlendResult) Chart(kind string) (swatches.Drawing, error) {
	s := r.setting
	head := swatches.Heading{Title: r.title(), Note: orElse(s.in.note(), r.Blend.shares(2)), Date: s.in.lent().today(), Source: r.Blend.Source}
	var curves [2]colour.Spectrum
	for i, w := range []film.Worn{r.seen(nil, 0, s.tilt), r.seen(r.Blend.parts, s.apply, s.tilt)} {
		var err error
		if curves[i], err = film.Diffuse(w); err != nil {
			return nil, input(err)
		}
	}
	bare := swatches.Patch{Name: "bare skin", Lab: s.viewing.Lab(&curves[0])}
	var aim *swatches.Patch
	if r.target != nil {
		aim = &swatches.Patch{Name: "target", Lab: r.target.view.Lab}
		head.Note = strings.Join(nonEmpty(head.Note, r.readAs()), ". ")
	}
	switch kind {
	case "reflectance":
		c := &swatches.ReflectanceChart{Heading: head, Viewing: s.viewing}
		c.Curves = []swatches.Curve{{Name: "bare skin", Reflectance: curves[0]}, {Name: "with the blend", Reflectance: curves[1]}}
		switch {
		case r.target == nil:
		case r.target.bands != nil:
			c.Curves = append(c.Curves, swatches.Curve{Name: "target", Reflectance: r.target.bands.Reflectance})
		default:
			// A colour has many spectra; skin of that colour is the likeliest.
			if like := like(r.target.view.Lab, s.viewing, r.target.view.Geometry); like != nil {
				c.Curves = append(c.Curves, swatches.Curve{Name: "a skin of the target's colour (modelled)", Reflectance: *like})
			} else {
				c.Remark = "The target is a colour without a spectrum, so it has no curve."
			}
		}
		return c, nil
	case "plane":
		c := &swatches.PlaneChart{Heading: head, Skin: bare, Target: aim, Viewing: s.viewing}
		c.Blend = &swatches.Patch{Name: "blend", Lab: s.viewing.Lab(&curves[1])}
		var err error
		if c.Reachable, err = mend.Reachable(r.seen(nil, s.apply, s.tilt), s.drawer.Pigments, r.Blend.LoadPercent); err != nil {
			return nil, input(err)
		}
		return c, nil
	default: // load
		c := &swatches.LoadChart{Heading: head, Target: aim, Skin: &bare, Chosen: r.Blend.LoadPercent}
		most := math.Min(film.MaxLoad, math.Max(8, 1.5*r.Blend.LoadPercent))
		w := r.seen(nil, s.apply, s.tilt)
		for i := 1.0; i <= 24; i++ {
			load := most * i / 24
			w.Parts = film.Scaled(r.Blend.parts, load)
			look, err := film.Predict(w)
			if err != nil {
				return nil, input(err)
			}
			c.Points = append(c.Points, swatches.LoadPoint{Percent: load, Lab: look.Lab})
		}
		return c, nil
	}
}
