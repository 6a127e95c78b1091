package batch

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// near is how many steps of the balance a weight may lie from another and still be it,
// which is as near as a hand comes, and Slight how far before that is worth a word, a
// share of it (our own choices: a shade shifts visibly at about 5 % of one powder).
const (
	near   = 5.5
	Slight = 0.03
)

// Far tells whether grams are off from others by both, on a balance that reads to stepG.
func Far(grams, from, stepG float64) bool {
	off := math.Abs(grams - from)
	return off > near*stepG && off > Slight*from
}

// Judge writes beside each reading what is asked where something else was written down:
// what its step asks, and what follows from the other readings and from its lines.
func (b *Batch) Judge(lines []Made) {
	for _, k := range b.Readings() {
		if k.Off = k.outside(); k.Off == "" {
			k.Off = b.follows(k, lines)
		}
	}
}

// outside is what the step asks, "" where the reading is that or no number.
func (r Reading) outside() string {
	x, ok := r.Number()
	switch {
	case !ok || r.Asked == nil || x >= r.Asked.Low && x <= r.Asked.High:
		return ""
	case r.Asked.Low == 0:
		return strings.TrimSpace(fmt.Sprintf("at most %g %s", r.Asked.High, r.Unit))
	}
	return strings.TrimSpace(span(*r.Asked) + " " + r.Unit)
}

// follows is what a reading should be by others, "" where it is or they are not there.
// How far it may lie off are our own choices: some of the water phase may be kept back
// to wet the shimmer, and up to a third of it boils off.
func (b *Batch) follows(k ReadingAt, lines []Made) string {
	x, written := k.Number()
	pot, empty := b.Read(IsEmptyPot)
	before, heated := b.Read(IsHeated)
	want, most, least := 0.0, 1+Slight, 0.9
	known, words := empty, "about %s g"
	switch k.Is {
	case IsTo:
		return b.heldTo(k)
	case IsHeated:
		for _, w := range k.Step.Weights {
			want += w.Grams * lines[w.Line].Grams() / b.Weighings[w.Line].Grams
		}
	case IsPotAndAll:
		for _, l := range lines {
			want += l.Grams()
		}
	case IsLeft:
		want, most, least, known, words = before-pot, 1, 2./3, heated, "at most %s g"
	case IsAdded:
		left, now := b.Read(IsLeft)
		want, pot, most, known, words = before-left, 0, 1.1, heated && now, "%s g"
		written = written || k.Value == "" // that it is still to do
	case IsMade:
		all, full := b.Read(IsPotAndAll)
		want, pot, least, known = all-pot, 0, 1-Slight, empty && full
	default:
		return ""
	}
	if g := x - pot; !known || !written || want <= 0 || math.Abs(g-want) <= near*b.BalanceG || g >= least*want && g <= most*want {
		return ""
	}
	return fmt.Sprintf(words, b.netOf(want+pot))
}

// heldTo is the time until which the step holds at the least, where the end written down
// is before it or more than half a day after the beginning.
func (b *Batch) heldTo(k ReadingAt) string {
	for _, r := range k.Step.Readings {
		from, err := time.Parse("15:04", r.Value)
		to, none := time.Parse("15:04", k.Value)
		if r.Is != IsFrom || err != nil || none != nil {
			continue
		}
		held := (to.Sub(from) + 24*time.Hour) % (24 * time.Hour)
		if least := time.Duration(k.Step.Minutes.Low) * time.Minute; held < least || held > 12*time.Hour {
			return from.Add(least).Format("15:04") + " at the earliest"
		}
	}
	return ""
}

// FillAsked is what a filled container should weigh, within a tenth (our own choice; a
// pack of 50 ml may fall short by 9 %: Directive 76/211/EEC, annex I), as a step's words
// have it.
func (p product) FillAsked() string {
	return fmt.Sprintf(" | %.1f %.1f", 0.9*p.Filling.FillG, 1.1*p.Filling.FillG)
}

// FilledAsked is the most containers so filled that the batch could give, "" where their
// size is not known.
func (p product) FilledAsked() string {
	if p.Filling.FillG == 0 {
		return ""
	}
	return fmt.Sprintf(" |  | 0 %d", int(p.TotalG/(0.9*p.Filling.FillG)))
}
