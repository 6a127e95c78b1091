package job

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// FitInput is a file of drawdowns and the drawer their powder goes into.
type FitInput struct {
	File    string
	Drawer  string // with Add: the drawer, made where there is none
	Add     bool
	Replace bool // in place of a powder of the same name
	Anyway  bool // add even where the fit does not hold
}

// FitResult is a powder found from drawdowns.
type FitResult struct {
	Powder      string           `json:"powder"`
	Kind        string           `json:"kind"` // flake or ordinary
	Lot         string           `json:"lot,omitempty"`
	Date        string           `json:"date"`
	Geometry    string           `json:"geometry"`
	Tilt        float64          `json:"tiltDegrees,omitempty"` // assumed, of flakes
	BinderIndex float64          `json:"binderIndex"`
	Source      string           `json:"source"` // measured, or demo for invented readings
	Method      string           `json:"method"`
	Verdict     drawdown.Verdict `json:"verdict"`
	Why         []string         `json:"why"`
	Mean        float64          `json:"residualDeltaE00"` // mean over the readings
	Worst       float64          `json:"worstDeltaE00"`
	Chi2        float64          `json:"chi2"` // about 1 where noise explains the residuals
	Readings    []FitReadingView `json:"readings"`
	Films       []FitFilmView    `json:"films"`
	OnBlack     SmearView        `json:"onBlack"` // a test smear over a black card
	OnWhite     SmearView        `json:"onWhite"`

	Wavelengths []float64 `json:"wavelengths"`
	K           []float64 `json:"kCm2PerMg"`
	KLow        []float64 `json:"kLow95"`
	KHigh       []float64 `json:"kHigh95"`
	S           []float64 `json:"sCm2PerMg"`
	SLow        []float64 `json:"sLow95"`
	SHigh       []float64 `json:"sHigh95"`
	RatioOnly   []bool    `json:"ratioOnly"`             // bands where only K/S is known
	KError      float64   `json:"kErrorRelative"`        // mean standard error over the bands
	SError      float64   `json:"sErrorRelative"`        //
	Strength    float64   `json:"strengthErrorRelative"` // of K and S together
	Doubt       float64   `json:"doubtDeltaE00"`         // of the heaviest film over black or white, 95 in 100

	Row   string     `json:"row,omitempty"` // as the palette holds it
	Added *AddedView `json:"added,omitempty"`
	Notes []string   `json:"notes,omitempty"`
}

// FitReadingView is one reading and what the fitted powder gives for it.
type FitReadingView struct {
	Film     string     `json:"film"`
	Ground   string     `json:"ground"`
	Line     int        `json:"line"`
	Mass     float64    `json:"powderMgCm2"` // as stated
	Read     colour.Lab `json:"read"`
	Model    colour.Lab `json:"model"`
	DeltaE00 float64    `json:"deltaE00"`
}

// FitFilmView is a film's areal mass of powder as stated and as the readings
// together would have it.
type FitFilmView struct {
	Film   string  `json:"film"`
	Stated float64 `json:"statedMgCm2"`
	Err    float64 `json:"errorMgCm2"`
	Seen   float64 `json:"seenMgCm2"`
}

// DoubtWords writes the doubt for a screen.
func (r *FitResult) DoubtWords() string {
	return (&drawdown.Fit{Doubt: r.Doubt}).DoubtWords()
}

// Methods of a fit.
const (
	closedForm = "closed form, one film over two grounds"
	leastSq    = "least squares over all readings"
	leastFlake = "least squares over both readings (the closed form leaves out the flakes' beam)"
	leastPair  = "least squares over both readings (the closed form gives no K and S of 0 or more in every band)"
)

