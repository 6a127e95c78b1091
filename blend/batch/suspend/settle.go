package suspend

import "math"

// Gravity is the standard acceleration of free fall, m/s² (exact, CGPM 1901).
const Gravity = 9.80665

// Sphere is Stokes's terminal speed of a sphere, m/s: v = Δρ g d²/(18 η), for
// diameter d [m], density difference Δρ [kg/m³] and viscosity η [Pa·s].
// Negative speeds rise.
func Sphere(d, deltaRho, eta float64) float64 { return deltaRho * Gravity * d * d / (18 * eta) }

// Disc is a thin flat flake.
type Disc struct {
	Radius    float64 // m
	Thickness float64 // m
}

// Drag coefficients of a thin disc of radius a moving through a liquid
// without inertia, force = c · η a U (Happel & Brenner, Low Reynolds Number
// Hydrodynamics, 1965, §5-11, from memory; the broadside value is Oberbeck's).
const (
	dragBroadside = 16.0
	dragEdgewise  = 32.0 / 3
)

// force is the disc's weight less its buoyancy, N.
func (d Disc) force(deltaRho float64) float64 {
	return deltaRho * Gravity * math.Pi * d.Radius * d.Radius * d.Thickness
}

// Broadside is the terminal speed with the face level, m/s.
func (d Disc) Broadside(deltaRho, eta float64) float64 {
	return d.force(deltaRho) / (dragBroadside * eta * d.Radius)
}

// Edgewise is the terminal speed with the face upright, m/s.
func (d Disc) Edgewise(deltaRho, eta float64) float64 {
	return d.force(deltaRho) / (dragEdgewise * eta * d.Radius)
}

// Tumbling is the mean terminal speed of a randomly turned disc, m/s. The
// mobility averaged over directions is (1/16 + 2·3/32)/3 = 1/12, so
// v = π Δρ g r t/(12 η).
func (d Disc) Tumbling(deltaRho, eta float64) float64 {
	return d.Broadside(deltaRho, eta)/3 + 2*d.Edgewise(deltaRho, eta)/3
}

// EqualSphere is the diameter of the sphere of the same volume, m.
func (d Disc) EqualSphere() float64 {
	return 2 * math.Cbrt(0.75*d.Radius*d.Radius*d.Thickness)
}
