package book

import (
	"cmp"
	"iter"
	"maps"
	"math"
	"slices"
	"strings"

	"tawny/colour"
)

// Average is the mean of several readings and how far they lie apart.
type Average struct {
	Readings    int              `json:"readings"`
	Lab         colour.Lab       `json:"lab"`
	SD          colour.Lab       `json:"sd"`                    // of the readings about Lab, n − 1; 0 with one reading
	MeanDE00    float64          `json:"mean_de00"`             // of the readings from Lab: the MCDM of ASTM E2214, in ΔE00
	WorstDE00   float64          `json:"worst_de00"`            // the reading furthest from Lab
	Reflectance *colour.Spectrum `json:"reflectance,omitempty"` // where every reading has one
}

// DayAverage is the average of one place on one day.
type DayAverage struct {
	TakenOn string `json:"taken_on"`
	Average
}

// PlaceAverage is the average of one place on the body over its days.
type PlaceAverage struct {
	Place string       `json:"place"`
	Days  []DayAverage `json:"days"` // oldest first
	Average
}

// SkinAverage is one person's skin: the mean over places, each the mean over
// its days, each the mean of that day's readings. Reading one place five times
// in a row therefore does not outweigh the others.
type SkinAverage struct {
	Places   []PlaceAverage  `json:"places"`             // by name
	Geometry colour.Geometry `json:"geometry,omitempty"` // of the readings averaged; empty where nobody said
	ByEye    bool            `json:"by_eye,omitempty"`   // all were judged by eye: a stand-in for a reading
	Judged   int             `json:"judged,omitempty"`   // by eye, left out beside what was read
	Others   int             `json:"others,omitempty"`   // of another geometry, left out: with and without gloss have no mean
	Apart    *Apart          `json:"apart,omitempty"`    // the two readings furthest apart, where that is too far
	Average
}

// Apart are two readings of bare skin and how far apart they lie.
type Apart struct {
	ID   [2]int64 `json:"id"`
	DE00 float64  `json:"de00"`
}

// OneSkin is how far apart two places of a person's skin lie at most, in ΔE00: our own
// choice, above what sun and covered skin differ by, below two classes of skin.
const OneSkin = 10

// AverageSkin averages a client's readings by place and day. Readings seen anywhere
// but on skin, and those of a batch worn on it, are left out; with none, Readings is 0
// and there is no colour. What was judged by eye counts only where nothing was read,
// and of several geometries the one with most readings, or the newest of those.
func AverageSkin(readings []Reading) SkinAverage {
	under := slices.DeleteFunc(slices.Clone(readings), func(r Reading) bool { return r.Seen != "skin" || r.BatchID != 0 })
	judged := func(r Reading) bool { return r.How == "by eye" }
	skin := SkinAverage{ByEye: len(under) > 0 && !slices.ContainsFunc(under, func(r Reading) bool { return !judged(r) })}
	if all := len(under); !skin.ByEye {
		under = slices.DeleteFunc(under, judged)
		skin.Judged = all - len(under)
	}
	for i, r := range under {
		for _, q := range under[:i] {
			if de := colour.DeltaE00(r.Lab, q.Lab); de > OneSkin && (skin.Apart == nil || de > skin.Apart.DE00) {
				skin.Apart = &Apart{[2]int64{q.ID, r.ID}, de}
			}
		}
	}
	all := len(under)
	under = oneGeometry(under)
	skin.Others = all - len(under)
	for _, r := range under {
		skin.Geometry = cmp.Or(skin.Geometry, colour.Geometry(r.Geometry))
	}
	var places []Average
	for place, under := range each(under, func(r Reading) string { return strings.ToLower(strings.TrimSpace(r.Place)) }) {
		p := PlaceAverage{Place: place}
		var days []Average
		for day, under := range each(under, func(r Reading) string { return r.TakenOn }) {
			var alone []Average
			for _, r := range under {
				alone = append(alone, Average{Lab: r.Lab, Reflectance: r.Reflectance})
			}
			d := DayAverage{day, averageOf(alone, under)}
			p.Days, days = append(p.Days, d), append(days, d.Average)
		}
		p.Average = averageOf(days, under)
		skin.Places, places = append(skin.Places, p), append(places, p.Average)
	}
	skin.Average = averageOf(places, under)
	return skin
}

// oneGeometry are those readings of the geometry that most have, of equals that of the
// newest.
func oneGeometry(readings []Reading) []Reading {
	kind := func(r Reading) colour.Geometry { return colour.Geometry(r.Geometry).Assumed() }
	count := map[colour.Geometry]int{}
	for _, r := range readings {
		count[kind(r)]++
	}
	if len(count) < 2 {
		return readings
	}
	most := slices.MaxFunc(readings, func(a, b Reading) int {
		return cmp.Or(cmp.Compare(count[kind(a)], count[kind(b)]), cmp.Compare(a.TakenOn, b.TakenOn), cmp.Compare(a.ID, b.ID))
	})
	return slices.DeleteFunc(readings, func(r Reading) bool { return kind(r) != kind(most) })
}

// each groups readings by what of says of them, in its order.
func each(readings []Reading, of func(Reading) string) iter.Seq2[string, []Reading] {
	by := map[string][]Reading{}
	for _, r := range readings {
		by[of(r)] = append(by[of(r)], r)
	}
	return func(yield func(string, []Reading) bool) {
		for _, key := range slices.Sorted(maps.Keys(by)) {
			if !yield(key, by[key]) {
				return
			}
		}
	}
}

// averageOf is the plain mean of parts, with the spread of the readings under
// them about it.
func averageOf(parts []Average, under []Reading) Average {
	mean := Average{Readings: len(under)}
	if len(parts) == 0 {
		return mean
	}
	n := float64(len(parts))
	spectrum, spectral := colour.Spectrum{}, true
	for _, p := range parts {
		mean.Lab.L += p.Lab.L / n
		mean.Lab.A += p.Lab.A / n
		mean.Lab.B += p.Lab.B / n
		if spectral = spectral && p.Reflectance != nil; spectral {
			for i, r := range p.Reflectance {
				spectrum[i] += r / n
			}
		}
	}
	if spectral {
		mean.Reflectance = &spectrum
	}
	if len(under) < 2 {
		return mean
	}
	for _, r := range under {
		mean.SD.L += (r.Lab.L - mean.Lab.L) * (r.Lab.L - mean.Lab.L)
		mean.SD.A += (r.Lab.A - mean.Lab.A) * (r.Lab.A - mean.Lab.A)
		mean.SD.B += (r.Lab.B - mean.Lab.B) * (r.Lab.B - mean.Lab.B)
		de := colour.DeltaE00(r.Lab, mean.Lab)
		mean.MeanDE00 += de / float64(len(under))
		mean.WorstDE00 = max(mean.WorstDE00, de)
	}
	freedom := float64(len(under) - 1)
	mean.SD = colour.Lab{
		L: math.Sqrt(mean.SD.L / freedom),
		A: math.Sqrt(mean.SD.A / freedom),
		B: math.Sqrt(mean.SD.B / freedom),
	}
	return mean
}
