package job

import (
	"context"

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
		kind, out := "reflectance", "."
		fields := append(p.fields(in),
			Field{Name: "kind", Words: choices(ChartKinds), To: &kind},
			outField(&out))
		for i, f := range fields {
			fields[i].Hidden = f.Name == "wide" || f.Name == "flat" || f.Name == "seed"
		}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			asked, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			if err := rankOrPart(env, asked); err != nil {
				return nil, err
			}
			blend, r, err := asked.blended(ctx, env.Progress)
			if err != nil {
				return nil, err
			}
			d, err := blend.Chart(kind)
			if err != nil {
				return nil, err
			}
			paper := swatches.Wide
			paper.DPI = p.dpi
			return quiet{r}, env.drawn("chart-"+kind, p.format, paper, d)
		}, in.matchGroups(Group{"Picture", fields})...)
	},
}
