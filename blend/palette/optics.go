package palette

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"tawny/blend/flake"
	"tawny/colour"
	"tawny/colour/parallel"
	"tawny/colour/table"
)

// ComputeOptics fills the optics of every powder given by its layers, for a
// binder of the given refractive index; those read from a spectrum file keep
// what the file says. Powders are shared out over the processors.
func (p *Drawer) ComputeOptics(binder float64) error {
	errs := make([]error, len(p.Pigments))
	parallel.For(0, len(p.Pigments), func(i int) { errs[i] = p.Pigments[i].computeOptics(binder) })
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

func (g *Pigment) computeOptics(binder float64) error {
	if g.Spectrum != "" {
		return nil
	}
	o, err := FlakeOptics(g.Flake(binder))
	g.Optics = o
	return err
}

// FlakeOptics returns what a powder of coated flakes does to light, in the
// flake's own binder.
func FlakeOptics(f flake.Flake) (o Optics, err error) {
	mean, err := f.Optics()
	if err != nil {
		return o, err
	}
	o = Optics{K: mean.K, S: mean.S, Flake: true, FaceArea: mean.FaceArea}
	if o.R, o.T, err = f.AtCosines(flake.Cosines(f.Binder)); err != nil {
		return o, err
	}
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
// for a flake perhaps '# face_area_cm2_mg: 5.6', which single glints need, then
// wavelength,k,s with K and S in cm²/mg of powder.
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
var spectrumKind = table.Kind{Header: []string{"wavelength", "k", "s"}}

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
	for _, row := range f.Rows {
		for c, text := range row.Fields {
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
	return o, nil
}

// bareReason strips the path that errors of files repeat.
func bareReason(err error) error {
	var e *fs.PathError
	if errors.As(err, &e) {
		return e.Err
	}
	return err
}
