package palette

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"tawny/blend/flake"
	"tawny/blend/flake/grain"
	"tawny/colour"
	"tawny/colour/parallel"
	"tawny/colour/table"
)

// ComputeOptics fills the optics of every powder given by its layers, for a
// binder of the given refractive index; those read from a spectrum file keep
// what the file says, unless it tells of grains modelled in another. Powders are
// shared out over the processors.
func (p *Drawer) ComputeOptics(binder float64) error {
	n := len(p.Pigments)
	errs := make([]error, n)
	// From the end, where the grains mostly stand, whose optics take longest.
	parallel.For(0, n, func(i int) { errs[n-1-i] = p.Pigments[n-1-i].computeOptics(binder) })
	for i, err := range errs {
		if err != nil {
			return fmt.Errorf("powder %q: %w", p.Pigments[i].Name, err)
		}
	}
	return nil
}

// Flake returns the coated flake of a powder given by layers.
func (g *Pigment) Flake(binder float64) flake.Flake {
	f := flake.New(g.Layers...)
	f.Binder = binder
	// The spread of mica thickness grows with the thickness: a quarter of it,
	// as 100 nm of 400 (design figure, from memory of such fractions).
	f.SubstrateNM, f.SubstrateSpreadNM = g.Substrate, g.Substrate/4
	return f
}

func (g *Pigment) computeOptics(binder float64) (err error) {
	o := &Optics{Coat: g.Flake(binder)}
	if g.Spectrum != "" {
		o, err = g.Optics.In(binder)
	} else {
		o, err = o.model()
	}
	if err == nil {
		g.Optics = *o
	}
	return err
}

// known keeps optics by what they were computed from, since jobs open the same
// powders time and again, up to about 20 MB. What it keeps is only read.
var known = parallel.Once[string, *Optics]{Most: 1000}

// model returns the optics of the coat or the grains that others go by.
func (o *Optics) model() (*Optics, error) {
	if o.Grain.Material == "" {
		return computed(o.Coat, func() (Optics, error) { return FlakeOptics(o.Coat) })
	}
	return computed(o.Grain, func() (Optics, error) {
		m, err := o.Grain.Optics()
		return Optics{K: m.K, S: m.S, Moments: m.Moments, Grain: o.Grain}, err
	})
}

// strength is K and S alone of the grains that others go by.
func (o *Optics) strength() (*Optics, error) {
	return computed(struct{ Strength grain.Grain }{o.Grain}, func() (Optics, error) {
		m, err := o.Grain.Strength()
		return Optics{K: m.K, S: m.S}, err
	})
}

// Binder is the refractive index of the binder the optics were modelled in, 0 where
// they were not and hold in any.
func (o *Optics) Binder() float64 {
	if len(o.R) > 0 {
		return o.Coat.Binder
	}
	return o.Grain.Binder
}

// In returns the optics in a binder of another index. What was measured of them and
// their strength stay as they are against the model's.
func (o *Optics) In(binder float64) (*Optics, error) {
	if was := o.Binder(); was == 0 || was == binder {
		return o, nil
	}
	in, of := *o, o.model
	if len(o.R) > 0 {
		in.Coat.Binder = binder
	} else {
		in.Grain.Binder = binder
		of = o.strength
	}
	was, err := of()
	if err != nil {
		return nil, err
	}
	now, err := in.model()
	if err != nil {
		return nil, err
	}
	for b := range in.K {
		in.K[b] *= changed(was.K[b], now.K[b])
		in.S[b] *= changed(was.S[b], now.S[b])
	}
	in.R, in.T, in.MeanR, in.MeanA, in.Moments = now.R, now.T, now.MeanR, now.MeanA, now.Moments
	return &in, nil
}

// changed is the ratio of two figures in cm²/mg, 1 where the first is only the
// rounding of none.
func changed(was, now float64) float64 {
	if was < 1e-9 {
		return 1
	}
	return now / was
}

// computed returns what was computed of this before, or computes it.
func computed(of any, compute func() (Optics, error)) (*Optics, error) {
	return known.Get(fmt.Sprintf("%#v", of), func() (*Optics, error) {
		o, err := compute()
		return &o, err
	})
}

// FlakeOptics returns what a powder of coated flakes does to light, in the
// flake's own binder.
func FlakeOptics(f flake.Flake) (o Optics, err error) {
	t, err := f.Table()
	if err != nil {
		return o, err
	}
	o = Optics{K: t.K, S: t.S, R: t.R, T: t.T, Flake: true, FaceArea: t.FaceArea, Coat: f}
	for j, k := range o.K {
		// A clear stack absorbs nothing, less a rounding of 1 − R − T.
		if k < 0 && k > -1e-9 {
			o.K[j] = 0
		}
		o.MeanR[j], o.MeanA[j] = o.S[j]/o.FaceArea, o.K[j]/o.FaceArea
	}
	return o, nil
}

