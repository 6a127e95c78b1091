package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"tawny/blend/drawdown"
	"tawny/blend/flake/grain"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

var fitJob = &Job{
	Name:  "fit",
	Args:  "FILE",
	Short: "Measure a powder from drawdowns of it",
	Long: `Finds what a powder does to light from films of it, drawn at known loads over
black and white grounds and read with an instrument, and says whether the
result can be relied on. With --add it goes into your drawer, marked measured.

FILE is a CSV: '# key: value' lines, a header, one row for each reading.

  # powder: pale gold          its name
  # kind: flake                flake (mica and other shimmer) or ordinary
  # lot: KR-07
  # date: 2026-03-02
  # geometry: d:8              a sphere, or 45:0
  # like: pale gold            where grade, INCI, areas and a coat's turn with
                               angle come from; leave it out if no coat is near
  film,ground,load_percent,wet_um,density_g_cm3,R400,R410 …
  bare,black,,,,0.043, …       the ground by itself, under a film of binder alone
  a,black,5,40,0.97,0.08, …    film a over black

How much powder lies on a cm² is given in one of four ways: powder_mg_cm2;
or load_percent with film_mg_cm2, with wet_um and density_g_cm3, or with grams
and area_cm2. Each may have its standard error beside it: powder_error,
film_error, wet_error, density_error, grams_error, area_error, load_error. The
colour is a spectrum (R400 …), or L,a,b, or a sample's name under the column
sample where '# readings: file' names the instrument's file. One film over two
grounds is the least; three loads over both tell whether the powder holds.`,
	Example: "  tawny fit testdata/fit/pale-gold-demo.csv\n  tawny fit testdata/fit/pale-gold-demo.csv --add --drawer drawer.csv",
	New: func() Task {
		in := &FitInput{}
		adds := rule{"add": "says how the powder is put into a drawer, which {add} asks for; give both or neither"}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			return Fit(env, *in)
		}, words(fileArg("a file of drawdowns", &in.File)), Group{Title: "Drawer", Fields: []Field{
			{Name: "drawer", Words: "your drawer, a CSV file, with add; made where there is none", Lists: "csv", Needs: adds, To: &in.Drawer},
			{Name: "add", Words: "put the powder into the drawer", To: &in.Add},
			{Name: "replace", Words: "in place of the powder of that name", Needs: adds, To: &in.Replace},
			{Name: "anyway", Words: "add it even where the fit does not hold", Needs: adds, To: &in.Anyway},
		}})
	},
}

// Show writes the fit.
func (r *FitResult) Show(s *Screen) {
	s.line("%s%s%s: %s (%s, %s)", s.patch(r.OnBlack.Hex), r.Powder, around(", lot ", r.Lot, ""), r.Verdict, r.Source, r.Date)
	s.fold("  ", r.Reasons...)
	s.paragraph("film  over      powder mg/cm²   read                        by the fit                  ΔE00")
	for _, v := range r.Readings {
		s.line("%-5s %-10s %8.4f      %s   %s   %.2f", v.Film, v.Ground, v.Mass, narrow(v.Read.L, v.Read.A, v.Read.B), narrow(v.Model.L, v.Model.A, v.Model.B), v.DeltaE00)
	}
	s.line("")
	for _, m := range r.Films {
		// One film's readings say nothing of its own mass.
		if m.Err > 0 && len(r.Films) > 1 {
			s.line("film %s was said to carry %.4f ± %.4f mg/cm² of powder; the readings together say %.4f", m.Name, m.MgPerCM2, m.Err, m.Seen)
		}
	}
	if len(r.Films) > 1 {
		s.line("")
	}
	s.line("A test smear       %s on black, %s on white", labText(r.OnBlack.Lab), labText(r.OnWhite.Lab))
	s.line("Known to           absorption (K) ± %s, scattering (S) ± %s, 95 in 100", percent95(r.KError), percent95(r.SError))
	s.line("                   which leaves a film like these open by ΔE00 %s", r.DoubtWords())
	s.line("Readings           %s", colour.Geometry(r.Geometry).Words())
	s.fold("                   ", "by "+r.Method)
	s.fold("                   ", when(r.Kind == "flake", fmt.Sprintf("flakes taken to lie within %.3g° of flat", r.Tilt)))
	s.added(r.Added, r.Powder)
	s.notes(r.Notes)
}

func narrow(l, a, b float64) string { return fmt.Sprintf("%6.2f %7.2f %7.2f    ", l, a, b) }

