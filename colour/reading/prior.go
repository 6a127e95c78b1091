package reading

// prior holds one standard deviation for each unknown.
type prior [unknowns]float64

const (
	// Exposure and tint may be anything.
	looseTint = 10
	// A telephone's sRGB still mixes its channels by some per cent (guessed
	// from the residual errors of 3–6 ΔE that white balance alone leaves,
	// common practice). Where at least four patches settle a full 3 × 3, the
	// prior is made so loose that it is plain least squares.
	usualMixing = 0.06
	looseMixing = 3.0
	// Window light falls by up to a half over an arm's length (guessed).
	usualSlope = 0.4
	// Bent tone curves (guessed); loose enough that a few greys override them.
	// A k of 0.25 moves the quarter tones by 2.4 % of full scale.
	usualContrast = 0.05
	usualBending  = 0.25
)

func (m model) prior() prior {
	mix := usualMixing
	if m == full {
		mix = looseMixing
	}
	return prior{
		looseTint, looseTint, looseTint, mix, mix, mix, mix, mix, mix,
		usualSlope, usualSlope, usualContrast, usualBending,
	}
}
