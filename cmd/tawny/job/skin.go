package job

import (
	"context"
	"strings"

	"tawny/colour"
	"tawny/colour/skin"
)

var skinJob = &Job{
	Name:  "skin",
	Short: "Say what a reading of skin means",
	Long: `Shows a skin's ITA angle and class, its undertone and the spectrum it is given.
Without --skin it lists the presets, each a stand-in for a reading.`,
	Example: "  tawny skin --skin lab:64.1,11.3,14.4\n  tawny skin --skin '#8d5b3f' --json\n  tawny skin",
	New: func() Task {
		in := &Input{}
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
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
	s.fold("           ", when(!v.ITAReliable, "b* is too low for the angle to mean much"))
	s.line("Undertone  %s: hue %.0f°, %+.1f° from the middle skin of this depth (%s; neutral within %.1f°)", v.Undertone.Word, v.Undertone.Hue, v.Undertone.Degrees, v.Undertone.Site, v.Undertone.Neutral)
	s.line("Spectrum   %s", v.Method)
	s.fold("           ", when(v.Extrapolated, "extrapolated: outside the skins the model was fitted to"))
	s.line("On stage   %s under %s", labText(v.SecondLab), v.SecondLight)
	s.paragraphs(nonEmpty(v.Note))
}

// PresetList is the stand-ins for a reading, lightest first.
type PresetList []SkinView

// Show lists the presets.
func (list PresetList) Show(s *Screen) {
	s.line("Presets are stand-ins for a reading, medians of measured people.")
	s.line("")
	for _, v := range list {
		s.line("%s%-13s %s   ITA %4.0f°   %s%s%s", s.patch(v.Hex), v.Name, labText(v.Lab), v.ITA, strings.TrimPrefix(v.Note, "a stand-in for a reading, from the "), when(v.Extrapolated, ", extrapolated"),
			around("; also called ", strings.Join(skin.AlsoCalled(v.Name), ", "), ""))
	}
}

// SkinView is a skin as understood.
type SkinView struct {
	Text          string          `json:"text"`
	Name          string          `json:"name"`
	Geometry      colour.Geometry `json:"geometry"` // di, de, 45 or photo; "" where nobody said
	ColourView                    // under the light asked for
	Light         string          `json:"light"`
	ITA           float64         `json:"ita"` // degrees, of the D65/2 colour
	ITAReliable   bool            `json:"itaReliable"`
	Class         string          `json:"class"`
	ClassSubjects int             `json:"classSubjects"` // of this class among those the model was fitted to
	Undertone     skin.Undertone  `json:"undertone"`
	Method        string          `json:"method"`
	Extrapolated  bool            `json:"extrapolated"`
	Preset        bool            `json:"preset"`
	Note          string          `json:"note,omitempty"`
	SecondLab     colour.Lab      `json:"secondLab"`
	SecondLight   string          `json:"secondLight"`
	LightShift    float64         `json:"lightShiftDeltaE00"`    // between the two lights
	Wavelengths   []float64       `json:"wavelengths,omitempty"` // nm
	Reflectance   []float64       `json:"reflectance,omitempty"`
}

func (s *setting) skinView() SkinView { return viewSkin(s.in.Skin, s.skin, s.viewing, s.second) }

func viewSkin(text string, k skin.Skin, v, second *colour.Viewing) SkinView {
	return SkinView{
		Text: text, Name: k.Name, Geometry: k.Reading.Geometry, ColourView: colourView(v, v.Lab(&k.Reflectance)), Light: v.Name(),
		ITA: k.ITA, ITAReliable: k.ITAReliable, Class: k.Class.String(), ClassSubjects: k.Class.Subjects(),
		Undertone: k.Undertone, Method: k.Method, Extrapolated: k.Extrapolated, Preset: k.Preset, Note: k.Note,
		SecondLab: second.Lab(&k.Reflectance), SecondLight: second.Name(),
		LightShift: colour.Shift(&k.Reflectance, v, second),
	}
}

// Skin reports what a reading of skin means.
func Skin(in Input) (*SkinView, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	v := s.skinView()
	v.Wavelengths, v.Reflectance = colour.Wavelengths(), s.skin.Reflectance[:]
	return &v, nil
}

// Presets reports the stand-ins for a reading, lightest first.
func Presets(in Input) (PresetList, error) {
	v, second, err := in.lights()
	if err != nil {
		return nil, err
	}
	site, err := skin.ParseSite(in.Site)
	if err != nil {
		return nil, input(err)
	}
	var list []SkinView
	for _, k := range site.Presets() {
		list = append(list, viewSkin(k.Name, k, v, second))
	}
	return list, nil
}
