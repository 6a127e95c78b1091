package job

import (
	"context"
	"fmt"
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
  # like: pale gold            where grade, INCI and areas come from
  film,ground,load_percent,wet_um,density_g_cm3,R400,R410 …
  bare,black,,,,0.043, …       the ground by itself, best under a film of binder
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
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			return Fit(env, *in)
		}, words(fileArg("a file of drawdowns", &in.File)), Group{"Drawer", []Field{
			{Name: "drawer", Words: "your drawer, a CSV file, with add; made where there is none", Lists: "csv", To: &in.Drawer},
			{Name: "add", Words: "put the powder into the drawer", To: &in.Add},
			{Name: "replace", Words: "in place of the powder of that name", To: &in.Replace},
			{Name: "anyway", Words: "add it even where the fit does not hold", To: &in.Anyway},
		}})
	},
}

// Show writes the fit.
func (r *FitResult) Show(s *Screen) {
	lot := ""
	if r.Lot != "" {
		lot = ", lot " + r.Lot
	}
	s.line("%s%s%s: %s (%s, %s)", s.patch(r.OnBlack.Hex), r.Powder, lot, r.Verdict, r.Source, r.Date)
	for _, w := range r.Why {
		s.fold("  ", w)
	}
	s.line("")
	s.line("film  over      powder mg/cm²   read                        by the fit                  ΔE00")
	for _, v := range r.Readings {
		s.line("%-5s %-10s %8.4f      %s   %s   %.2f", v.Film, v.Ground, v.Mass, narrow(v.Read.L, v.Read.A, v.Read.B), narrow(v.Model.L, v.Model.A, v.Model.B), v.DeltaE00)
	}
	s.line("")
	for _, m := range r.Films {
		// One film's readings say nothing of its own mass.
		if m.Err > 0 && len(r.Films) > 1 {
			s.line("film %s was said to carry %.4f ± %.4f mg/cm² of powder; the readings together say %.4f", m.Film, m.Stated, m.Err, m.Seen)
		}
	}
	if len(r.Films) > 1 {
		s.line("")
	}
	s.line("A test smear       %s on black, %s on white", labText(r.OnBlack.Lab), labText(r.OnWhite.Lab))
	s.line("Known to           absorption (K) ± %s, scattering (S) ± %s, 95 in 100", percent95(r.KError), percent95(r.SError))
	s.line("                   which leaves a film like these open by ΔE00 %s", r.DoubtWords())
	s.line("Read               %s", r.Geometry)
	s.fold("                   ", "by "+r.Method)
	if r.Kind == "flake" {
		s.line("                   flakes taken to lie within %.3g° of flat", r.Tilt)
	}
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
	if a.Spectrum != "" {
		s.line("%s %s, its colour in %s", how, a.Drawer, a.Spectrum)
		return
	}
	s.line("%s %s", how, a.Drawer)
}
