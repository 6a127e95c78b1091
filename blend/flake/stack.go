package flake

import (
	"math"
	"math/cmplx"

	"tawny/blend/flake/mie"
)

// matrix is a characteristic matrix for one polarisation, determinant 1.
type matrix struct{ a, b, c, d complex128 }

var unit = matrix{a: 1, d: 1}

// times returns the product m·n: m lies on the side of the incoming light.
func (m matrix) times(n matrix) matrix {
	return matrix{
		m.a*n.a + m.b*n.c, m.a*n.b + m.b*n.d,
		m.c*n.a + m.d*n.c, m.c*n.b + m.d*n.d,
	}
}

// wave is light of one wavelength and direction within one film.
type wave struct {
	eps    complex128
	gamma2 complex128 // γ²
	ratio  complex128 // γ²/ε
	phase  float64    // k₀t at mean thickness
	delta  complex128 // δ at mean thickness
}

// newWave returns the wave in a film; phase is k₀t, beta2 is (n₀ sin θ)².
func newWave(eps complex128, phase, beta2 float64) wave {
	gamma2 := eps - complex(beta2, 0)
	return wave{eps, gamma2, gamma2 / eps, phase, cmplx.Sqrt(gamma2) * complex(phase, 0)}
}

// layer returns the film's matrices for s and p light at scale times its mean
// thickness.
func (w *wave) layer(scale float64) (s, p matrix) {
	c, sinc := cosSinc(w.delta * complex(scale, 0))
	phase := w.phase * scale
	f := complex(imag(sinc)*phase, -real(sinc)*phase) // −i k₀t sin δ/δ
	s = matrix{c, f, w.gamma2 * f, c}
	p = matrix{c, w.ratio * f, w.eps * f, c}
	return s, p
}

// cosSinc returns cos δ and sin δ/δ. Both are even in δ, so the branch of the
// root it comes from does not matter, and both are 1 at 0.
func cosSinc(delta complex128) (c, sinc complex128) {
	x, y := real(delta), imag(delta)
	switch {
	case math.Abs(x)+math.Abs(y) < 1e-3: // the next terms are below 1e-18
		q := delta * delta
		return 1 - q/2 + q*q/24, 1 - q/6 + q*q/120
	case y == 0:
		sin, cos := math.Sincos(x)
		return complex(cos, 0), complex(sin/x, 0)
	case x == 0: // past the critical angle
		return complex(math.Cosh(y), 0), complex(math.Sinh(y)/y, 0)
	default:
		sin, cos := math.Sincos(x)
		e := math.Exp(y)
		up, down := (e+1/e)/2, (e-1/e)/2 // cosh, sinh
		return complex(cos*up, -sin*down), complex(sin*up, cos*down) * mie.Inverse(delta)
	}
}

// side is what one coated face does to amplitudes: reflection from the binder
// and from the mica, and the product of the two transmissions.
type side struct{ outer, inner, through complex128 }

// face returns the coated face of matrix m between the admittances of binder
// and mica.
func (m matrix) face(binder, mica complex128) side {
	ba, bb, md := binder*m.a, binder*mica*m.b, mica*m.d
	inv := mie.Inverse(ba + bb + m.c + md)
	return side{
		outer:   (ba + bb - m.c - md) * inv,
		inner:   (md + bb - m.c - ba) * inv,
		through: 4 * binder * mica * inv * inv,
	}
}

// fringe is the substrate's part: mean phase factor of a double pass through
// the mica and how fast its harmonics fade with the thickness spread.
type fringe struct {
	z    complex128 // e^(iφ)
	fade float64    // e^(−σ²/2)
}

// newFringe returns the fringe of mica of mean thickness and spread in nm.
func newFringe(k0, gamma, thickness, spread float64) fringe {
	sin, cos := math.Sincos(2 * k0 * thickness * gamma)
	sigma := 2 * k0 * spread * gamma
	return fringe{complex(cos, sin), math.Exp(-sigma * sigma / 2)}
}

// series returns Σ_{m≥1} q^(m−1) z^m fade^(m²), |q| < 1.
func (f fringe) series(q complex128) complex128 {
	if f.fade == 1 {
		return f.z / (1 - q*f.z)
	}
	step := q * f.z
	term, fade := f.z, f.fade // q^(m−1) z^m and fade^(2m−1)
	square := f.fade * f.fade
	damp := f.fade
	sum := complex(0, 0)
	for {
		t := term * complex(damp, 0)
		sum += t
		if !(math.Abs(real(t))+math.Abs(imag(t)) >= 1e-17) { // NaN ends it too
			return sum
		}
		term *= step
		fade *= square
		damp *= fade
	}
}

// whole returns the flake's reflectance and transmittance, the mean over the
// substrate's thickness, from its face.
func (f fringe) whole(s side) (r, t float64) {
	q := s.inner * s.inner
	sum := f.series(q)
	inner2 := mie.Norm(s.inner)
	t = mie.Norm(s.through) / (1 - inner2*inner2) * (1 + 2*real(q*sum))
	r = mie.Norm(s.outer) + inner2*t + 2*real(cmplx.Conj(s.outer)*s.through*s.inner*sum)
	return r, t
}
