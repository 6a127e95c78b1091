package batch

import (
	"io"
	"strconv"
	"strings"

	"tawny/colour/table"
)

// WriteBase writes a base as the file ReadBase reads, for a maker to start
// her own from.
func WriteBase(w io.Writer, b Base) error {
	t := table.NewWriter(w)
	t.Key("base", b.Name)
	t.Key("kind", string(b.Kind))
	t.Key("note", b.Note)
	t.Key("source", b.Source)
	t.Key("density_g_ml", number(b.Density))
	t.Key("viscosity_pa_s", number(b.Viscosity))
	t.Key("yield_stress_pa", number(b.YieldStress))
	t.Key("refractive_index", number(b.Refraction))
	t.Key("consistency", string(b.Consistency))
	t.Key("ph", rangeText(b.PH))
	t.Key("heat_c", rangeText(b.HeatC))
	t.Key("hold_min", number(b.HoldMinutes))
	t.Key("cool_c", number(b.CoolC))
	t.Key("warm_max_c", number(b.WarmMaxC))
	t.Key("max_add_percent", number(b.MaxAddPercent))
	t.Key("filler", b.Filler)
	t.Key("areas", strings.ReplaceAll(list(b.Areas), ", ", ";"))
	t.Row(BaseHeader...)
	for _, in := range b.Ingredients {
		low := number(in.Usual.Low)
		if in.Usual.Stated() && low == "" {
			low = "0"
		}
		t.Row(string(in.Phase), in.Name, in.INCI, number(in.Percent), strings.ReplaceAll(list(in.Roles), ", ", ";"),
			number(in.AddBelowC), low, number(in.Usual.High), string(in.UsualOf), number(in.HLB))
	}
	return t.Flush()
}

// number writes a figure in full; nothing for 0, which means not given.
func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func rangeText(r Range) string {
	if !r.Stated() {
		return ""
	}
	if r.Low == r.High {
		return number(r.Low)
	}
	return number(r.Low) + "-" + number(r.High)
}