// readPowderSpectrum reads a powder's K and S: '# kind: flake' or 'diffuse',
// for a flake perhaps '# face_area_cm2_mg: 5.6', which single glints need, for
// grains perhaps '# g: 0.6', the mean cosine of their scattering, then
// wavelength,k,s with K and S in cm²/mg of powder, and where it is known
// moments, those of the phase function from χ_1 = g, joined by `;`.
func readPowderSpectrum(files fs.FS, name string) (Optics, error) {
	var o Optics
	if strings.ContainsAny(name, `/\`) || strings.Contains(name, "..") {
		return o, fmt.Errorf("file %q: a plain file name beside the drawer is accepted", table.Clip(name))
	}
	if files == nil {
		return o, fmt.Errorf("file %s: there is nowhere to look for it", name)
	}
	f, err := files.Open(name)
	if err != nil {
		return o, fmt.Errorf("file %s: %w", name, bareReason(err))
	}
	defer f.Close()
	return ParsePowderSpectrum(name, f)
}

// spectrumKind is a powder's spectrum: K and S in cm²/mg by wavelength.
var spectrumKind = table.Kind{Header: []string{"wavelength", "k", "s", "moments"}, Optional: []string{"moments"}}

// ParsePowderSpectrum reads K and S of one powder from r; name is used in
// errors.
func ParsePowderSpectrum(name string, r io.Reader) (Optics, error) {
	var o Optics
	f, err := table.Read(name, r, spectrumKind)
	if err != nil {
		return o, err
	}
	kind, _ := f.Key("kind")
	switch strings.ToLower(kind.Value) {
	case "flake":
		o.Flake = true
	case "diffuse", "":
	default:
		return o, f.KeyFault(kind, fmt.Sprintf("it is %q", table.Clip(kind.Value)), "flake or diffuse")
	}
	if k, ok := f.Key("face_area_cm2_mg"); ok {
		if o.FaceArea, err = table.Number(k.Value, 0, 100); err != nil || o.FaceArea == 0 {
			return o, f.KeyFault(k, fmt.Sprintf("it is %q", table.Clip(k.Value)), "more than 0 and at most 100")
		}
	}
	var column [3][]float64
	moments := make([][]float64, len(table.Words(f.Rows[0].Fields[3])))
	if len(moments) > grain.Kept {
		return o, f.Fault(f.Rows[0], 3, fmt.Sprintf("%d moments", len(moments)), fmt.Sprintf("at most %d", grain.Kept))
	}
	chi := []float64{1}
	for _, row := range f.Rows {
		words := table.Words(row.Fields[3])
		if len(words) != len(moments) {
			return o, f.Fault(row, 3, fmt.Sprintf("%d moments", len(words)), fmt.Sprintf("%d, as in the first row", len(moments)))
		}
		chi = chi[:1]
		for l, text := range words {
			x, err := table.Number(text, -1, 1)
			if err != nil {
				return o, f.Fault(row, 3, err.Error(), "numbers from -1 to 1 joined by ;")
			}
			moments[l] = append(moments[l], x)
			chi = append(chi, x)
		}
		if deg, p := grain.LeastScattered(chi); p < -negligible {
			return o, f.Fault(row, 3, fmt.Sprintf("no scattering has these moments: at %g° they come to %.3g of the mean", deg, p),
				fmt.Sprintf("those of a phase function nowhere below 0, of a narrow one more of them (at most %d)", grain.Kept))
		}
		for c, text := range row.Fields[:3] {
			x, err := table.Number(text, 0, 1e4)
			if err != nil {
				return o, f.Fault(row, c, err.Error(), "a number of at least 0 (K and S in cm²/mg)")
			}
			column[c] = append(column[c], x)
		}
	}
	if o.K, err = colour.Resample(column[0], column[1]); err != nil {
		return o, fmt.Errorf("%s: %w", name, err)
	}
	if o.S, err = colour.Resample(column[0], column[2]); err != nil {
		return o, fmt.Errorf("%s: %w", name, err)
	}
	if k, ok := f.Key("grain"); ok {
		g := &o.Grain
		words := table.Words(k.Value)
		if len(words) == 4 {
			g.Material = words[0]
			for i, to := range []*float64{&g.DiameterUM, &g.GSD, &g.Binder} {
				if *to, err = table.Number(words[i+1], 0, 100); err != nil {
					break
				}
			}
		}
		if g.Material == "" || err != nil {
			return o, f.KeyFault(k, fmt.Sprintf("it is %q", table.Clip(k.Value)), "material;median µm;geometric standard deviation;binder index")
		}
	}
	if err := o.phase(f, column[0], moments); err != nil {
		return o, err
	}
	return o, nil
}

// negligible is how far below nothing a phase function may swing where its moments
// are rounded, as a share of its mean.
const negligible = 0.02

// phase fills the moments of a phase function from a file's '# g:' or its rows.
func (o *Optics) phase(f *table.File, nm []float64, moments [][]float64) error {
	if k, ok := f.Key("g"); ok {
		g, err := table.Number(k.Value, -0.9, 0.9)
		if err != nil {
			return f.KeyFault(k, err.Error(), "a number from -0.9 to 0.9")
		}
		if len(moments) > 0 {
			return f.KeyFault(k, "the rows have moments too", "one of the two")
		}
		o.Moments = grain.HenyeyGreenstein(g)
		return nil
	}
	if len(moments) == 0 {
		return nil
	}
	o.Moments = [][colour.Bands]float64{colour.Constant(1)}
	for _, chi := range moments {
		row, err := colour.Resample(nm, chi)
		if err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
		o.Moments = append(o.Moments, row)
	}
	return nil
}

// bareReason strips the path that errors of files repeat.
func bareReason(err error) error {
	var e *fs.PathError
	if errors.As(err, &e) {
		return e.Err
	}
	return err
}
