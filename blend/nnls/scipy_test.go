package nnls

import (
	"compress/gzip"
	"encoding/csv"
	"io"
	"math"
	"os"
	"strconv"
	"testing"
)

// draw is the generator of testdata/nnls/make.py, which says how it works.
type draw uint64

func newDraw(seed int) *draw {
	d := draw(seed)
	for range 3 {
		d.u()
	}
	return &d
}

func (d *draw) u() float64 {
	*d = *d*6364136223846793005 + 1442695040888963407
	return float64(*d>>11) / (1 << 53)
}

func drawn(seed int, shift bool) *dense {
	d := newDraw(seed)
	p := &dense{}
	p.Cols = 1 + int(8*d.u())
	p.Rows = p.Cols + int(10*d.u())
	for range p.Rows * p.Cols {
		if u := d.u(); shift {
			p.A = append(p.A, u-0.25)
		} else {
			p.A = append(p.A, 2*u-1)
		}
	}
	for range p.Rows {
		if u := d.u(); shift {
			p.B = append(p.B, u)
		} else {
			p.B = append(p.B, 2*u-1)
		}
	}
	return p
}

type recorded struct {
	seed     int
	x        []float64
	residual float64
}

func readRecorded(t *testing.T, r io.Reader) []recorded {
	t.Helper()
	c := csv.NewReader(r)
	c.Comment = '#'
	c.FieldsPerRecord = -1
	rows, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []recorded
	for _, row := range rows {
		var v []float64
		for _, f := range row {
			x, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		last := len(v) - 1
		out = append(out, recorded{int(v[0]), v[1:last], v[last]})
	}
	return out
}

// agree holds an answer to a recorded one.
func agree(t *testing.T, r recorded, x []float64, residual float64) {
	t.Helper()
	if d := math.Abs(residual - r.residual); d > 1e-12*(1+r.residual) {
		t.Errorf("seed %d: residual %.17g, SciPy %.17g", r.seed, residual, r.residual)
	}
	for j := range r.x {
		if d := math.Abs(x[j] - r.x[j]); d > 1e-9*(1+math.Abs(r.x[j])) {
			t.Errorf("seed %d: x[%d] = %.17g, SciPy %.17g", r.seed, j, x[j], r.x[j])
		}
	}
}

// SciPy 1.10's nnls is Lawson and Hanson's own code.
func TestSciPyThousand(t *testing.T) {
	f, err := os.Open("../../testdata/nnls/nnls.csv.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	cases := readRecorded(t, z)
	if len(cases) != 1000 {
		t.Fatalf("%d recorded systems, want 1000", len(cases))
	}
	parts := 0
	for _, r := range cases {
		p := drawn(r.seed, true)
		if p.Cols != len(r.x) {
			t.Fatalf("seed %d: drew %d columns, SciPy's script %d", r.seed, p.Cols, len(r.x))
		}
		var x Vector
		if _, err := normal(p).Solve(&x); err != nil {
			t.Fatalf("seed %d: %v", r.seed, err)
		}
		agree(t, r, x[:p.Cols], residualNorm(p, x[:p.Cols]))
		for _, v := range r.x {
			if v > 0 {
				parts++
			}
		}
	}
	t.Logf("1000 systems agree; %d positive parts in all", parts)
}

func TestSciPyEquality(t *testing.T) {
	f, err := os.Open("../../testdata/nnls/equality.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cases := readRecorded(t, f)
	if len(cases) != 60 {
		t.Fatalf("%d recorded systems, want 60", len(cases))
	}
	for _, r := range cases {
		p := drawn(r.seed, false)
		var x Vector
		if _, err := totalled(p, 1, &x); err != nil {
			t.Fatalf("seed %d: %v", r.seed, err)
		}
		agree(t, r, x[:p.Cols], residualNorm(p, x[:p.Cols]))
	}
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}
