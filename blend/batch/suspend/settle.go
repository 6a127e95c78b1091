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

// criticalYield is the largest Y = 2 τ π R²/F, force F on a sphere of radius
// R, at which it still moves through a liquid of yield stress τ: 0.143 (Beris,
// Tsamopoulos, Armstrong & Brown, J. Fluid Mech. 158:219, 1985).
const criticalYield = 0.143

// SphereYield is the yield stress that just holds a sphere up, Pa. With
// F = Δρ g π d³/6 the criterion reads τ = Δρ g d · 0.143/3, about
// 0.048 Δρ g d.
func SphereYield(d, deltaRho float64) float64 { return criticalYield / 3 * deltaRho * Gravity * d }

// Yield is the yield stress that holds a thin disc up whichever way it is
// turned, Pa. A disc on edge is held by shear on its two faces alone once its
// rim is neglected: Δρ g t = 2 τ, exact for a wide upright plate and more
// than the disc needs. A level disc is held by far less. The result is the
// larger of that and the criterion of the sphere of equal volume.
func (d Disc) Yield(deltaRho float64) float64 {
	return max(deltaRho*Gravity*d.Thickness/2, SphereYield(d.EqualSphere(), deltaRho))
}
