package main

import (
	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

func newSkin() *cobra.Command {
	f := &sharedFlags{}
	c := &cobra.Command{
		Use:   "skin",
		Short: "Say what a reading of skin means",
		Long: `Shows a skin's ITA angle and class, its undertone and the spectrum it is given.
Without --skin it lists the presets, each a stand-in for a reading.`,
		Example: "  tawny skin --skin lab:64.1,11.3,14.4\n  tawny skin --skin '#8d5b3f' --json\n  tawny skin",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if f.in.Skin == "" {
				list, err := work.Presets(f.in)
				if err != nil {
					return err
				}
				return f.answer(c, list, func(s *screen) { s.presets(list) })
			}
			v, err := work.Skin(f.in)
			if err != nil {
				return err
			}
			return f.answer(c, v, func(s *screen) { s.skin(v) })
		},
	}
	f.bindSkin(c.Flags())
	return c
}

func (s *screen) skin(v *work.SkinView) {
	s.line("%s%s under %s", s.patch(v.Hex), labText(v.Lab), v.Light)
	s.line("Class      %s (ITA %.0f°)", v.Class, v.ITA)
	if !v.ITAReliable {
		s.line("           b* is too low for the angle to mean much")
	}
	s.line("Undertone  %s: hue %.0f°, %+.0f° from the median skin of this lightness", v.Undertone.Word, v.Undertone.Hue, v.Undertone.Degrees)
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

func (s *screen) presets(list []work.SkinView) {
	s.line("Presets are stand-ins for a reading, taken from the skin model.")
	s.line("")
	for _, v := range list {
		mark := ""
		if v.Extrapolated {
			mark = ", extrapolated"
		}
		s.line("%s%-13s %s   ITA %4.0f°   fitted to %s%s", s.patch(v.Hex), v.Name, labText(v.Lab), v.ITA, plural(v.ClassSubjects, "such skin"), mark)
	}
}
