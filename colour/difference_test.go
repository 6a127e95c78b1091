package colour

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

// sharma is table 1 of Sharma, Wu and Dalal, "The CIEDE2000 Color-Difference
// Formula: Implementation Notes, Supplementary Test Data, and Mathematical
// Observations", Color Res. Appl. 30:21 (2005): two colours and their ΔE00.
var sharma = [34][7]float64{
	{50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425},
	{50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615},
	{50, 2.8361, -74.0200, 50, 0, -82.7485, 3.4412},
	{50, -1.3802, -84.2814, 50, 0, -82.7485, 1.0000},
	{50, -1.1848, -84.8006, 50, 0, -82.7485, 1.0000},
	{50, -0.9009, -85.5211, 50, 0, -82.7485, 1.0000},
	{50, 0, 0, 50, -1, 2, 2.3669},
	{50, -1, 2, 50, 0, 0, 2.3669},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0009, 7.1792},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0010, 7.1792},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0011, 7.2195},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0012, 7.2195},
	{50, -0.0010, 2.4900, 50, 0.0009, -2.4900, 4.8045},
	{50, -0.0010, 2.4900, 50, 0.0010, -2.4900, 4.8045},
	{50, -0.0010, 2.4900, 50, 0.0011, -2.4900, 4.7461},
	{50, 2.5000, 0, 50, 0, -2.5000, 4.3065},
	{50, 2.5000, 0, 73, 25, -18, 27.1492},
	{50, 2.5000, 0, 61, -5, 29, 22.8977},
	{50, 2.5000, 0, 56, -27, -3, 31.9030},
	{50, 2.5000, 0, 58, 24, 15, 19.4535},
	{50, 2.5000, 0, 50, 3.1736, 0.5854, 1.0000},
	{50, 2.5000, 0, 50, 3.2972, 0, 1.0000},
	{50, 2.5000, 0, 50, 1.8634, 0.5757, 1.0000},
	{50, 2.5000, 0, 50, 3.2592, 0.3350, 1.0000},
	{60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644},
	{63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630},
	{61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731},
	{35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645},
	{22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373},
	{36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146},
	{90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441},
	{90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381},
	{6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377},
	{2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082},
}

func TestCIEDE2000OnSharmasPairs(t *testing.T) {
	for i, r := range sharma {
		p, q := Lab{r[0], r[1], r[2]}, Lab{r[3], r[4], r[5]}
		if got := DeltaE00(p, q); math.Abs(got-r[6]) > 1e-4 {
			t.Errorf("pair %d: %.5f, published %.4f", i+1, got, r[6])
		}
		if of := Residuals00(p, q); math.Abs(math.Sqrt(of[0]*of[0]+of[1]*of[1]+of[2]*of[2])-DeltaE00(p, q)) > 1e-9 {
			t.Errorf("pair %d: parts %v of %.5f", i+1, of, DeltaE00(p, q))
		}
		if got := DeltaE00(q, p); math.Abs(got-r[6]) > 1e-4 {
			t.Errorf("pair %d turned round: %.5f, published %.4f", i+1, got, r[6])
		}
	}
}

// reference holds testdata/colour/reference.json, made by the script beside it.
type reference struct {
	SRGB []struct {
		Hex             string
		Culori, Colorjs [3]float64
	}
	Ratios []struct{ Ratio, Lab [3]float64 }
	LCh    []struct{ Lab, LCh [3]float64 }
	DE00   []struct {
		P, Q            [3]float64
		Culori, Colorjs float64
	}
	Bradford, CAT16 []struct{ From, To, XYZ, Adapted [3]float64 }
	Gamut           []struct {
		Lab, Linear [3]float64
		Outside     float64 // of the unit cube
		RGB         [3]uint8
	}
}

func readReference(t *testing.T) reference {
	t.Helper()
	b, err := os.ReadFile("../testdata/colour/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.SRGB) < 50 || len(r.Ratios) < 30 || len(r.LCh) < 20 || len(r.DE00) < 100 || len(r.Bradford) < 20 || len(r.CAT16) < 20 || len(r.Gamut) < 100 {
		t.Fatal("the reference file is short")
	}
	return r
}

func labOf(v [3]float64) Lab { return Lab{v[0], v[1], v[2]} }

func TestCIEDE2000AgreesWithTwoLibraries(t *testing.T) {
	for _, r := range readReference(t).DE00 {
		got := DeltaE00(labOf(r.P), labOf(r.Q))
		if math.Abs(got-r.Culori) > 1e-9 || math.Abs(got-r.Colorjs) > 1e-9 {
			t.Errorf("%v, %v: %.12g; culori %.12g, colorjs %.12g", r.P, r.Q, got, r.Culori, r.Colorjs)
		}
	}
}

func TestDifferencesHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := 0; n < 2000; n++ {
		p := Lab{100 * rng.Float64(), 160*rng.Float64() - 80, 160*rng.Float64() - 80}
		q := Lab{100 * rng.Float64(), 160*rng.Float64() - 80, 160*rng.Float64() - 80}
		d := DeltaE00(p, q)
		if DeltaE00(p, p) != 0 || DeltaE76(p, p) != 0 {
			t.Fatalf("%v is not itself", p)
		}
		if back := DeltaE00(q, p); math.Abs(back-d) > 1e-9 {
			t.Errorf("%v, %v: %.12g one way, %.12g the other", p, q, d, back)
		}
		if s := DeltaE00Squared(p, q); math.Abs(s-d*d) > 1e-9*(1+s) {
			t.Errorf("%v, %v: squared %.12g, square %.12g", p, q, s, d*d)
		}
		l, c, _ := Parts00(p, q)
		if (l > 0) != (q.L > p.L) {
			t.Errorf("%v, %v: lightness term %g", p, q, l)
		}
		// a* is stretched before chroma is taken, so only clear cases count.
		if dc := q.Chroma() - p.Chroma(); math.Abs(dc) > 20 && (c > 0) != (dc > 0) {
			t.Errorf("%v, %v: chroma term %g", p, q, c)
		}
	}
	// A grey pair has neither chroma nor hue terms.
	if l, c, h := Parts00(Lab{L: 40}, Lab{L: 60}); l <= 0 || c != 0 || h != 0 {
		t.Errorf("greys: %g, %g, %g", l, c, h)
	}
	// Hue turns from red towards yellow, the way h counts.
	if _, _, h := Parts00(LCh{50, 30, 40}.Lab(), LCh{50, 30, 50}.Lab()); h <= 0 {
		t.Errorf("10° further round is %g", h)
	}
	if _, _, h := Parts00(LCh{50, 30, 5}.Lab(), LCh{50, 30, 355}.Lab()); h >= 0 {
		t.Errorf("10° back over zero is %g", h)
	}
	if got := DeltaE76(Lab{50, 0, 0}, Lab{53, 4, 12}); got != 13 {
		t.Errorf("3, 4, 12 apart is %g", got)
	}
}
