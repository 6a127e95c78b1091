package batch

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"tawny/colour/table"
)

// ReadingAt is a reading of a sheet and the step that asks it.
type ReadingAt struct {
	Step *Step
	*Reading
}

// Readings are those of all steps, to be read and written.
func (b *Batch) Readings() (all []ReadingAt) {
	for i := range b.Steps {
		for j := range b.Steps[i].Readings {
			all = append(all, ReadingAt{&b.Steps[i], &b.Steps[i].Readings[j]})
		}
	}
	return all
}

// stepFirst is a step's number before the name of its blank.
var stepFirst = regexp.MustCompile(`^(\d+)[.:]? +(.+)$`)

// Blank finds the sheet's blank that a maker names by its words or how they begin,
// capitals aside, with its step's number first where several steps ask that:
// "9 temperature". The pH is the last one measured.
func (b *Batch) Blank(name string) (*Step, *Reading, error) {
	step, words := 0, strings.ToLower(strings.TrimSpace(name))
	if m := stepFirst.FindStringSubmatch(words); m != nil {
		step, _ = strconv.Atoi(m[1])
		words = m[2]
	}
	var whole, begun []ReadingAt
	var all []string
	for _, k := range b.Readings() {
		all = append(all, k.What)
		what := strings.ToLower(k.What)
		switch {
		case step != 0 && step != k.Step.Number:
		case words == string(IsPH) && step == 0 && k.Is == IsPH:
			whole = []ReadingAt{k}
		case what == words:
			whole = append(whole, k)
		case strings.HasPrefix(what, words):
			begun = append(begun, k)
		}
	}
	if len(whole) > 0 {
		begun = whole
	}
	switch len(begun) {
	case 0:
		return nil, nil, fmt.Errorf("the sheet does not ask %q; it asks: %s", name, strings.Join(all, "; "))
	case 1:
		return begun[0].Step, begun[0].Reading, nil
	}
	var at []string
	for _, k := range begun {
		at = append(at, fmt.Sprintf("'%d %s'", k.Step.Number, k.What))
	}
	return nil, nil, fmt.Errorf("the sheet asks %q in several places; with the step's number it is told apart: %s", name, strings.Join(at, ", "))
}

// Number is what was written down, where it is a number, its unit after it or not.
func (r Reading) Number() (x float64, ok bool) {
	x, err := table.Finite(strings.TrimSpace(strings.TrimSuffix(r.Value, r.Unit)))
	return x, err == nil
}

// Read is the last number written down of a kind.
func (b *Batch) Read(is What) (x float64, ok bool) {
	for _, k := range b.Readings() {
		if k.Is != is {
			continue
		}
		if n, read := k.Number(); read {
			x, ok = n, true
		}
	}
	return x, ok
}

// Reckon writes down what the batch weighs where the pot was weighed empty and with it,
// over what stands there where that was afresh, and says how much of its lines is
// missing, and how much water went while it was hot.
func (b *Batch) Reckon(lines []Made, afresh bool) (says []string) {
	pot, empty := b.Read(IsEmptyPot)
	all, full := b.Read(IsPotAndAll)
	for _, k := range b.Readings() {
		if k.Is == IsMade && (afresh || k.Value == "") && empty && full && all > pot {
			says = append(says, b.Weighs(all-pot, lines)+" That is the pot with it less the empty pot.")
		}
	}
	before, heated := b.Read(IsHeated)
	left, now := b.Read(IsLeft)
	if _, added := b.Read(IsAdded); heated && now && before > left && !added {
		says = append(says, fmt.Sprintf("%s g of water went while it was hot: stir in as much boiled purified water.", b.netOf(before-left)))
	}
	return says
}

// Weighs writes down what the finished batch weighs, and says so with how much less that
// is than went in by its lines, and which of them are not weighed.
func (b *Batch) Weighs(grams float64, lines []Made) (says string) {
	for _, k := range b.Readings() {
		if k.Is == IsMade {
			k.Value = b.netOf(grams)
		}
	}
	says = fmt.Sprintf("The batch weighs %s g", b.netOf(grams))
	inG, open, openG := WentIn(lines)
	lost := Lost(inG, grams, b.BalanceG)
	if lost > 0 {
		says += fmt.Sprintf(", %s g less than went in", b.netOf(lost))
	}
	switch {
	case len(open) > 0:
		says += fmt.Sprintf(". Not weighed: %s, %s g as planned. Was that left out? Until it is weighed it does not count as in the batch", strings.Join(open, ", "), b.netOf(openG))
		if b.Water() != "" {
			says += ", and water does not make up for it"
		}
	case lost > 0 && b.Water() != "":
		says += ". Stir in as much boiled purified water, cooled"
	}
	return says + "."
}

// netOf is a difference of two weights with the balance's digits.
func (b *Batch) netOf(g float64) string {
	return b.Format(int64(math.Round(g / b.balance().StepG())))
}
