package search

import (
	"compress/gzip"
	"encoding/csv"
	"encoding/json"
	"flag"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"tawny/blend/film"
	"tawny/colour"
)

var peerDir = flag.String("peer", "", "write the match that testdata/peers/match.py solves to this folder")

// peerProblem is a match in numbers, for another solver.
type peerProblem struct {
	Note     string             `json:"note"`
	Names    []string           `json:"names"`
	K        []colour.Spectrum  `json:"k"` // of each powder at a share of 1
	S        []colour.Spectrum  `json:"s"`
	Flake    []float64          `json:"flake"`
	Ground   colour.Spectrum    `json:"ground"` // below the surface
	BaseK    colour.Spectrum    `json:"base_k"`
	BaseS    colour.Spectrum    `json:"base_s"`
	Surface  film.Surface       `json:"surface"`
	Weights  [3]colour.Spectrum `json:"weights"` // to X, Y, Z
	White    [3]float64         `json:"white"`   // X, Y, Z
	Target   [3]float64         `json:"target"`  // L*, a*, b*
	SumLo    float64            `json:"sum_lo"`  // of the shares
	SumHi    float64            `json:"sum_hi"`
	Subsets  [][]int            `json:"subsets"`
	DeltaE00 []float64          `json:"delta_e00"` // ours, for each subset
	// Seconds a subset here, on one worker: in a full search, and each on its
	// own from an even mixture.
	SearchSeconds float64 `json:"search_seconds"`
	SolveSeconds  float64 `json:"solve_seconds"`
}

// peerMatch is the match given to the peer: 40 powders, at most 4, exact load,
// a target no blend quite reaches.
func peerMatch(t testing.TB) Request {
	r := forwardCase(t, drawer(t), 17).nudged(rand.New(rand.NewPCG(17, 99)), 1)
	r.Powders, r.Most, r.Workers = drawerOf(t, 40), 4, 1
	return r
}

// Written only when asked: go test ./blend/search -run TestWritePeerProblem -peer DIR
func TestWritePeerProblem(t *testing.T) {
	if *peerDir == "" {
		t.Skip("testdata/peers/match runs this and the peer")
	}
	_, p, use, s := problemOf(t, peerMatch(t))
	start := time.Now()
	if err := s.run(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	white, target := colour.D65.White(), p.views[0].target
	out := peerProblem{
		Note:  "written by go test ./blend/search -run TestWritePeerProblem -peer DIR",
		BaseK: p.baseK, BaseS: p.baseS, Ground: p.ground, Surface: p.surface,
		Weights: *colour.D65.Weights(), White: [3]float64{white.X, white.Y, white.Z}, Target: [3]float64{target.L, target.A, target.B},
		SumLo: p.sumLo, SumHi: p.sumHi,
		SearchSeconds: time.Since(start).Seconds() / float64(s.counts.Subsets),
	}
	for i, u := range p.powders {
		out.Names = append(out.Names, use[i].Name)
		out.K, out.S, out.Flake = append(out.K, u.k), append(out.S, u.s), append(out.Flake, u.flake)
	}
	best := map[uint64]float64{}
	for i := range s.found {
		best[maskOf(&s.found[i])] = s.found[i].f
	}
	rng := rand.New(rand.NewPCG(5000, 1))
	for _, n := range rng.Perm(s.counts.Subsets)[:5000] {
		k := 1
		for n >= binomial(len(use), k) {
			n -= binomial(len(use), k)
			k++
		}
		c := make([]int, k)
		unrank(n, k, c)
		mask, f := uint64(0), math.Inf(1)
		for _, i := range c {
			mask |= 1 << i
		}
		for sub := mask; sub > 0; sub = (sub - 1) & mask {
			if v, ok := best[sub]; ok {
				f = math.Min(f, v)
			}
		}
		out.Subsets, out.DeltaE00 = append(out.Subsets, c), append(out.DeltaE00, math.Sqrt(f))
	}
	work := newSolver(p)
	start = time.Now()
	for _, c := range out.Subsets {
		x, _ := p.feasible(c)
		work.solve(c, &x, stopDecrease)
	}
	out.SolveSeconds = time.Since(start).Seconds() / float64(len(out.Subsets))
	data, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*peerDir, "problem.json"), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// The recorded match of testdata/match, solved by SciPy's bounded least squares
// with the film written over again in numpy: the same ΔE00 to 0.02 for every
// recorded subset.
func TestMatchAgreesWithSciPy(t *testing.T) {
	f, err := os.Open("../../testdata/match/problem.json.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	var q peerProblem
	if err := json.NewDecoder(z).Decode(&q); err != nil {
		t.Fatal(err)
	}
	p := &problem{
		ground: q.Ground, baseK: q.BaseK, baseS: q.BaseS, surface: q.Surface,
		views: []view{{viewing: colour.D65, target: colour.Lab{L: q.Target[0], A: q.Target[1], B: q.Target[2]}, weight: 1}},
		sumLo: q.SumLo, sumHi: q.SumHi, costHi: math.Inf(1),
	}
	s := &search{p: p, most: 4, workers: 2}
	for i := range q.Names {
		p.powders = append(p.powders, powder{k: q.K[i], s: q.S[i], flake: q.Flake[i], hi: 1})
		s.choice = append(s.choice, i)
	}
	if err := s.run(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	best := map[uint64]float64{}
	for i := range s.found {
		best[maskOf(&s.found[i])] = s.found[i].f
	}
	answers, err := os.Open("../../testdata/match/scipy.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer answers.Close()
	rows := csv.NewReader(answers)
	rows.Comment = '#'
	rows.FieldsPerRecord = 2
	worst, n := 0.0, 0
	for header := true; ; header = false {
		row, err := rows.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if header {
			continue
		}
		mask, got := uint64(0), math.Inf(1)
		for _, text := range strings.Fields(row[0]) {
			i, err := strconv.Atoi(text)
			if err != nil {
				t.Fatal(err)
			}
			mask |= 1 << i
		}
		want, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		for sub := mask; sub > 0; sub = (sub - 1) & mask {
			if v, ok := best[sub]; ok {
				got = math.Min(got, v)
			}
		}
		n++
		worst = math.Max(worst, math.Abs(math.Sqrt(got)-want))
		if math.Abs(math.Sqrt(got)-want) > 0.02 {
			t.Errorf("powders %s: ΔE00 %.4f, SciPy %.4f", row[0], math.Sqrt(got), want)
		}
	}
	t.Logf("%d subsets, worst difference ΔE00 %.2g", n, worst)
	if n < 300 {
		t.Errorf("only %d recorded subsets", n)
	}
}
