package search

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
)

// benchMatches are four matches of up to four powders out of n: two targets
// that some blend has exactly, two that none quite reaches, on skins of
// different depth.
func benchMatches(t testing.TB, n int, free bool) []Request {
	t.Helper()
	powders := drawerOf(t, n)
	var list []Request
	for seed := range uint64(4) {
		r := forwardCase(t, drawer(t), 60+seed).nudged(rand.New(rand.NewPCG(seed, 3)), float64(seed%2))
		r.Powders, r.Most = powders, 4
		if free {
			r.LoadLo = 0
		}
		list = append(list, r)
	}
	return list
}

func benchmarkMatch(b *testing.B, n, workers int, free bool) {
	list := benchMatches(b, n, free)
	subsets := 0
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		r := list[i%len(list)]
		r.Workers = workers
		subsets = max(subsets, matched(b, r))
	}
	b.ReportMetric(float64(subsets), "subsets")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*max(subsets, 1)), "ns/subset")
}

// matched returns the number of subsets settled. That bare skin is nearest, as
// it may be for a small drawer and a free load, is an answer too.
func matched(t testing.TB, r Request) int {
	t.Helper()
	res, err := Match(t.Context(), r)
	if err == errBare {
		return 0
	}
	if err != nil {
		t.Fatal(err)
	}
	return res.Counts.Subsets
}

// Every subset of at most 4 of 40 powders, 102,090 of them, at an exact load,
// ranking included.
func BenchmarkMatchEvery4Of40(b *testing.B) { benchmarkMatch(b, 40, 0, false) }

// The same with the load free up to a bound.
func BenchmarkMatchEvery4Of40Free(b *testing.B) { benchmarkMatch(b, 40, 0, true) }

// The everyday match: at most 3 of 40 at an exact load, 10,700 subsets.
func BenchmarkMatchEvery3Of40(b *testing.B) {
	list := benchMatches(b, 40, false)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		r := list[i%len(list)]
		r.Most = 3
		matched(b, r)
	}
}

// The same two with a gleam and a grain asked for.
func BenchmarkMatchEvery4Of40Shimmer(b *testing.B) { benchmarkShimmer(b, 40, 4) }

// Every subset of at most 3 of 300 powders, 4,500,250 of them.
func BenchmarkMatchEvery3Of300(b *testing.B) { benchmarkLarge(b, nil) }

// With a gleam and a grain.
func BenchmarkMatchEvery3Of300Shimmer(b *testing.B) {
	benchmarkLarge(b, &Shimmer{GleamLo: 2, GleamHi: 6, Grain: film.GrainWords[1]})
}

func benchmarkShimmer(b *testing.B, n, most int) {
	list := benchMatches(b, n, false)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		r := list[i%len(list)]
		r.Most, r.Shimmer, r.Looks = most, &Shimmer{GleamLo: 2, GleamHi: 6, Grain: film.GrainWords[1]}, true
		matched(b, r)
	}
}

func benchmarkLarge(b *testing.B, s *Shimmer) {
	list := benchMatches(b, 300, false)
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		r := list[i%len(list)]
		r.Most, r.Shimmer, r.Looks = 3, s, s != nil
		matched(b, r)
	}
}

// How the match grows with the drawer and shrinks with workers.
func BenchmarkMatchScaling(b *testing.B) {
	for _, n := range []int{10, 20, 40, 80} {
		for _, workers := range []int{1, 2} {
			for _, free := range []bool{false, true} {
				name := fmt.Sprintf("powders=%d/workers=%d/load=%s", n, workers, map[bool]string{false: "exact", true: "free"}[free])
				b.Run(name, func(b *testing.B) { benchmarkMatch(b, n, workers, free) })
			}
		}
	}
}
