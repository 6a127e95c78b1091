package job

import (
	"strings"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

// PowderView is one powder of a drawer.
type PowderView struct {
	Name    string               `json:"name"`
	Family  string               `json:"family"`
	Kind    string               `json:"kind"` // flake or diffuse
	INCI    []palette.Ingredient `json:"inci"`
	CI      []string             `json:"ci"`
	Layers  string               `json:"layers,omitempty"`
	Grade   [3]float64           `json:"gradeUm"` // d10, d50, d90
	Density float64              `json:"densityGCm3"`
	Price   float64              `json:"pricePerG"`
	Stock   float64              `json:"stockG"`
	Lot     string               `json:"lot,omitempty"`
	Areas   []palette.Area       `json:"areas"`
	Source  string               `json:"source"`
	OnBlack SmearView            `json:"onBlack"` // a test smear over a black card
	OnWhite SmearView            `json:"onWhite"` // and over a white one
	K       []float64            `json:"kCm2PerMg,omitempty"`
	S       []float64            `json:"sCm2PerMg,omitempty"`
	Film    *FilmView            `json:"film,omitempty"` // by angle, of a powder that was named
	Bare    *BareView            `json:"bare,omitempty"` // the skin of Film by itself
	Fit     *palette.FitNote     `json:"fit,omitempty"`  // the drawdowns it was measured by
}

// SmearView is a test smear (drawdown) of one powder: 0.3 mg/cm² of it, the
// diffuse colour and the one near the mirror direction.
type SmearView struct {
	Lab    colour.Lab `json:"lab"`
	Hex    string     `json:"hex"`
	Bright colour.Lab `json:"at15"` // aspecular 15°, where flakes flash
}

// A test smear: 3 mg/cm² of a 10 % dispersion, on cards that return 5 and 90
// per cent, about what draw-down cards do (common practice).
const (
	smearApply   = 3.0
	smearPercent = 10.0
	blackCard    = 0.05
	whiteCard    = 0.90
)

func smear(g *palette.Pigment, card float64) (SmearView, error) {
	look, err := film.Predict(film.Worn{
		Ground: film.Ground{Reflectance: colour.Constant(card)},
		Parts:  []film.Part{{Pigment: g, Percent: smearPercent}}, Apply: smearApply,
	})
	if err != nil {
		return SmearView{}, err
	}
	return SmearView{Lab: look.Lab, Hex: hexOf(colour.D65, look.Lab), Bright: look.Angles[0].Lab}, nil
}

// BareView is a skin with nothing on it, from the same sides as a film.
type BareView struct {
	Lab    colour.Lab  `json:"lab"` // diffuse
	Hex    string      `json:"hex"`
	Angles []AngleView `json:"angles"`
}

// bareOn looks at a skin by itself; on a card it is nil.
func (e *Env) bareOn(on string) (*BareView, error) {
	switch strings.ToLower(strings.TrimSpace(on)) {
	case "", "black", "white":
		return nil, nil
	}
	k, _, err := e.openSkin(on)
	if err != nil {
		return nil, err
	}
	look, err := film.Predict(film.Worn{Ground: film.Ground{Reflectance: k.Reflectance, Excluded: k.Reading.Excluded}})
	if err != nil {
		return nil, input(err)
	}
	return &BareView{Lab: look.Lab, Hex: hexOf(colour.D65, look.Lab), Angles: angleViews(colour.D65, look)}, nil
}

// DrawerView is a drawer of powders.
type DrawerView struct {
	Title   string       `json:"title"`
	Powders []PowderView `json:"powders"`

	named bool // powders asked for by name
}

// drawer lists a drawer; names, if any, picks powders and adds their spectra
// and their film by angle on a black card or on the input's skin.
func (in Input) drawer(names []string) (*DrawerView, error) {
	env, path, on := in.lent(), in.Drawer, in.Skin
	if on != "" && len(names) == 0 {
		return nil, inputf("a skin is only looked at for powders that are named: tawny drawer 'pale gold' {skin} %s", table.Clip(on))
	}
	bare, err := env.bareOn(on)
	if err != nil {
		return nil, err
	}
	p, err := env.OpenDrawer(path, film.DefaultIndex)
	if err != nil {
		return nil, err
	}
	view := &DrawerView{Title: p.Title, named: len(names) > 0}
	list := p.Pigments
	if len(names) > 0 {
		list = nil
		for _, n := range names {
			g, err := p.Find(n)
			if err != nil {
				return nil, input(err)
			}
			list = append(list, g)
		}
	}
	for _, g := range list {
		v := PowderView{
			Name: g.Name, Family: g.Family, Kind: "diffuse", INCI: g.INCI, CI: g.CI,
			Grade: [3]float64{g.D10, g.D50, g.D90}, Density: g.Density, Price: g.PricePerG,
			Stock: g.StockG, Lot: g.Lot, Areas: g.Areas, Source: string(g.Source),
		}
		if g.Optics.Flake {
			v.Kind = "flake"
		}
		if g.Spectrum == "" {
			v.Layers = orElse(flake.FormatLayers(g.Layers), palette.Bare)
		}
		if v.OnBlack, err = smear(g, blackCard); err != nil {
			return nil, input(err)
		}
		if v.OnWhite, err = smear(g, whiteCard); err != nil {
			return nil, input(err)
		}
		if len(names) > 0 {
			v.K, v.S = append([]float64(nil), g.Optics.K[:]...), append([]float64(nil), g.Optics.S[:]...)
			if v.Fit, err = env.fitNote(path, g); err != nil {
				return nil, err
			}
			v.Bare = bare
			if v.Film, err = env.filmView(g, 0, on, film.DefaultIndex, colour.D65); err != nil {
				return nil, err
			}
		}
		view.Powders = append(view.Powders, v)
	}
	return view, nil
}

// GradeWords names a size grade: under 15 µm satin, 10 to 60 µm pearl, 20 to
// 150 µm sparkle (common practice).
func GradeWords(g [3]float64) string {
	switch {
	case g[2] <= 1.5*5:
		return "fine"
	case g[1] < 12:
		return "satin"
	case g[1] < 40:
		return "pearl"
	}
	return "sparkle"
}
