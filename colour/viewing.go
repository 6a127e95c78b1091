package colour

// Viewing is an illuminant and an observer with the weights that turn a
// spectrum on the grid into X, Y, Z. Make one with [NewViewing]; it is
// read-only afterwards and safe to share.
type Viewing struct {
	Illuminant Illuminant
	Observer   Observer

	weights [3]Spectrum
	white   XYZ
}

// D65 is CIE illuminant D65 and the 2° observer, the viewing every reading is
// taken in unless it says otherwise.
var D65 = NewViewing(mustIlluminant("D65"), CIE1931)

func mustIlluminant(name string) Illuminant {
	l, err := FindIlluminant(name)
	if err != nil {
		panic(err)
	}
	return l
}

// NewViewing makes the weights for a light and an observer. The spectrum
// between bands is the Lagrange interpolant (cubic inside, quadratic in the
// first and last interval) after ASTM E308 and E2022, summed against light
// and observer at the light's own step; the tails beyond 380 and 730 nm go to
// the end bands. X, Y, Z are scaled to Y = 100 for the perfect diffuser.
func NewViewing(light Illuminant, o Observer) *Viewing {
	v := &Viewing{Illuminant: light, Observer: o}
	for k, power := range light.Power {
		nm := powerFirstNM + k*light.StepNM
		c := cmfAt(o, nm)
		first, w := bandWeights(float64(nm))
		for j, wj := range w {
			if wj == 0 {
				continue
			}
			for i := range c {
				v.weights[i][first+j] += power * c[i] * wj
			}
		}
	}
	sum := 0.0
	for _, w := range v.weights[1] {
		sum += w
	}
	for i := range v.weights {
		for j := range v.weights[i] {
			v.weights[i][j] *= 100 / sum
		}
	}
	one := Constant(1)
	v.white = v.XYZ(&one)
	return v
}

// bandWeights returns the weights of four neighbouring bands, from the band
// named, that interpolate the spectrum at nm.
func bandWeights(nm float64) (first int, w [4]float64) {
	x := (nm - FirstNM) / StepNM
	const last = Bands - 1
	switch {
	case x <= 0:
		return 0, [4]float64{1}
	case x >= last:
		return last - 3, [4]float64{3: 1}
	case x < 1:
		return 0, [4]float64{(x - 1) * (x - 2) / 2, x * (2 - x), x * (x - 1) / 2}
	case x > last-1:
		t := last - x
		return last - 3, [4]float64{0, t * (t - 1) / 2, t * (2 - t), (t - 1) * (t - 2) / 2}
	}
	k := int(x)
	return k - 1, lagrange4(x - float64(k))
}

// Name returns illuminant and observer as a reading writes them, "D65/2".
func (v *Viewing) Name() string { return v.Illuminant.Name + "/" + v.Observer.String() }

// Weights returns the three weighting spectra for X, Y and Z. Do not change
// them.
func (v *Viewing) Weights() *[3]Spectrum { return &v.weights }

// White returns the perfect diffuser, Y = 100.
func (v *Viewing) White() XYZ { return v.white }

// XYZ sums a reflectance spectrum into tristimulus values, Y = 100 for R = 1.
func (v *Viewing) XYZ(s *Spectrum) XYZ {
	var x, y, z float64
	for i, r := range s {
		x += r * v.weights[0][i]
		y += r * v.weights[1][i]
		z += r * v.weights[2][i]
	}
	return XYZ{x, y, z}
}

// Lab returns the CIELAB colour of a reflectance spectrum; R = 1 in every
// band is exactly (100, 0, 0).
func (v *Viewing) Lab(s *Spectrum) Lab { return v.LabOf(v.XYZ(s)) }
