package suspend

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s = %g, want %g ± %g %%", what, got, want, rel*100)
	}
}

// The withdrawal times of the pipette method, quartz grains in water at
// 20 °C, as tabulated for the laboratory (see the file for the source). The
// table's own constants and rounding leave 2.5 %.
func TestSphereAgainstPipetteTable(t *testing.T) {
	f, err := os.Open("../../../testdata/batch/pipette.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, row := range rows[1:] {
		var v [3]float64 // phi, depth cm, time s
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		d := 1e-3 * math.Pow(2, -v[0])
		// quartz 2650, water at 20 °C 998.2 kg/m³ and 1.002 mPa·s
		got := v[1] / 100 / Sphere(d, 2650-998.2, 1.002e-3)
		near(t, "time at phi "+row[0], got, v[2], 0.025)
		n++
	}
	if n < 5 {
		t.Errorf("only %d rows", n)
	}
}

// A 20 × 0.55 µm flake: 0.54 of the equal-volume sphere's speed, about
// 4 mm/day in castor oil at 0.7 Pa·s, about 90 at 0.03 Pa·s (design figures,
// Δρ 2.2 g/cm³).
func TestDiscFigures(t *testing.T) {
	d := Disc{10e-6, 0.55e-6}
	near(t, "disc over sphere", d.Tumbling(1, 1)/Sphere(d.EqualSphere(), 1, 1), 0.543, 0.002)
	day := 86400e3
	near(t, "castor, mm/day", d.Tumbling(2200, 0.7)*day, 4, 0.05)
	near(t, "thin oil, mm/day", d.Tumbling(2200, 0.03)*day, 90, 0.05)
	near(t, "closed form", d.Tumbling(2200, 0.7), math.Pi*2200*Gravity*10e-6*0.55e-6/(12*0.7), 1e-12)
}

// The thin-disc drags are the limits of the oblate spheroid's, whose closed
// forms are exact: at an axis ratio of 1e-4 they agree to 0.2 ‰.
func TestDiscDragIsLimitOfSpheroid(t *testing.T) {
	eps := 1e-4
	e := math.Sqrt(1 - eps*eps)
	// drag over 6πηa, a the equatorial radius (Kim & Karrila, Microhydrodynamics, table 3.4)
	c := math.Asin(e)
	axial := 4.0 / 3 * e * e * e / ((2*e*e-1)*c + e*eps)
	across := 8.0 / 3 * e * e * e / ((2*e*e+1)*c - e*eps)
	near(t, "broadside", 6*math.Pi*axial, dragBroadside, 2e-4)
	near(t, "edgewise", 6*math.Pi*across, dragEdgewise, 2e-4)
}

// Sphere: τ = 0.143 Δρ g d/3. Disc: never less than the equal-volume
// sphere's, and for thin wide flakes the upright plate's Δρ g t/2.
func TestYield(t *testing.T) {
	near(t, "sphere", SphereYield(10e-6, 2000), 0.0476667*2000*Gravity*10e-6, 1e-5)
	wide := Disc{75e-6, 0.5e-6}
	if got, floor := wide.Yield(2200), SphereYield(wide.EqualSphere(), 2200); got < floor {
		t.Errorf("disc %g below its sphere %g", got, floor)
	}
	squat := Disc{5e-6, 2e-6}
	near(t, "squat disc", squat.Yield(2200), 2200*Gravity*1e-6, 1e-9)
}
