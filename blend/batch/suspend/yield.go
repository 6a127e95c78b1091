package suspend

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
