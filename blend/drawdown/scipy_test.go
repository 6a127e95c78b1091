package drawdown

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"tawny/colour"
)

// SciPy's bounded least squares on the same noisy readings, by
// testdata/drawdown/make.py: the same K, S and standard errors.
func TestSciPyFit(t *testing.T) {
	file, err := os.Open("../../testdata/drawdown/fit.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != colour.Bands {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	var want [4]colour.Spectrum
	readings := make([]Reading, 6)
	for j, row := range rows {
		for i, text := range row {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			if i < 4 {
				want[i][j] = v
			} else {
				readings[i-4].Read[j] = v
			}
		}
	}
	for i := range readings {
		readings[i].Film = string(rune('a' + i/2))
		readings[i].Mass = Mass{[]float64{0.05, 0.1, 0.2}[i/2], 0}
		readings[i].Ground = colour.Constant([]float64{0.05, 0.8}[i%2])
	}
	f, err := FitPowder(readings, Options{Noise: Noise{Floor: 0.01}})
	if err != nil {
		t.Fatal(err)
	}
	scale := math.Sqrt(max(1, f.Chi2))
	onBound := 0
	for j := range want[0] {
		// A K on its bound is within SciPy's barrier of it, and its errors
		// there are one-sided; compare the values.
		if f.Powder.K[j] == 0 {
			onBound++
			if want[0][j] > 1e-6 || math.Abs(f.Powder.S[j]-want[1][j]) > 1e-4 {
				t.Errorf("band %d: K 0 S %.8g, SciPy %.8g %.8g", j, f.Powder.S[j], want[0][j], want[1][j])
			}
			continue
		}
		for _, c := range []struct {
			name      string
			got, want float64
		}{
			{"K", f.Powder.K[j], want[0][j]}, {"S", f.Powder.S[j], want[1][j]},
			{"error of K", (f.K.Hi[j] - f.Powder.K[j]) / z95 / scale, want[2][j]},
			{"error of S", (f.S.Hi[j] - f.Powder.S[j]) / z95 / scale, want[3][j]},
		} {
			if math.Abs(c.got-c.want) > 1e-5*(1+c.want) {
				t.Errorf("band %d, %s: %.8g, SciPy %.8g", j, c.name, c.got, c.want)
			}
		}
	}
	if onBound == 0 {
		t.Error("no band reached K = 0; the reference should have some")
	}
	// A fit is written to JSON, infinities and all.
	if _, err := json.Marshal(f); err != nil {
		t.Error(err)
	}
}
