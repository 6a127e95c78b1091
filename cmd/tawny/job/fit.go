package job

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tawny/blend/drawdown"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
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
	g, err := d.Geometry(day(env.Now))
	if err != nil {
		return nil, input(err)
	}
	readings, err := d.Readings(g)
	if err != nil {
		return nil, input(err)
	}
	for _, f := range d.Films {
		if f.Lot == "" || strings.EqualFold(f.Lot, d.Keys["lot"]) {
			continue
		}
		if d.Keys["lot"] != "" {
			return nil, inputf("%s:%d: lot %q beside lot %s; one lot is fitted at a time (tawny lot compares two)", in.File, f.Line, table.Clip(f.Lot), table.Clip(d.Keys["lot"]))
		}
		d.Keys["lot"] = f.Lot
	}
	name := d.Keys["powder"]
	if name == "" {
		return nil, inputf("%s does not say which powder it is; a line '# powder: pale gold' is needed", in.File)
	}
	if err := env.checkLike(d, in.Drawer); err != nil {
		return nil, err
	}
	f, err := drawdown.FitPowder(readings, drawdown.Options{Flake: g.Flake})
	if errors.Is(err, drawdown.ErrTooFew) {
		return nil, inputf("%s: %w; one quick film is enough to compare a new lot with tawny lot", in.File, err)
	}
	if err != nil {
		return nil, inputf("%s: %w", in.File, err)
	}
	r := &FitResult{
		Powder: name, Kind: "ordinary", Lot: d.Keys["lot"], Date: g.Date, Geometry: g.Name, BinderIndex: g.Index,
		Source: string(palette.Measured), Method: leastSq, Verdict: f.Verdict, Why: f.Reasons,
		Mean: f.Mean, Worst: f.Worst, Chi2: f.Chi2, Doubt: f.Doubt, Wavelengths: colour.Wavelengths(), Notes: d.Notes,
	}
	if g.Flake {
		r.Kind, r.Tilt = "flake", g.Tilt
	}
	if g.Demo {
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
		if r.Method = leastPair; g.Flake {
			r.Method = leastFlake
		}
	}
	r.fill(d, f)
	o := palette.Optics{K: f.Powder.K, S: f.Powder.S, Flake: g.Flake}
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
	p, coat, substrate, err := env.pigmentOf(d, in.Drawer, in.Replace)
	if err != nil {
		return nil, err
	}
	if !g.Flake {
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
func (r *FitResult) fill(d *drawdown.File, f *drawdown.Fit) {
	for i, res := range f.Readings {
		row := d.Films[i]
		r.Readings = append(r.Readings, FitReadingView{row.Film, row.Ground, row.Line, row.Mass.MgPerCM2, res.Read, res.Model, res.DeltaE00})
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
