package colour

import (
	"math"
	"slices"
	"sort"
	"strings"
)

// DifferenceWords says what a ΔE00 means to someone looking at two patches of skin side
// by side, of this mean lightness L*. Of light ones the steps are 0.3 (half of what half
// of observers see) and 1, 2, 3.5 and 5 (Mokrzycki and Tatol, "Colour difference ΔE: a
// survey", Machine Graphics & Vision 20, 2011, from memory). Of darker ones
// less is seen: the first two rise with [JustSeen], and the others move up with
// them, a convention, since only what is just seen was measured. Where that makes
// another word of it, it is said.
func DifferenceWords(de, l float64) string {
	word, light := differenceWord(de, JustSeen(l)/justSeenLight), differenceWord(de, 1)
	if word != light {
		word += " on this skin"
	}
	return word
}

// Unseen reports whether a ΔE00 between colours of mean lightness L* is no visible
// difference.
func Unseen(de, l float64) bool { return de < unseen*JustSeen(l) }

// MeanL is the mean lightness L* of two colours that are compared.
func MeanL(a, b Lab) float64 { return (a.L + b.L) / 2 }

// differenceWord is the word for a ΔE00 where so many times more than on light skin
// is just seen.
func differenceWord(de, more float64) string {
	switch {
	case !(de >= 0):
		return "unknown"
	case de < unseen*justSeenLight*more:
		return "no visible difference"
	case de < more:
		return "hardly a difference"
	case de < more+1:
		return "a slight difference"
	case de < more+2.5:
		return "a visible difference"
	case de < more+4:
		return "a clear difference"
	}
	return "another colour"
}

// What half of observers see, ΔE00, on light and on dark skin (Vision Research
// 223:108474, 2024). The lightnesses they stand at here are those of the light
// and the dark preset, a convention.
const (
	unseen                    = 0.5 // of what half see, under which nobody is told of one (our own choice)
	justSeenLight, lightSkinL = 0.6, 65.0
	justSeenDark, darkSkinL   = 1.75, 37.0
)

// JustSeen returns the ΔE00 that half of observers see between colours of lightness L*,
// straight between light and dark skin and level beyond them.
func JustSeen(l float64) float64 {
	t := math.Min(math.Max((lightSkinL-l)/(lightSkinL-darkSkinL), 0), 1)
	return justSeenLight + t*(justSeenDark-justSeenLight)
}

// Pair is the two words for a change of one part of a colour.
type Pair struct{ Up, Down string }

// Of returns the word for a change, Up for 0.
func (p Pair) Of(change float64) string {
	if change < 0 {
		return p.Down
	}
	return p.Up
}

// The words for a difference, the same wherever one is told.
var (
	LightnessWords = Pair{"lighter", "darker"}
	ChromaWords    = Pair{"stronger", "greyer"}
	WarmthWords    = Pair{"warmer", "cooler"} // of hue on skin: towards yellow, towards red
)

// hueNames are for more of red, yellow, green and blue, which stand at 0°, 90°, 180°
// and 270°.
var hueNames = [4]string{"redder", "yellower", "greener", "bluer"}

// HueWords are for a turn of hue at a: each is the next of red, yellow, green
// and blue that way.
func HueWords(hue float64) Pair {
	q := hueQuarter(hue)
	return Pair{hueNames[(q+1)&3], hueNames[q]}
}

// hueQuarter is q of a hue between names q and q+1.
func hueQuarter(hue float64) int { return int(math.Floor(hue/90)) & 3 }

// toldTerm is the least part of a difference that is put into words.
const toldTerm = 0.5

// nextHue is the least share of the change towards the hue after the next that the
// change towards the next one is told from (our own choice): a blue over dark skin is
// bluer, and no redder, though its hue passes red.
const nextHue = 0.25

// hueWord is the word for a turn of hue from one colour to another by what really
// changes, a* or b*: the next of the names that way, or the one after it where the
// colour moved too little towards the next.
func hueWord(from, to Lab) string {
	a, turn := from.LCh().H, HueTurn(from.LCh().H, to.LCh().H)
	next, step := hueQuarter(a+turn/2), -1
	if turn >= 0 {
		next, step = next+1, 1
	}
	red, yellow := to.A-from.A, to.B-from.B
	more := [4]float64{red, yellow, -red, -yellow}
	one, after := more[next&3], more[(next+step)&3]
	if one < nextHue*after || one < toldTerm && one < after {
		next += step
	}
	return hueNames[next&3]
}

// turns are the words for the parts of a turn from one colour to another, the
// largest first; those under toldTerm are left out.
func turns(from, to Lab, lightness, chroma, hue float64) (words []string) {
	terms := []struct {
		size float64
		word string
	}{{lightness, LightnessWords.Of(lightness)}, {chroma, ChromaWords.Of(chroma)}, {hue, hueWord(from, to)}}
	sort.SliceStable(terms, func(i, j int) bool { return math.Abs(terms[i].size) > math.Abs(terms[j].size) })
	for _, t := range terms {
		if math.Abs(t.size) >= toldTerm {
			words = append(words, t.word)
		}
	}
	return words
}

// TurnWords says how a colour differs from another in a maker's words, with
// the two largest of the lightness, chroma and hue terms of CIEDE2000. Terms
// under half a unit are left out; "" where all are.
func TurnWords(from, to Lab) string {
	l, c, h := Parts00(from, to)
	words := turns(from, to, l, c, h)
	return strings.Join(words[:min(2, len(words))], " and ")
}

// Of a skin's a* or b*, what is told of a turn of its hue, and what makes it green or
// blue to an eye though some red or yellow is left (our own choice, held to the cards a
// client looked at).
const (
	toldStep  = 1.0
	wholeStep = 5.0
)

// SkinWords are TurnWords of skin and how it is worn: a turn of hue of less than a step
// is left out, and what only lost some of its red or yellow is less red or yellow.
func SkinWords(bare, worn Lab) string {
	l, c, h := Parts00(bare, worn)
	var told []string
	for _, word := range turns(bare, worn, l, c, h) {
		i := slices.Index(hueNames[:], word)
		by := [4]float64{worn.A - bare.A, worn.B - bare.B, bare.A - worn.A, bare.B - worn.B}
		switch {
		case i >= 0 && by[i] < toldStep:
			continue
		case i == 2 && worn.A > 0 && by[i] < wholeStep:
			word = "less red"
		case i == 3 && worn.B > 0 && by[i] < wholeStep:
			word = "less yellow"
		}
		told = append(told, word)
	}
	return strings.Join(told[:min(2, len(told))], " and ")
}
