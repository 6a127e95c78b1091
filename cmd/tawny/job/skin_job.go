package job

import (
	"context"
	"strings"
)

var skinJob = &Job{
	Name:  "skin",
	Short: "Say what a reading of skin means",
	Long: `Shows a skin's ITA angle and class, its undertone and the spectrum it is given.
Without --skin it lists the presets, each a stand-in for a reading.`,
	Example: "  tawny skin --skin lab:64.1,11.3,14.4\n  tawny skin --skin '#8d5b3f' --json\n  tawny skin",
	New: func() Task {
		in := &Input{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q, err := in.ready(env)
			if err != nil {
				return nil, err
			}
			if q.Skin == "" {
				return Presets(q)
			}
			return Skin(q)
		}, in.skinGroup(), in.lightGroup())
	},
}

// Show writes a skin.
func (v *SkinView) Show(s *Screen) {
	s.line("%s%s under %s", s.patch(v.Hex), labText(v.Lab), v.Light)
	s.line("Class      %s (ITA %.0f°)", v.Class, v.ITA)
	if !v.ITAReliable {
		s.line("           b* is too low for the angle to mean much")
	}
	s.line("Undertone  %s: hue %.0f°, %+.1f° from the middle skin of this depth (%s; neutral within %.1f°)", v.Undertone.Word, v.Undertone.Hue, v.Undertone.Degrees, v.Undertone.Site, v.Undertone.Neutral)
	s.line("Spectrum   %s", v.Method)
	if v.Extrapolated {
		s.line("           extrapolated: outside the skins the model was fitted to")
	}
	s.line("On stage   %s under %s", labText(v.SecondLab), v.SecondLight)
	if v.Note != "" {
		s.line("")
		s.fold("", v.Note)
	}
}

// PresetList is the stand-ins for a reading, lightest first.
type PresetList []SkinView

// Show lists the presets.
func (list PresetList) Show(s *Screen) {
	s.line("Presets are stand-ins for a reading, medians of measured people.")
	s.line("")
	for _, v := range list {
		mark := ""
		if v.Extrapolated {
			mark = ", extrapolated"
		}
		s.line("%s%-13s %s   ITA %4.0f°   %s%s", s.patch(v.Hex), v.Name, labText(v.Lab), v.ITA, strings.TrimPrefix(v.Note, "a stand-in for a reading, from the "), mark)
	}
}
