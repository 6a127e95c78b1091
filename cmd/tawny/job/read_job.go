package job

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
)

var readJob = &Job{
	Name:  "read",
	Args:  "FILE",
	Short: "List the readings in an instrument's file",
	Long: `Reads a CSV with one sample a row (columns name and 400, R400, 400nm …, or L,
a, b), a CSV with one wavelength a row, or the open text format of ISO 28178
(CGATS), and lists every sample. Samples of one name are repeats of one place:
their mean is shown, and how far they lie apart.

Any sample can be used where a colour is asked for, as file#name or file#3;
file#* is the mean of all. Repeats are averaged, and how well they agree goes
into the prediction's uncertainty.`,
	Example: "  tawny read testdata/fit/skin-demo.csv\n  tawny match --skin 'testdata/fit/skin-demo.csv#forearm' --target skin:2,3,5",
	New: func() Task {
		var file string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return Read(env, file) }, words(fileArg("a file", &file)))
	},
}

// Show lists the samples.
func (r *ReadResult) Show(s *Screen) {
	for i, v := range r.Samples {
		spectrum := ""
		if v.Reflectance != nil {
			spectrum = "; spectrum"
		}
		s.line("%3d %s%-20s %s   %s, gloss %s%s%s", i+1, s.patch(v.Hex), v.Name, labText(v.Lab), v.Light, v.Gloss, spectrum, others(v.Other))
	}
	for _, m := range r.Means {
		s.line("")
		s.line("%s: mean of %d  %s", m.Name, m.N, labText(m.Lab))
		s.line("    the readings lie ΔE00 %.2f from it on average, %.2f at most", m.DeltaE, m.Worst)
	}
	s.notes(r.Notes)
	s.line("")
	s.line("Use one as a colour with '%s#%s'", r.File, r.Samples[0].Name)
}

// others lists the columns that say nothing of the colour.
func others(m map[string]string) string {
	if len(m) == 0 {
		return ""
	}
	var list []string
	for _, k := range slices.Sorted(maps.Keys(m)) {
		list = append(list, fmt.Sprintf("%s %s", k, m[k]))
	}
	return "; " + strings.Join(list, ", ")
}

// notes says what was taken for granted, one paragraph each.
func (s *Screen) notes(list []string) {
	for _, n := range list {
		s.line("")
		s.fold("", "Note: "+strings.TrimSuffix(n, ".")+".")
	}
}
