package film

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Tilt is how far flakes lie from parallel to the skin: Gaussian slopes, the
// same along every axis. The zero Tilt is flat, a mirror.
type Tilt struct {
	SigmaDeg float64 // standard deviation of the tilt along one axis, degrees
}

// Below flattest degrees the beam is as narrow as a mirror's for every purpose
// here and is computed as one. Beyond steepest the picture of flakes lying
// flat has no meaning.
const (
	flattest = 0.5
	steepest = 40
)

func (t Tilt) check() error {
	if !(t.SigmaDeg >= 0 && t.SigmaDeg <= steepest) {
		return fmt.Errorf("film: the tilt of flakes lies from 0° to %d°, got %g°", steepest, t.SigmaDeg)
	}
	return nil
}

// D returns the density of flake normals per steradian at tilt β, given its
// cosine:
//
//	D(β) = exp(−tan²β / 2s²) / (2π s² cos⁴β),   s = tan σ
//
// so that the flakes' areas seen from straight above sum to one:
// ∫ D cosβ dω = 1. For a flat Tilt it is 0 everywhere but at β = 0, where it
// is +Inf.
func (t Tilt) D(cos float64) float64 {
	if cos <= 0 {
		return 0
	}
	c2 := cos * cos
	s := math.Tan(t.SigmaDeg * math.Pi / 180)
	if s == 0 {
		if c2 >= 1 {
			return math.Inf(1)
		}
		return 0
	}
	return math.Exp(-(1-c2)/(2*s*s*c2)) / (2 * math.Pi * s * s * c2 * c2)
}

// Escape returns, for light entering a binder of the given index, which share
// of the flakes' beam is transmitted out into air (τ) and which meets the
// surface inside the escape cone at all (τc ≥ τ). The remainder goes sideways,
// is turned back whole, and joins the diffuse light.
func (t Tilt) Escape(index float64, entry Entry) (tau, tauC float64, err error) {
	if err := t.check(); err != nil {
		return 0, 0, err
	}
	if !(index >= 1 && index <= 3) {
		return 0, 0, fmt.Errorf("%w, got %g", ErrIndex, index)
	}
	if !entry.Diffuse && !(entry.Deg >= 0 && entry.Deg < 90) {
		return 0, 0, fmt.Errorf("%w, got %g°", ErrAngle, entry.Deg)
	}
	tau, tauC = t.escape(index, entry)
	return tau, tauC, nil
}

func (t Tilt) escape(index float64, entry Entry) (tau, tauC float64) {
	if !entry.Diffuse {
		return t.escapeFrom(index, math.Cos(entry.Deg*math.Pi/180))
	}
	// Light from all round, weighted by what of it enters.
	const points = 12
	var mu, w [points]float64
	quad.Legendre{}.FixedLocations(mu[:], w[:], 0, 1)
	all := 0.0
	for i, m := range mu {
		f := w[i] * m * (1 - Fresnel(index, m))
		a, c := t.escapeFrom(index, m)
		tau += f * a
		tauC += f * c
		all += f
	}
	return tau / all, tauC / all
}

// escapeFrom integrates the lobe over every direction in air, where it is
// smooth: the escape cone's edge, where transmission falls like a square root,
// becomes the horizon.
func (t Tilt) escapeFrom(index, cosAir float64) (tau, tauC float64) {
	if t.SigmaDeg < flattest {
		return 1 - Fresnel(index, cosAir), 1
	}
	// A lobe σ wide is some 2σ wide in the binder and wider in air; this many
	// points leave an error below 1e-6 from flattest to steepest.
	points := 40 + int(400/t.SigmaDeg)
	mu, w := make([]float64, points), make([]float64, points)
	quad.Legendre{}.FixedLocations(mu, w, 0, 1)
	around := 2 * points
	in := ray(index, cosAir)
	for i, m := range mu {
		out := ray(index, m)
		sum := 0.0
		for k := 0; k < around; k++ {
			// The lobe is symmetric, so half the circle at midpoints.
			phi := (float64(k) + 0.5) * math.Pi / float64(around)
			sum += t.lobe(index, in, out, math.Cos(phi))
		}
		// π sum/around is the mean over the half circle; twice that is 2π.
		share := w[i] * m * sum / float64(around) * 2
		tauC += share
		tau += share * (1 - Fresnel(index, m))
	}
	return tau, tauC
}

// direction is a direction in the binder by its sine and cosine to the normal.
type direction struct{ sin, cos float64 }

// ray refracts a direction in air, given its cosine, into the binder.
func ray(index, cosAir float64) direction {
	sin := math.Sqrt(max(0, 1-cosAir*cosAir)) / index
	return direction{sin, math.Sqrt(1 - sin*sin)}
}

// lobe returns π D(β)/(4 n² cosθi cosθo), the beam's radiance factor in air
// per unit of P before the surface's two transmissions, where cosPhi is the
// cosine of the azimuth from the light's side to the view's.
func (t Tilt) lobe(index float64, in, out direction, cosPhi float64) float64 {
	// Half-way between the two directions stands the normal of the flakes
	// that send one into the other.
	between := in.sin*out.sin*cosPhi + in.cos*out.cos
	cosTilt := (in.cos + out.cos) / math.Sqrt(2+2*between)
	return math.Pi * t.D(cosTilt) / (4 * index * index * in.cos * out.cos)
}
