package palette

import (
	"fmt"
	"io"
	"io/fs"
	"math"
	"strconv"
	"strings"

	"tawny/blend/flake"
	"tawny/blend/flake/grain"
	"tawny/colour"
	"tawny/colour/table"
)

// FitNote is what a powder's spectrum file says of the fit it came from, in its
// '# key: value' lines.
type FitNote struct {
	Powder        string  `json:"powder"`
	Lot           string  `json:"lot,omitempty"`
	Date          string  `json:"date,omitempty"`        // of the drawdowns, YYYY-MM-DD
	Geometry      string  `json:"geometry,omitempty"`    // how they were read
	Method        string  `json:"method,omitempty"`      // closed form, fit or strength
	Verdict       string  `json:"verdict,omitempty"`     // holds, use with care or does not hold
	Readings      int     `json:"readings"`              // how many
	Residual      float64 `json:"residualDeltaE00"`      // mean of the readings from the fitted powder
	Worst         float64 `json:"worstDeltaE00"`         // the largest
	Residuals     string  `json:"residuals,omitempty"`   // of each reading: "a over black 0.07; …"
	StrengthError float64 `json:"strengthErrorRelative"` // standard error of K and S together
	KnownTo       string  `json:"knownTo,omitempty"`     // the 95 % bands of K and S in words
	Source        Source  `json:"source,omitempty"`      // measured, or demo for invented readings
	// Coat and Substrate (nm) are those of the flake it was said to be like, as
	// a drawer writes them; they only tell how its light turns with angle.
	Coat      string  `json:"coat,omitempty"`
	Substrate float64 `json:"substrateNm,omitempty"`
}

// WritePowderSpectrum writes K and S as ParsePowderSpectrum reads them, with
// the fit's note above. A modelled powder has no fit to tell of; the grains it was
// modelled by are told instead.
func WritePowderSpectrum(w io.Writer, o *Optics, n *FitNote) error {
	t := table.NewWriter(w)
	kind := "diffuse"
	if o.Flake {
		kind = "flake"
	}
	t.Key("title", n.Powder+", K and S per areal mass")
	t.Key("kind", kind)
	t.Key("units", "cm²/mg")
	if n.Source == Modelled {
		t.Key("source", n.Method)
		t.Key("grain", fmt.Sprintf("%s;%g;%g;%g", o.Grain.Material, o.Grain.DiameterUM, o.Grain.GSD, o.Grain.Binder))
		o.rows(t)
		return t.Flush()
	}
	for _, k := range [][2]string{
		{"powder", n.Powder}, {"lot", n.Lot}, {"date", n.Date}, {"geometry", n.Geometry}, {"method", n.Method}, {"verdict", n.Verdict},
		{"readings", strconv.Itoa(n.Readings)}, {"residual_de00", figure(n.Residual)}, {"worst_de00", figure(n.Worst)},
		{"residuals_de00", n.Residuals}, {"strength_error", figure(n.StrengthError)}, {"known_to", n.KnownTo}, {"source", string(n.Source)}, {"coat", n.Coat},
	} {
		t.Key(k[0], k[1])
	}
	if n.Coat != "" {
		t.Key("substrate_nm", figure(n.Substrate))
	}
	if o.FaceArea > 0 {
		t.Key("face_area_cm2_mg", figure(o.FaceArea))
	}
	o.rows(t)
	return t.Flush()
}

// rows writes K, S and, where they are known, the moments of the phase function.
func (o *Optics) rows(t *table.Writer) {
	header := spectrumKind.Header
	if len(o.Moments) < 2 {
		header = header[:3]
	}
	t.Row(header...)
	for j := range o.K {
		row := []string{figure(colour.WavelengthNM(j)), figure(o.K[j]), figure(o.S[j])}
		if len(header) > 3 {
			var chi []string
			for _, m := range o.Moments[1:] {
				chi = append(chi, strconv.FormatFloat(math.Round(m[j]/grain.Faint)*grain.Faint, 'g', 6, 64))
			}
			row = append(row, strings.Join(chi, ";"))
		}
		t.Row(row...)
	}
}