func (s *Screen) added(a *AddedView, powder string) {
	if a == nil {
		return
	}
	s.line("")
	how := "Added to"
	switch {
	case a.New:
		how = "Made the drawer"
	case a.Replaced:
		how = "Replaced " + powder + " in"
	}
	s.line("%s %s%s", how, a.Drawer, around(", its colour in ", a.Spectrum, ""))
}

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
	drawdown.Fit
	Powder      string           `json:"powder"`
	Kind        string           `json:"kind"` // flake or ordinary
	Lot         string           `json:"lot,omitempty"`
	Date        string           `json:"date"`
	Geometry    string           `json:"geometry"`
	Tilt        float64          `json:"tiltDegrees,omitempty"` // assumed, of flakes
	BinderIndex float64          `json:"binderIndex"`
	Source      string           `json:"source"` // measured, or demo for invented readings
	Method      string           `json:"method"`
	Readings    []FitReadingView `json:"readings"`
	OnBlack     SmearView        `json:"onBlack"` // a test smear over a black card
	OnWhite     SmearView        `json:"onWhite"`

	Wavelengths []float64 `json:"wavelengths"`
	K           []float64 `json:"kCm2PerMg"`
	KLow        []float64 `json:"kLow95"`
	KHigh       []float64 `json:"kHigh95"`
	S           []float64 `json:"sCm2PerMg"`
	SLow        []float64 `json:"sLow95"`
	SHigh       []float64 `json:"sHigh95"`
	KError      float64   `json:"kErrorRelative"`        // mean standard error over the bands
	SError      float64   `json:"sErrorRelative"`        //
	Strength    float64   `json:"strengthErrorRelative"` // of K and S together

	Row   string     `json:"row,omitempty"` // as the palette holds it
	Added *AddedView `json:"added,omitempty"`
	Notes []string   `json:"notes,omitempty"`
}

// FitReadingView is one reading and what the fitted powder gives for it.
type FitReadingView struct {
	Film   string  `json:"film"`
	Ground string  `json:"ground"`
	Line   int     `json:"line"`
	Mass   float64 `json:"powderMgCm2"` // as stated
	drawdown.Residual
}

// Methods of a fit.
const (
	leastSq   = "least squares over all readings"
	leastPair = "least squares over both readings of one film, which leaves nothing to test it by"
)

// Fit finds a powder from a file of drawdowns and, if asked, puts it into a
// drawer.
func Fit(env *Env, in FitInput) (*FitResult, error) {
	d, err := env.readDrawdowns(in.File)
	if err != nil {
		return nil, err
	}
	g, err := d.Geometry(env.today())
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
	like, err := env.likeOf(d, in.Drawer, in.Replace, g.Index)
	if err != nil {
		return nil, err
	}
	// A drawdown sees one direction: how flakes turn, and where grains scatter, is
	// that of the powder it is like.
	of := palette.Optics{Flake: g.Flake}
	if g.Flake == like.Optics.Flake {
		of = like.Optics
		of.Grain = grain.Grain{}
	}
	f, err := drawdown.FitPowder(readings, &of)
	if errors.Is(err, drawdown.ErrTooFew) {
		return nil, inputf("%s: %w; one quick film is enough to compare a new lot with tawny lot", in.File, err)
	}
	if err != nil {
		return nil, inputf("%s: %w", in.File, err)
	}
	r := &FitResult{
		Fit: *f, Powder: name, Kind: "ordinary", Lot: d.Keys["lot"], Date: g.Date, Geometry: string(g.Read), BinderIndex: g.Index,
		Source: string(palette.Measured), Method: leastSq,
		Wavelengths: colour.Wavelengths(), Notes: d.Notes,
	}
	if g.Flake {
		r.Kind, r.Tilt = "flake", g.Tilt
	}
	if g.Demo {
		r.Source = string(palette.Demo)
	}
	r.KError, r.SError, r.Strength = f.RelativeErrors()
	if drawdown.OnePair(readings) {
		r.Method = leastPair
	}
	for i, res := range f.Readings {
		row := d.Films[i]
		r.Readings = append(r.Readings, FitReadingView{row.Film, row.Ground, row.Line, row.Mass.MgPerCM2, res})
	}
	r.K, r.KLow, r.KHigh = f.Powder.K[:], f.K.Lo[:], f.K.Hi[:]
	r.S, r.SLow, r.SHigh = f.Powder.S[:], f.S.Lo[:], f.S.Hi[:]
	drawn := &palette.Pigment{Name: name, Optics: f.Powder}
	if r.OnBlack, err = smear(drawn, blackCard, g.Index); err != nil {
		return nil, input(err)
	}
	if r.OnWhite, err = smear(drawn, whiteCard, g.Index); err != nil {
		return nil, input(err)
	}
	if !in.Add {
		return r, nil
	}
	if f.Verdict == drawdown.DoesNotHold && !in.Anyway {
		return nil, inputf("the fit of %s does not hold, so it was not added ({anyway} adds it): %s", name, strings.Join(f.Reasons, "; "))
	}
	p, coat, substrate, err := env.pigmentOf(d, like, in.Drawer)
	if err != nil {
		return nil, err
	}
	if len(f.Powder.R) == 0 {
		coat, substrate = "", 0
	}
	p.Source, p.Lot, p.Optics = palette.Source(r.Source), orElse(r.Lot, p.Lot), f.Powder
	r.Added, r.Row, err = putPowder(env, in.Drawer, p, &palette.FitNote{
		Powder: p.Name, Lot: r.Lot, Date: r.Date, Geometry: r.Geometry, Method: r.Method, Verdict: string(r.Verdict),
		Readings: len(readings), Residual: r.Mean, Worst: r.Worst, StrengthError: math.Min(0.99, r.Strength), Source: p.Source, Coat: coat, Substrate: substrate,
		Residuals: listed(r.Readings, "; ", func(v FitReadingView) string { return fmt.Sprintf("%s over %s %.2f", v.Film, v.Ground, v.DeltaE00) }),
		KnownTo:   fmt.Sprintf("K ± %s, S ± %s, 95 in 100", percent95(r.KError), percent95(r.SError)),
	}, in.Replace)
	return r, err
}
