package palette

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"tawny/blend/flake"
	"tawny/colour"
)

// ComputeOptics fills the optics of every powder given by its layers, for a
// binder of the given refractive index; those read from a spectrum file keep
// what the file says. Powders are shared out over the processors.
func (p *Drawer) ComputeOptics(binder float64) error {
	angles := flake.LocalIncidence(binder)
	errs := make([]error, len(p.Pigments))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(p.Pigments)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for {
				i := int(next.Add(1)) - 1
				if i >= len(p.Pigments) {
					return
				}
				errs[i] = p.Pigments[i].computeOptics(binder, angles)
			}
		}()
	}
	wg.Wait()
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

func (g *Pigment) computeOptics(binder float64, angles [4]float64) error {
	if g.Spectrum != "" {
		return nil
	}
	o, err := g.Flake(binder).Optics(angles[:]...)
	if err != nil {
		return err
	}
	for j, k := range o.K {
		// A clear stack absorbs nothing, less a rounding of 1 − R − T.
		if k < 0 && k > -1e-9 {
			o.K[j] = 0
		}
	}
	g.Optics = Optics{K: o.K, S: o.S, Flake: true, FaceArea: o.FaceArea}
	copy(g.Optics.SAt[:], o.SAt)
	return nil
}

// readPowderSpectrum reads a powder's K and S: '# kind: flake' or 'diffuse',
// for a flake perhaps '# face_area_cm2_mg: 5.6', which single glints need, then
// wavelength,k,s with K and S in cm²/mg of powder.
func readPowderSpectrum(files fs.FS, name string) (Optics, error) {
	var o Optics
	if strings.ContainsAny(name, `/\`) || strings.Contains(name, "..") {
		return o, fmt.Errorf("file %q: a plain file name beside the drawer is accepted", clip(name))
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

// ParsePowderSpectrum reads K and S of one powder from r; name is used in
// errors.
func ParsePowderSpectrum(name string, r io.Reader) (Optics, error) {
	var o Optics
	keys, body, skipped, err := splitComments(name, r)
	if err != nil {
		return o, err
	}
	switch kind := strings.ToLower(keys["kind"]); kind {
	case "flake":
		o.Flake = true
	case "diffuse", "":
	default:
		return o, fmt.Errorf("%s: kind is %q; flake or diffuse is accepted", name, clip(kind))
	}
	if text, ok := keys["face_area_cm2_mg"]; ok {
		if o.FaceArea, err = strconv.ParseFloat(text, 64); err != nil || !(o.FaceArea > 0 && o.FaceArea <= 100) {
			return o, fmt.Errorf("%s: face_area_cm2_mg is %q; more than 0 and at most 100 is accepted", name, clip(text))
		}
	}
	var nm, k, s []float64
	for i, line := range strings.Split(string(body), "\n") {
		line = strings.TrimSpace(line)
		at := skipped + i + 1
		if line == "" {
			continue
		}
		fields := strings.Split(line, ",")
		if len(nm) == 0 && strings.EqualFold(strings.ReplaceAll(line, " ", ""), "wavelength,k,s") {
			continue
		}
		if len(fields) != 3 {
			return o, fmt.Errorf("%s:%d: %d columns; wavelength,k,s is accepted", name, at, len(fields))
		}
		var v [3]float64
		for c, field := range fields {
			x, err := strconv.ParseFloat(strings.TrimSpace(field), 64)
			if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || c > 0 && (x < 0 || x > 1e4) {
				return o, fmt.Errorf("%s:%d: %s is %q; a number of at least 0 (K and S in cm²/mg) is accepted", name, at, [3]string{"wavelength", "k", "s"}[c], clip(field))
			}
			v[c] = x
		}
		nm, k, s = append(nm, v[0]), append(k, v[1]), append(s, v[2])
	}
	if o.K, err = colour.Resample(nm, k); err != nil {
		return o, fmt.Errorf("%s: %w", name, err)
	}
	if o.S, err = colour.Resample(nm, s); err != nil {
		return o, fmt.Errorf("%s: %w", name, err)
	}
	if o.Flake {
		// A drawdown tells one angle only; the others are taken as the same.
		for a := range o.SAt {
			o.SAt[a] = o.S
		}
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