// Fit finds a powder from a file of drawdowns and, if asked, puts it into a
// drawer.
func Fit(env *Env, in FitInput) (*FitResult, error) {
	for _, f := range []struct {
		given bool
		name  string
	}{{in.Drawer != "", "{drawer}"}, {in.Replace, "{replace}"}, {in.Anyway, "{anyway}"}} {
		if f.given && !in.Add {
			return nil, inputf("%s says how the powder is put into a drawer, which {add} asks for; give both or neither", f.name)
		}
	}
	d, err := env.readDrawdowns(in.File)
	if err != nil {
		return nil, err
	}
	g, err := d.geometry(day(env.Now))
	if err != nil {
		return nil, input(err)
	}
	readings, err := d.drawn(g)
	if err != nil {
		return nil, input(err)
	}
	for _, f := range d.films {
		if f.lot == "" || strings.EqualFold(f.lot, d.keys["lot"]) {
			continue
		}
		if d.keys["lot"] != "" {
			return nil, inputf("%s:%d: lot %q beside lot %s; one lot is fitted at a time (tawny lot compares two)", in.File, f.line, short(f.lot), short(d.keys["lot"]))
		}
		d.keys["lot"] = f.lot
	}
	name := d.keys["powder"]
	if name == "" {
		return nil, inputf("%s does not say which powder it is; a line '# powder: pale gold' is needed", in.File)
	}
	if err := d.checkLike(env, in.Drawer); err != nil {
		return nil, err
	}
	f, err := drawdown.FitPowder(readings, drawdown.Options{Flake: g.flake})
	if errors.Is(err, drawdown.ErrTooFew) {
		return nil, inputf("%s: %w; one quick film is enough to compare a new lot with tawny lot", in.File, err)
	}
	if err != nil {
		return nil, inputf("%s: %w", in.File, err)
	}
	r := &FitResult{
		Powder: name, Kind: "ordinary", Lot: d.keys["lot"], Date: g.date, Geometry: g.name, BinderIndex: g.index,
		Source: string(palette.Measured), Method: leastSq, Verdict: f.Verdict, Why: f.Reasons,
		Mean: f.Mean, Worst: f.Worst, Chi2: f.Chi2, Doubt: f.Doubt, Wavelengths: colour.Wavelengths(), Notes: d.notes,
	}
	if g.flake {
		r.Kind, r.Tilt = "flake", g.tilt
	}
	if g.demo {
		r.Source = string(palette.Demo)
	}
	r.KError, r.SError, r.Strength = f.RelativeErrors()
	isClosed, err := f.TakeClosedForm(readings)
	if err != nil {
		return nil, input(err)
	}
	if isClosed {
		r.Method = closedForm
		r.Mean, r.Worst = f.Mean, f.Worst
	} else if drawdown.OnePair(readings) {
		if r.Method = leastPair; g.flake {
			r.Method = leastFlake
		}
	}
	r.fill(d, f)
	o := palette.Optics{K: f.Powder.K, S: f.Powder.S, Flake: g.flake}
	for a := range o.SAt {
		o.SAt[a] = o.S
	}
	drawn := &palette.Pigment{Name: name, Optics: o}
	if r.OnBlack, err = smear(drawn, blackCard); err != nil {
		return nil, input(err)
	}
	if r.OnWhite, err = smear(drawn, whiteCard); err != nil {
		return nil, input(err)
	}
	if !in.Add {
		return r, nil
	}
	if f.Verdict == drawdown.DoesNotHold && !in.Anyway {
		return nil, inputf("the fit of %s does not hold, so it was not added ({anyway} adds it): %s", name, strings.Join(f.Reasons, "; "))
	}
	p, coat, substrate, err := d.pigment(env, in.Drawer, in.Replace)
	if err != nil {
		return nil, err
	}
	if !g.flake {
		coat, substrate = "", 0
	}
	p.Source, p.Lot, p.Optics = palette.Source(r.Source), orElse(r.Lot, p.Lot), o
	r.Added, r.Row, err = putPowder(env, in.Drawer, p, &palette.FitNote{
		Powder: p.Name, Lot: r.Lot, Date: r.Date, Geometry: r.Geometry, Method: r.Method, Verdict: string(r.Verdict),
		Readings: len(readings), Residual: r.Mean, Worst: r.Worst, StrengthError: math.Min(0.99, r.Strength), Source: p.Source, Coat: coat, Substrate: substrate,
		Residuals: r.residuals(), KnownTo: fmt.Sprintf("K ± %.2g %%, S ± %.2g %%, 95 in 100", 196*r.KError, 196*r.SError),
	}, in.Replace)
	return r, err
}

// fill puts the numbers of a fit into the result.
func (r *FitResult) fill(d *drawdowns, f *drawdown.Fit) {
	for i, res := range f.Readings {
		row := d.films[i]
		r.Readings = append(r.Readings, FitReadingView{row.film, row.ground, row.line, row.mass.MgPerCM2, res.Read, res.Model, res.DeltaE00})
	}
	for _, m := range f.Films {
		r.Films = append(r.Films, FitFilmView{m.Name, m.Given.MgPerCM2, m.Given.Err, m.Seen})
	}
	for j := range f.Known {
		r.RatioOnly = append(r.RatioOnly, f.Known[j] == drawdown.RatioOnly)
	}
	r.K, r.KLow, r.KHigh = f.Powder.K[:], f.K.Lo[:], f.K.Hi[:]
	r.S, r.SLow, r.SHigh = f.Powder.S[:], f.S.Lo[:], f.S.Hi[:]
}

// residuals lists each reading's ΔE00 from the fit.
func (r *FitResult) residuals() string {
	var list []string
	for _, v := range r.Readings {
		list = append(list, fmt.Sprintf("%s over %s %.2f", v.Film, v.Ground, v.DeltaE00))
	}
	return strings.Join(list, "; ")
}

