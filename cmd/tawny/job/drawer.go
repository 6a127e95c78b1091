package job

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/flake/constants"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

var drawerJob = &Job{
	Name:  "drawer",
	Short: "List the powders in the drawer",
	Long: `Lists the built-in drawer, or with --drawer your own, and checks the file.
tawny drawer show tells all of a powder. A drawer is a CSV file; README tells
its columns, and tawny drawer add makes one.`,
	Example: "  tawny drawer\n  tawny drawer show 'pale gold' --skin tan\n" +
		"  tawny drawer add --like gold --name 'gold from the fair' --drawer drawer.csv\n  tawny drawer --drawer drawer.csv",
	New: func() Task {
		in := &Input{}
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			return q.drawer(nil)
		}, Group{Title: "Drawer", Fields: []Field{in.drawerField()}})
	},
}

var drawerShowJob = &Job{
	Name:  "drawer show",
	Args:  "POWDER...",
	Short: "Tell all of a powder: its coat, its grain and its colour by angle",
	Long: `Shows powders of the drawer in full, by angle over a black card or on a skin.
With --json a single powder is one object, several are a list as in tawny drawer.`,
	Example: "  tawny drawer show 'pale gold' --skin tan\n  tawny drawer show bronze --json\n  tawny drawer show 'pale gold' bronze --json",
	New: func() Task {
		in := &Input{}
		var names []string
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			return q.drawer(names)
		}, words(Field{Name: "powder", Words: "which powder? its name is accepted; tawny drawer lists them", Arg: true, Rest: true, Lists: "powder", To: &names}),
			Group{Title: "Drawer", Fields: []Field{
				in.drawerField(),
				{Name: "skin", Words: "show them on this skin: a preset or a colour (default black card)", Lists: "skin", To: &in.Skin},
			}})
	},
}

// MarshalJSON writes a single powder that was asked for as one object.
func (v *DrawerView) MarshalJSON() ([]byte, error) {
	if v.named && len(v.Powders) == 1 {
		return json.Marshal(v.Powders[0])
	}
	type list DrawerView
	return json.Marshal((*list)(v))
}

// Show lists the powders, in full where they were named.
func (v *DrawerView) Show(s *Screen) {
	s.line("%s", v.Title)
	s.line("")
	for _, p := range v.Powders {
		s.line("%s%-21s %-8s %5.3g µm   L* %4.1f  C* %4.1f  hue %4s   %s", s.patch(p.OnBlack.Hex), p.Name, palette.GradeWord(p.Grade), p.Grade[1], p.OnBlack.LCh.L, p.OnBlack.LCh.C, hueText(p.OnBlack.LCh), p.Source)
		if !v.named {
			continue
		}
		s.line("    INCI %s; %s", listed(p.INCI, ", ", func(i palette.Ingredient) string { return i.INCI }), strings.Join(p.CI, ", "))
		s.line("    over black %s; towards the lamp %s", labText(p.OnBlack.Lab), brightText(p.OnBlack.Bright))
		s.line("    over white %s", labText(p.OnWhite.Lab))
		price := when(p.Price > 0, fmt.Sprintf("%.2f per g; ", p.Price))
		s.line("    %sgrain %.3g to %.3g µm; density %.2f g/cm³; %s%.4g g in stock by this drawer", around("coats from the mica out, nm: ", p.Layers, "; "), p.Grade[0], p.Grade[2], p.Density, price, p.Stock)
		if m := p.Masstone; m != nil {
			s.line("    masstone %s read with gloss, %s without (too deep to see through, binder %.1f)", labText(m.DI), labText(m.DE), paintIndex)
		}
		if d := p.Dispersion; d != nil {
			s.line("    %.2f ± %.2f of its strength shows when it is rubbed in and not milled", d[0], d[1])
		}
		for _, c := range p.Constants {
			s.fold("    ", c.Name+": "+c.Source+around("; held to ", c.HeldTo, ""))
		}
		s.fold("    ", around("the way it gleams about the mirror: held to ", p.Lobe, ""))
		if n := p.Fit; n != nil {
			s.fold("    ", fitWords(n))
		}
		s.film(p.Film)
		if b := p.Bare; b != nil {
			s.line("Bare skin  %s%s   all round", s.patch(b.Hex), labColumns(b.Lab))
			s.directions(b.Angles)
		}
	}
	s.paragraph("%s. Colours are of a test smear, 0.3 mg/cm² of powder over black.", plural(len(v.Powders), "powder"))
}

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

	Masstone   *MasstoneView         `json:"masstone,omitempty"`         // of ordinary pigment that was named
	Dispersion *[2]float64           `json:"dispersionDoubt,omitempty"`  // share of the strength of grains all apart, and its standard error
	Constants  []*constants.Material `json:"opticalConstants,omitempty"` // a modelled powder that was named is computed from these
	Lobe       string                `json:"lobeHeldTo,omitempty"`       // of flakes that were named: what the spread of their gleam was held to
}

