package colour

// Metamerism returns the ΔE00 between two spectra under second, after their
// match under first. Where the match under first is not exact, the sample's
// X, Y, Z under second are scaled by the ratios found under first, the
// multiplicative correction CIE 15 gives for a special metamerism index.
func Metamerism(standard, sample *Spectrum, first, second *Viewing) float64 {
	s1, p1 := first.XYZ(standard), first.XYZ(sample)
	p2 := second.XYZ(sample)
	corrected := XYZ{p2.X * ratio(s1.X, p1.X), p2.Y * ratio(s1.Y, p1.Y), p2.Z * ratio(s1.Z, p1.Z)}
	return DeltaE00(second.Lab(standard), second.LabOf(corrected))
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 1
	}
	return a / b
}

// Shift returns the ΔE00 between one spectrum's colours under two lights,
// each seen by eyes adapted to that light (CIELAB's own white). It is what a
// dancer's shimmer does between daylight and the stage.
func Shift(s *Spectrum, first, second *Viewing) float64 {
	return DeltaE00(first.Lab(s), second.Lab(s))
}
