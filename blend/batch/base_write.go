package batch

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// WriteBase writes a base as the file ReadBase reads, for a maker to start
// her own from.
func WriteBase(w io.Writer, b Base) error {
	var out bytes.Buffer
	key := func(name, value string) {
		if value != "" {
			fmt.Fprintf(&out, "# %s: %s\n", name, strings.Join(strings.Fields(value), " "))
		}
	}
	key("base", b.Name)
	key("kind", string(b.Kind))
	key("note", b.Note)
	key("source", b.Source)
	key("density_g_ml", number(b.Density))
	key("viscosity_pa_s", number(b.Viscosity))
	key("yield_stress_pa", number(b.YieldStress))
	key("refractive_index", number(b.Refraction))
	key("consistency", string(b.Consistency))
	key("ph", rangeText(b.PH))
	key("heat_c", rangeText(b.HeatC))
	key("hold_min", number(b.HoldMinutes))
	key("cool_c", number(b.CoolC))
	key("warm_max_c", number(b.WarmMaxC))
	key("max_add_percent", number(b.MaxAddPercent))
	key("filler", b.Filler)
	key("areas", strings.ReplaceAll(list(b.Areas), ", ", ";"))
	c := csv.NewWriter(&out)
	rows := [][]string{BaseHeader}
	for _, in := range b.Ingredients {
		low := number(in.Usual.Low)
		if in.Usual.Stated() && low == "" {
			low = "0"
		}
		rows = append(rows, []string{string(in.Phase), in.Name, in.INCI, number(in.Percent), strings.ReplaceAll(list(in.Roles), ", ", ";"),
			number(in.AddBelowC), low, number(in.Usual.High), string(in.UsualOf), number(in.HLB)})
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
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
