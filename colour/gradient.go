package colour

import "math"

// DeltaE00Gradient returns f = ΔE00² between p and a fixed reference q, its
// gradient by the L*, a*, b* of p, and a positive semidefinite Gauss–Newton
// Hessian: what a least-squares solver needs to walk p towards q. Where either
// colour is grey the hue terms have no derivative and count as constant.
func DeltaE00Gradient(p, q Lab) (f float64, gradient [3]float64, hessian [3][3]float64) {
	// Every quantity that depends on a* and b* of p carries its two partial
	// derivatives; the order of steps is that of deltaE00Terms.
	a, b := dual{p.A, 1, 0}, dual{p.B, 0, 1}
	cp := hypotDual(a, b)
	mean := cp.plus(constant(q.Chroma())).times(0.5)
	g := constant(0.5).minus(saturation(mean).times(0.5))
	stretch := g.plus(constant(1))
	a1, a2 := stretch.mul(a), stretch.times(q.A)
	c1, c2 := hypotDual(a1, b), hypotDual(a2, constant(q.B))

	var dh, meanHue dual
	if c1.v*c2.v != 0 {
		h1, h2 := atan2Dual(b, a1), atan2Dual(constant(q.B), a2)
		turn := h2.minus(h1)
		far := math.Abs(turn.v) > halfTurn
		sum := h1.plus(h2)
		if far {
			turn.v -= math.Copysign(2*math.Pi, turn.v)
			if sum.v < 2*math.Pi {
				sum.v += 2 * math.Pi
			} else {
				sum.v -= 2 * math.Pi
			}
		}
		meanHue = sum.times(0.5)
		dh = sqrtDual(c1.mul(c2)).mul(sinDual(turn.times(0.5))).times(2)
	}

	c := c1.plus(c2).times(0.5)
	t := constant(1).
		minus(cosDual(meanHue.plus(constant(-30 * deg))).times(0.17)).
		plus(cosDual(meanHue.times(2)).times(0.24)).
		plus(cosDual(meanHue.times(3).plus(constant(6 * deg))).times(0.32)).
		minus(cosDual(meanHue.times(4).plus(constant(-63 * deg))).times(0.20))
	sc := c.times(0.045).plus(constant(1))
	sh := c.mul(t).times(0.015).plus(constant(1))
	x := meanHue.times(1 / (deg * 25)).plus(constant(-275.0 / 25))
	theta := expDual(x.mul(x).times(-1)).times(30 * deg)
	rt := saturation(c).mul(sinDual(theta.times(2))).times(-2)

	chroma := c2.minus(c1).over(sc)
	hue := dh.over(sh)

	// Lightness depends on L* of p alone.
	l := (p.L+q.L)/2 - 50
	root := math.Sqrt(20 + l*l)
	sl := 1 + 0.015*l*l/root
	slSlope := 0.015 * (2*l/root - l*l*l/(root*root*root)) / 2
	dl := (q.L - p.L) / sl
	dlSlope := (-1 - dl*slSlope) / sl

	f = dl*dl + chroma.v*chroma.v + hue.v*hue.v + rt.v*chroma.v*hue.v
	gradient[0] = 2 * dl * dlSlope
	hessian[0][0] = 2 * dlSlope * dlSlope
	dc := [2]float64{chroma.a, chroma.b}
	dhh := [2]float64{hue.a, hue.b}
	drt := [2]float64{rt.a, rt.b}
	for i := range 2 {
		gradient[i+1] = 2*chroma.v*dc[i] + 2*hue.v*dhh[i] +
			rt.v*(dc[i]*hue.v+chroma.v*dhh[i]) + drt[i]*chroma.v*hue.v
		for j := range 2 {
			hessian[i+1][j+1] = 2*dc[i]*dc[j] + 2*dhh[i]*dhh[j] +
				rt.v*(dc[i]*dhh[j]+dc[j]*dhh[i])
		}
	}
	return math.Max(0, f), gradient, hessian
}

// dual is a value with its derivatives by a* and b*.
type dual struct{ v, a, b float64 }

func constant(v float64) dual          { return dual{v: v} }
func (x dual) plus(y dual) dual        { return dual{x.v + y.v, x.a + y.a, x.b + y.b} }
func (x dual) minus(y dual) dual       { return dual{x.v - y.v, x.a - y.a, x.b - y.b} }
func (x dual) times(k float64) dual    { return dual{x.v * k, x.a * k, x.b * k} }
func (x dual) mul(y dual) dual         { return dual{x.v * y.v, x.a*y.v + x.v*y.a, x.b*y.v + x.v*y.b} }
func (x dual) chain(v, s float64) dual { return dual{v, s * x.a, s * x.b} }
func (x dual) over(y dual) dual {
	v := x.v / y.v
	return dual{v, (x.a - v*y.a) / y.v, (x.b - v*y.b) / y.v}
}

func sinDual(x dual) dual { s, c := math.Sincos(x.v); return x.chain(s, c) }
func cosDual(x dual) dual { s, c := math.Sincos(x.v); return x.chain(c, -s) }
func expDual(x dual) dual { e := math.Exp(x.v); return x.chain(e, e) }

func sqrtDual(x dual) dual {
	r := math.Sqrt(x.v)
	if r == 0 {
		return dual{}
	}
	return x.chain(r, 0.5/r)
}

func hypotDual(x, y dual) dual {
	r := math.Sqrt(x.v*x.v + y.v*y.v)
	if r == 0 {
		return dual{}
	}
	return dual{r, (x.v*x.a + y.v*y.a) / r, (x.v*x.b + y.v*y.b) / r}
}

func atan2Dual(y, x dual) dual {
	r2 := x.v*x.v + y.v*y.v
	return dual{hueRadians(x.v, y.v), (x.v*y.a - y.v*x.a) / r2, (x.v*y.b - y.v*x.b) / r2}
}

// saturation is √(c⁷/(c⁷ + 25⁷)).
func saturation(c dual) dual {
	c6 := c.v * c.v * c.v * c.v * c.v * c.v
	c7 := c6 * c.v
	sum := c7 + pow25to7
	s := math.Sqrt(c7 / sum)
	if s == 0 {
		return dual{}
	}
	return c.chain(s, 3.5*c6*pow25to7/(sum*sum*s))
}
