package job

import (
	"fmt"
	"strings"

	"tawny/blend/palette"
)

// uncertaintyWords says how far the real thing may lie from its prediction,
// and the three largest reasons.
func uncertaintyWords(u *UncertaintyView) string {
	var why []string
	for i, c := range u.Causes {
		if i == 3 {
			break
		}
		name := c.Name
		if name == "reading" {
			name = "skin reading"
		}
		why = append(why, fmt.Sprintf("%s %.1f", name, c.DeltaE00))
	}
	words := fmt.Sprintf("95 in 100 wearings within ΔE00 %.1f of this", u.DeltaE00)
	if len(why) > 0 {
		words += " (" + strings.Join(why, ", ") + ")"
	}
	return words
}

// fitWords says how a powder came by its numbers.
func fitWords(n *palette.FitNote) string {
	var list []string
	for _, w := range []string{n.Date, n.Verdict, n.Geometry, n.Method} {
		if w != "" {
			list = append(list, w)
		}
	}
	words := "by drawdowns: " + strings.Join(list, "; ")
	if n.Readings == 0 {
		return strings.Join(list, "; ")
	}
	if n.Readings > 2 {
		words += fmt.Sprintf("; %d readings lie ΔE00 %.2f from the fit on average, %.2f at most", n.Readings, n.Residual, n.Worst)
	}
	if n.KnownTo != "" {
		words += "; " + n.KnownTo
	}
	return words
}
