package job

import (
	"tawny/colour"
	"tawny/colour/skin"
)

// SkinView is a skin as understood.
type SkinView struct {
	Text          string        `json:"text"`
	Name          string        `json:"name"`
	ColourView                  // under the light asked for
	Light         string        `json:"light"`
	ITA           float64       `json:"ita"` // degrees, of the D65/2 colour
	ITAReliable   bool          `json:"itaReliable"`
	Class         string        `json:"class"`
	ClassSubjects int           `json:"classSubjects"` // of this class among those the model was fitted to
	Undertone     UndertoneView `json:"undertone"`
	Method        string        `json:"method"`
	Extrapolated  bool          `json:"extrapolated"`
	Preset        bool          `json:"preset"`
	Note          string        `json:"note,omitempty"`
	SecondLab     colour.Lab    `json:"secondLab"`
	SecondLight   string        `json:"secondLight"`
	LightShift    float64       `json:"lightShiftDeltaE00"`    // between the two lights
	Wavelengths   []float64     `json:"wavelengths,omitempty"` // nm
	Reflectance   []float64     `json:"reflectance,omitempty"`
}

// UndertoneView is a skin's hue against the middle skin of its depth.
type UndertoneView struct {
	Word      string  `json:"word"`
	Degrees   float64 `json:"degrees"` // + towards yellow (warm)
	Hue       float64 `json:"hue"`
	MedianHue float64 `json:"medianHue"`
	Neutral   float64 `json:"neutral"` // degrees either way that are neutral
	Site      string  `json:"site"`    // whose middle it is
}

func (s *setting) skinView(spectrum bool) SkinView {
	return viewSkin(s.in.Skin, s.skin, s.viewing, s.second, spectrum)
}

func viewSkin(text string, k skin.Skin, v, second *colour.Viewing, spectrum bool) SkinView {
	lab := v.Lab(&k.Reflectance)
	view := SkinView{
		Text: text, Name: k.Name, ColourView: colourView(v, lab), Light: v.Name(),
		ITA: k.ITA, ITAReliable: k.ITAReliable, Class: k.Class.String(), ClassSubjects: k.Class.Subjects(),
		Undertone: UndertoneView{k.Undertone.Word, k.Undertone.Degrees, k.Undertone.Hue, k.Undertone.MedianHue, k.Undertone.Neutral, k.Undertone.Site.String()},
		Method:    k.Method, Extrapolated: k.Extrapolated, Preset: k.Preset, Note: k.Note,
		SecondLab: second.Lab(&k.Reflectance), SecondLight: second.Name(),
		LightShift: colour.Shift(&k.Reflectance, v, second),
	}
	if spectrum {
		view.Wavelengths = colour.Wavelengths()
		view.Reflectance = append([]float64(nil), k.Reflectance[:]...)
	}
	return view
}

// Skin reports what a reading of skin means.
func Skin(in Input) (*SkinView, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	v := s.skinView(true)
	return &v, nil
}

// Presets reports the stand-ins for a reading, lightest first.
func Presets(in Input) (PresetList, error) {
	v, err := in.lent().viewing(in.Illuminant, in.Observer)
	if err != nil {
		return nil, err
	}
	second, err := in.lent().viewing(secondBeside(v, orElse(in.Second, "stage")), in.Observer)
	if err != nil {
		return nil, err
	}
	var list []SkinView
	site, err := skin.ParseSite(in.Site)
	if err != nil {
		return nil, input(err)
	}
	for _, k := range site.Presets() {
		list = append(list, viewSkin(k.Name, k, v, second, false))
	}
	return list, nil
}