// figure keeps six digits, past any instrument.
func figure(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// ReadFitNote reads the note of a spectrum file, or returns nil where the file
// carries none.
func ReadFitNote(files fs.FS, name string) (*FitNote, error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, fmt.Errorf("file %s: %w", name, bareReason(err))
	}
	defer f.Close()
	return ParseFitNote(name, f)
}

// ParseFitNote reads what ReadFitNote reads from r; name is used in errors.
func ParseFitNote(name string, r io.Reader) (*FitNote, error) {
	f, err := table.Read(name, r, spectrumKind)
	if err != nil {
		return nil, err
	}
	if f.Value("residual_de00") == "" {
		return nil, nil
	}
	n := &FitNote{
		Powder: f.Value("powder"), Lot: f.Value("lot"), Date: f.Value("date"), Geometry: f.Value("geometry"),
		Method: f.Value("method"), Verdict: f.Value("verdict"), Source: Source(f.Value("source")), Coat: f.Value("coat"),
		Residuals: f.Value("residuals_de00"), KnownTo: f.Value("known_to"),
	}
	for _, k := range []struct {
		key  string
		to   *float64
		most float64
	}{{"residual_de00", &n.Residual, 100}, {"worst_de00", &n.Worst, 200}, {"strength_error", &n.StrengthError, 0.99}, {"substrate_nm", &n.Substrate, 5000}} {
		said, _ := f.Key(k.key)
		if said.Value == "" {
			continue
		}
		if *k.to, err = table.Number(said.Value, 0, k.most); err != nil {
			return nil, f.KeyFault(said, err.Error(), fmt.Sprintf("a number from 0 to %g", k.most))
		}
	}
	if said, _ := f.Key("readings"); said.Value != "" {
		if n.Readings, err = strconv.Atoi(said.Value); err != nil || n.Readings < 0 {
			return nil, f.KeyFault(said, fmt.Sprintf("it is %q", table.Clip(said.Value)), "a whole number")
		}
	}
	return n, nil
}

// CompleteMeasured gives measured flakes what a drawdown cannot tell, from the
// coat they were said to be like: how the light they mirror changes with angle,
// in proportion to the coat's own, and, where their file does not say it, the
// area of a face per mass. Powders without a note or a coat in it are left alone.
// files is where the drawer's spectra are.
func (p *Drawer) CompleteMeasured(files fs.FS, binder float64) error {
	var drawn, like []*Pigment
	for _, g := range p.Pigments {
		if g.Spectrum == "" || !g.Optics.Flake {
			continue
		}
		n, err := ReadFitNote(files, g.Spectrum)
		if err != nil {
			return err
		}
		if n == nil || n.Coat == "" {
			continue
		}
		l := &Pigment{Name: g.Name, Substrate: n.Substrate}
		if l.Substrate < 50 {
			return fmt.Errorf("%s: substrate_nm is %g; 50 to 5000 is accepted", g.Spectrum, n.Substrate)
		}
		if !strings.EqualFold(n.Coat, Bare) {
			if l.Layers, err = flake.ParseLayers(n.Coat); err != nil {
				return fmt.Errorf("%s: coat: %w", g.Spectrum, err)
			}
		}
		drawn, like = append(drawn, g), append(like, l)
	}
	if err := (&Drawer{Pigments: like}).ComputeOptics(binder); err != nil {
		return fmt.Errorf("the coat it is said to be like: %w", err)
	}
	for i, g := range drawn {
		coat := &like[i].Optics
		if g.Optics.FaceArea == 0 {
			g.Optics.FaceArea = coat.FaceArea
		}
		g.Optics.R, g.Optics.T, g.Optics.MeanR, g.Optics.MeanA, g.Optics.Coat = coat.R, coat.T, coat.MeanR, coat.MeanA, coat.Coat
	}
	return nil
}