// MasstoneView is the colour of a film too deep to see through, in a binder of
// index 1.5, under D65.
type MasstoneView struct {
	DI colour.Lab `json:"di"`
	DE colour.Lab `json:"de"`
}

// paintIndex is the index of the artists' binders that masstones are quoted in.
const paintIndex = 1.5

// masstone returns the masstone of ordinary pigment, nil of flakes.
func masstone(g *palette.Pigment) (*MasstoneView, error) {
	if g.Optics.Flake {
		return nil, nil
	}
	var v MasstoneView
	for geometry, to := range map[colour.Geometry]*colour.Lab{colour.DI: &v.DI, colour.DE: &v.DE} {
		r, err := film.InTheJar(film.Worn{
			Ground: film.Ground{Geometry: geometry},
			Parts:  []film.Part{{Pigment: g, Percent: 100}}, Base: film.Base{Index: paintIndex},
		})
		if err != nil {
			return nil, err
		}
		*to = colour.D65.Lab(&r)
	}
	return &v, nil
}

// materials are what a powder's optics were modelled by; none of a measured one.
func materials(g *palette.Pigment) (list []*constants.Material, err error) {
	names := []string{g.Optics.Grain.Material}
	for _, l := range g.Layers {
		names = append(names, l.Material)
	}
	for i, name := range names {
		if name == "" || slices.Contains(names[:i], name) {
			continue
		}
		m, err := constants.Find(name)
		if err != nil {
			return nil, err
		}
		list = append(list, m)
	}
	return list, nil
}

// SmearView is a test smear (drawdown) of one powder: 0.3 mg/cm² of it, the
// diffuse colour and the one near the mirror direction.
type SmearView struct {
	ColourView
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

func smear(g *palette.Pigment, card, binder float64) (SmearView, error) {
	look, err := film.Predict(film.Worn{
		Ground: film.Ground{Reflectance: colour.Constant(card), Card: true},
		Parts:  []film.Part{{Pigment: g, Percent: smearPercent}}, Apply: smearApply,
		Base: film.Base{Index: binder},
	})
	if err != nil {
		return SmearView{}, err
	}
	return SmearView{colourView(colour.D65, look.Lab), look.Angles[0].Lab}, nil
}

// BareView is a skin with nothing on it, from the same sides as a film.
type BareView struct {
	ColourView             // diffuse
	Angles     []AngleView `json:"angles"`
}

// bareOn looks at a skin by itself; on a card it is nil.
func (e *Env) bareOn(on string) (*BareView, error) {
	ground, _, err := e.groundOf(on)
	if ground.Card || err != nil {
		return nil, err
	}
	look, err := film.Predict(film.Worn{Ground: ground})
	if err != nil {
		return nil, input(err)
	}
	return &BareView{colourView(colour.D65, look.Lab), angleViews(colour.D65, look.Angles[:])}, nil
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
			Name: g.Name, Family: g.Family, Kind: either(g.Optics.Flake, "flake", "diffuse"), INCI: g.INCI, CI: g.CI,
			Grade: [3]float64{g.D10, g.D50, g.D90}, Density: g.Density, Price: g.PricePerG,
			Stock: g.StockG, Lot: g.Lot, Areas: g.Areas, Source: string(g.Source),
		}
		if g.Spectrum == "" {
			v.Layers = orElse(flake.FormatLayers(g.Layers), palette.Bare)
		}
		if v.OnBlack, err = smear(g, blackCard, film.DefaultIndex); err != nil {
			return nil, input(err)
		}
		if v.OnWhite, err = smear(g, whiteCard, film.DefaultIndex); err != nil {
			return nil, input(err)
		}
		if len(names) > 0 {
			v.K, v.S = append([]float64(nil), g.Optics.K[:]...), append([]float64(nil), g.Optics.S[:]...)
			if v.Fit, err = env.fitNote(path, g); err != nil {
				return nil, err
			}
			if v.Masstone, err = masstone(g); err != nil {
				return nil, input(err)
			}
			if v.Constants, err = materials(g); err != nil {
				return nil, err
			}
			if g.Dispersion > 0 {
				v.Dispersion = &[2]float64{g.Dispersion, g.Doubt}
			}
			if g.Optics.Flake {
				v.Lobe = film.LobeHeldTo
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

// fitWords says how a powder came by its numbers.
func fitWords(n *palette.FitNote) string {
	list := nonEmpty(n.Date, n.Verdict, geometryWords(n.Geometry), n.Method)
	words := strings.Join(list, "; ")
	if n.Readings == 0 {
		return words
	}
	words += when(n.Readings > 2, fmt.Sprintf("; %d readings lie ΔE00 %.2f from the fit on average, %.2f at most", n.Readings, n.Residual, n.Worst))
	return "by drawdowns: " + words + around("; ", n.KnownTo, "")
}
