package drawdown

import (
	"fmt"
	"math"

	"tawny/colour"
)

// Shift is how a new lot differs from the powder on record.
type Shift struct {
	// Strength is how much of the old powder one part of the new stands for:
	// 1.05 is 5 % stronger. Err is its standard error, from the readings'
	// noise and the drawdown's mass.
	Strength, Err float64
	DeltaE00      float64 // of the drawdowns against the old powder, mean
	// Shade is what strength does not explain, mean over the readings at the
	// new strength: new minus old.
	DL, DC, DH    float64 // ΔL*, ΔC*, ΔH* (the metric hue difference, + towards yellow from red)
	ShadeDeltaE00 float64
	Powder        Powder // the old powder at the new strength
}

// noShow is the change of reflectance, for a doubling or so of strength, below
// which a drawdown would look the same whatever the powder's strength.
const noShow = 1e-3

// CompareLot reads a new lot against the powder on record, from as little as
// one drawdown over one ground.
func CompareLot(old Powder, readings []Reading, opt Options) (*Shift, error) {
	if len(readings) == 0 {
		return nil, fmt.Errorf("drawdown: no reading of the new lot")
	}
	obs, films, err := observe(readings, opt.Noise)
	if err != nil {
		return nil, err
	}
	viewing := opt.Viewing
	if viewing == nil {
		viewing = colour.D65
	}
	before := shade(old, obs, viewing)
	x, information, err := strength(old, obs)
	if err != nil {
		return nil, err
	}
	s := &Shift{Strength: math.Exp(x), DeltaE00: before.de}
	s.Powder = old.Scaled(s.Strength)
	after := shade(s.Powder, obs, viewing)
	s.DL, s.DC, s.DH, s.ShadeDeltaE00 = after.dl, after.dc, after.dh, after.de
	// Films err independently; readings of one film share its error.
	mass := make([]float64, len(films))
	for _, o := range obs {
		mass[o.film] = o.Mass.Err / o.Mass.MgPerCM2
	}
	relative := 1 / information
	for _, e := range mass {
		relative += e * e / float64(len(films)*len(films))
	}
	s.Err = s.Strength * math.Sqrt(relative)
	return s, nil
}

// strength returns ln of the factor that fits the old powder to the readings,
// and the Fisher information of it, by damped Gauss–Newton.
func strength(old Powder, obs []observation) (x, information float64, err error) {
	at := func(x float64) (cost, slope, curve, most float64) {
		f := math.Exp(x)
		for i := range obs {
			o := &obs[i]
			for j := range o.Read {
				r, _, _, dm := o.at(j, f*old.K[j], f*old.S[j], old.Flake)
				e, d := (o.Read[j]-r)/o.noise[j], dm/o.noise[j]
				cost += e * e / 2
				slope += e * d
				curve += d * d
				most = max(most, math.Abs(dm))
			}
		}
		return cost, slope, curve, most
	}
	cost, slope, curve, most := at(0)
	if most < noShow {
		return 0, 0, fmt.Errorf("drawdown: at this load and over this ground the powder's strength does not show; draw over a ground of another shade, or another load")
	}
	for range 100 {
		step := max(-1, min(1, slope/curve))
		for part := 1.0; ; part /= 2 {
			c, s, q, _ := at(x + part*step)
			if c <= cost {
				x, cost, slope, curve = x+part*step, c, s, q
				break
			}
			if part < 1e-9 {
				step = 0
				break
			}
		}
		if math.Abs(step) < 1e-10 {
			break
		}
	}
	return x, curve * independent / colour.Bands, nil
}

type shadeShift struct{ dl, dc, dh, de float64 }

// shade returns the mean difference of the readings from what p gives.
func shade(p Powder, obs []observation, viewing *colour.Viewing) (d shadeShift) {
	n := float64(len(obs))
	for i := range obs {
		o := &obs[i]
		var model colour.Spectrum
		for j := range model {
			model[j], _, _, _ = o.at(j, p.K[j], p.S[j], p.Flake)
		}
		read, gives := viewing.Lab(&o.Read), viewing.Lab(&model)
		d.de += colour.DeltaE00(read, gives) / n
		d.dl += (read.L - gives.L) / n
		c, e := read.LCh(), gives.LCh()
		d.dc += (c.C - e.C) / n
		d.dh += 2 * math.Sqrt(c.C*e.C) * math.Sin((c.H-e.H)*math.Pi/360) / n
	}
	return d
}
