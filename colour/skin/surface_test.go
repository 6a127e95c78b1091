package skin

import (
	"math"
	"testing"
)

// Outer diffuse reflectance of a smooth surface: 0.092 for n = 1.5 (Judd, J.
// Res. NBS 29:329, 1942) and 0.066 for water, 1.33 (both from memory), and the
// closed form. At normal incidence 4 to 7 per cent is published for skin.
func TestSurfaceIsPublishedFresnel(t *testing.T) {
	for _, row := range []struct{ n, r float64 }{{1.5, 0.0918}, {1.33, 0.0660}} {
		if got := diffuseFresnel(row.n); math.Abs(got-row.r) > 1e-3 {
			t.Errorf("n = %g: diffuse %.4f, published %.4f", row.n, got, row.r)
		}
	}
	if math.Abs(diffuseFresnel(1.5)-duntley(1.5)) > 1e-6 || math.Abs(diffuseFresnel(1.55)-duntley(1.55)) > 1e-6 {
		t.Errorf("midpoint rule %.8f, closed form %.8f", diffuseFresnel(1.5), duntley(1.5))
	}
	if Surface < 0.04 || Surface > 0.07 {
		t.Errorf("surface %.4f; 4 to 7 per cent is published for skin", Surface)
	}
}

// duntley is the closed form of the diffuse Fresnel reflectance (Walsh 1926).
func duntley(n float64) float64 {
	n2 := n * n
	n4 := n2 * n2
	return 0.5 + (n-1)*(3*n+1)/(6*(n+1)*(n+1)) +
		n2*(n2-1)*(n2-1)/math.Pow(n2+1, 3)*math.Log((n-1)/(n+1)) -
		2*n*n2*(n2+2*n-1)/((n2+1)*(n4-1)) +
		8*n4*(n4+1)/((n2+1)*(n4-1)*(n4-1))*math.Log(n)
}

func TestLogKSInvertsAndSlopes(t *testing.T) {
	for y := -14.0; y <= 14; y += 0.25 {
		r, slope := fromLogKS(y)
		if !(r > 0 && r < 1-Surface) {
			t.Fatalf("ln K/S %g: reflectance %g outside 0 to %g", y, r, 1-Surface)
		}
		if back := LogKS(r); y > -10 && math.Abs(back-y) > 1e-8 {
			t.Errorf("ln K/S %g comes back as %.12g", y, back)
		}
		const h = 1e-5
		up, _ := fromLogKS(y + h)
		down, _ := fromLogKS(y - h)
		if numeric := (up - down) / (2 * h); math.Abs(numeric-slope) > 1e-6*math.Abs(slope)+1e-11 {
			t.Errorf("ln K/S %g: slope %.10g, differences give %.10g", y, slope, numeric)
		}
	}
}