// geometry is how the films of a file were read.
type geometry struct {
	name     string
	excluded bool
	index    float64 // of the binder
	tilt     float64 // degrees, assumed of flakes
	flake    bool
	demo     bool
	date     string
	surface  film.Surface
}

// geometry reads the keys that all readings share.
func (d *drawdowns) geometry(today string) (g geometry, err error) {
	g.index, g.tilt = film.DefaultIndex, 10
	for _, k := range []struct {
		key       string
		to        *float64
		low, high float64
	}{{"binder_index", &g.index, 1.3, 1.57}, {"tilt", &g.tilt, 1, 40}} {
		if text := d.keys[k.key]; text != "" {
			if *k.to, err = strconv.ParseFloat(text, 64); err != nil || !(*k.to >= k.low && *k.to <= k.high) {
				return g, fmt.Errorf("%s: %s is %q; a number from %g to %g is accepted", d.name, k.key, short(text), k.low, k.high)
			}
		}
	}
	switch kind := strings.ToLower(d.keys["kind"]); kind {
	case "flake":
		g.flake = true
	case "ordinary", "diffuse":
	default:
		return g, fmt.Errorf("%s: kind is %q; flake (mica and other shimmer) or ordinary (oxides, whites) is accepted", d.name, short(kind))
	}
	switch src := strings.ToLower(d.keys["source"]); {
	case strings.HasPrefix(src, "demo"):
		g.demo = true
	case src != "" && !strings.HasPrefix(src, "measured"):
		return g, fmt.Errorf("%s: source is %q; measured, or demo for invented readings, is accepted", d.name, short(src))
	}
	if g.date = d.keys["date"]; g.date == "" {
		g.date = today
	} else if !isDate(g.date) {
		return g, fmt.Errorf("%s: date is %q; YYYY-MM-DD is accepted", d.name, short(g.date))
	}
	return g, d.boundary(&g)
}

// boundary works out the surface the readings were taken through.
func (d *drawdowns) boundary(g *geometry) (err error) {
	for i, f := range d.films {
		if i > 0 && f.reading.Excluded != g.excluded {
			return fmt.Errorf("%s:%d: gloss is %s here and not in the rows before; one kind of reading is accepted", d.name, f.line, gloss(f.reading))
		}
		g.excluded = f.reading.Excluded
	}
	tilt := film.Tilt{SigmaDeg: g.tilt}
	word := geometryWord(d.keys["geometry"])
	switch word {
	case "", "d:8", "8:d", "di:8", "de:8", "8:di", "8:de", "sphere":
		if strings.Contains(word, "de") {
			g.excluded = true
		}
		if word == "" {
			d.notes = append(d.notes, "the file does not say how it was read; a sphere was taken (d:8); a line '# geometry: 45:0' says otherwise")
		}
		included := 1.0
		g.name = "d:8, gloss included"
		if g.excluded {
			included, g.name = 0, "d:8, gloss excluded"
		}
		g.surface, err = film.NewSurface(g.index, film.Normal, included, tilt)
		return err
	case "45:0", "0:45", "45a:0", "0:45a", "45c:0", "0:45c":
		g.name, g.excluded = "45:0", true
		v, err := film.NewView(g.index, tilt, 45)
		if err != nil {
			return err
		}
		g.surface = v.Surface(g.index)
		return nil
	}
	return fmt.Errorf("%s: geometry is %q; d:8 (a sphere) or 45:0 is accepted", d.name, short(d.keys["geometry"]))
}

// drawn turns the rows into readings of reflectance.
func (d *drawdowns) drawn(g geometry) ([]drawdown.Reading, error) {
	floor := g.surface.P * g.surface.K1
	grounds := map[string]colour.Spectrum{}
	for name, list := range d.bare {
		var sum colour.Spectrum
		for _, c := range list {
			s, _, err := reflectance(c, floor)
			if err != nil {
				return nil, fmt.Errorf("%s: ground %q: %w", d.name, name, err)
			}
			for j := range sum {
				sum[j] += s[j] / float64(len(list))
			}
		}
		grounds[name] = sum
	}
	var list []drawdown.Reading
	for _, f := range d.films {
		s, smooth, err := reflectance(f.reading, floor)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: film %q: %w", d.name, f.line, short(f.film), err)
		}
		list = append(list, drawdown.Reading{Film: f.film, Ground: grounds[f.ground], Read: s, Mass: f.mass, Surface: g.surface, FromLab: smooth})
	}
	return list, nil
}

// reflectance returns a reading's spectrum, or the smoothest one of its colour.
func reflectance(c colour.Reading, floor float64) (s colour.Spectrum, smooth bool, err error) {
	if c.Spectrum != nil {
		return *c.Spectrum, false, nil
	}
	v := c.Viewing
	if v == nil {
		v = colour.D65
	}
	s, err = skin.Smoothest(c.Lab, v, floor)
	return s, true, err
}
