package film

import "math"

// vec is a direction. In the film z points down, into the skin; light comes
// from z < 0 travelling with z > 0.
type vec [3]float64

func (a vec) dot(b vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a vec) scaled(s float64) vec { return vec{a[0] * s, a[1] * s, a[2] * s} }

func (a vec) plus(b vec) vec { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a vec) unit() vec { return a.scaled(1 / math.Sqrt(a.dot(a))) }

// mirrored is the direction light takes from a flake of normal m.
func (a vec) mirrored(m vec) vec { return a.plus(m.scaled(-2 * a.dot(m))) }

// towards is the direction in a plane of incidence, deg degrees from the
// normal, travelling down.
func towards(deg float64) vec {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return vec{sin, 0, cos}
}

// refracted is a direction in air as it goes on in the binder.
func (a vec) refracted(index float64) vec {
	x, y := a[0]/index, a[1]/index
	return vec{x, y, math.Copysign(math.Sqrt(1-x*x-y*y), a[2])}
}

// normals returns n normals (z > 0) whose slopes are Gaussian with standard
// deviation slope along every axis, as a Fibonacci lattice: of points this even
// 1,500 serve where a Gauss rule of 41² fails, because what is averaged jumps
// at the critical angle.
func normals(slope float64, n int) []vec {
	if slope == 0 {
		return []vec{{0, 0, 1}}
	}
	m := make([]vec, n)
	for i := range m {
		at := float64(i) + 0.5
		r := slope * math.Sqrt(-2*math.Log1p(-at/float64(n)))
		sin, cos := math.Sincos(math.Pi * (1 + math.Sqrt(5)) * at)
		m[i] = vec{-r * cos, -r * sin, 1}.unit()
	}
	return m
}

// fineTilts is how many slopes an average over a jump takes.
const fineTilts = 1500

// tilts are flakes' normals as averages need them.
type tilts struct {
	fine        []vec // where what is averaged jumps
	lobe, again []vec // of the flakes that mirror a beam, and of those it meets then
}

func newTilts(slope float64) *tilts {
	return &tilts{normals(slope, fineTilts), normals(slope, 400), normals(slope, 160)}
}

// slopeDensity is the density of Gaussian slopes at normal m.
func slopeDensity(m vec, slope float64) float64 {
	if slope == 0 {
		return 0
	}
	s2 := slope * slope
	t2 := (m[0]*m[0] + m[1]*m[1]) / (m[2] * m[2])
	return math.Exp(-t2/(2*s2)) / (2 * math.Pi * s2)
}
