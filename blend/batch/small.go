package batch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// minSteps is the fewest balance steps a weight should be: one step of error
// is then at most 5 % of it (common practice).
const minSteps = 20

// flagSmall marks weights the balance shows too coarsely, and reports any it
// cannot show at all.
func flagSmall(b *Batch) {
	for i := range b.Weighings {
		l := &b.Weighings[i]
		if l.Steps >= minSteps {
			continue
		}
		if l.Steps == 0 {
			l.Note = "cannot be weighed on this balance"
			b.Findings = append(b.Findings, Finding{Severity: Stop, About: l.Name, Source: practice,
				Text: fmt.Sprintf("%s should weigh %.3g g, which a balance of %v g shows as nothing. Use a finer balance or a larger batch.", l.Name, l.Percent/100*b.TotalG, b.BalanceG)})
			continue
		}
		least := minSteps * b.BalanceG / (l.Percent / 100)
		l.Note = fmt.Sprintf("%s of the balance, ± %.0f %%; fine from a batch of %s g", count(int(l.Steps), "step"), 50/float64(l.Steps), upTo(least))
	}
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// upTo rounds a weight up to two digits, for advice.
func upTo(g float64) string {
	p := math.Pow(10, math.Floor(math.Log10(g))-1)
	return fmt.Sprintf("%.10g", math.Ceil(g/p-1e-9)*p)
}

// Premix is a powder let down in a carrier so that a small weight of powder
// becomes a larger weight of premix. The steps put it in instead of the
// powder, and that much less of the carrier.
type Premix struct {
	Powder   string  `json:"powder"`
	Carrier  string  `json:"carrier"`
	Parts    int     `json:"parts"`        // one part powder in this many parts of premix
	PowderG  float64 `json:"powderG"`      // weigh to make the premix
	CarrierG float64 `json:"carrierG"`     // weigh to make the premix
	TakeG    float64 `json:"takeG"`        // premix into this batch, instead of the powder
	LessG    float64 `json:"lessG"`        // carrier to leave out of this batch, since the premix brings it; take less this is the powder's weight in the table
	ErrorPct float64 `json:"errorPercent"` // worst weighing error of the powder that way, %

	PowderLine  int   `json:"powderLine"`  // index into Weighings
	CarrierLine int   `json:"carrierLine"` // index into Weighings
	TakeSteps   int64 `json:"takeSteps"`   // of the balance
	LessSteps   int64 `json:"lessSteps"`
}

// premixParts are the masterbatch ratios tried, mildest first (common
// practice: 1 in 5, 10, 20, 50, 100).
var premixParts = []int{5, 10, 20, 50, 100}

// premixes suggests one for each powder under minSteps, where the batch has
// enough carrier to take it.
func premixes(b *Batch) []Premix {
	carrier := -1
	for i, l := range b.Weighings {
		wet := l.Has(RoleWetting) || l.Has(RoleHumectant)
		if wet && (carrier < 0 || l.Steps > b.Weighings[carrier].Steps) {
			carrier = i
		}
	}
	if carrier < 0 {
		if carrier = slices.IndexFunc(b.Weighings, func(l Weighing) bool { return l.Filler }); carrier < 0 {
			return nil
		}
	}
	c := b.Weighings[carrier]
	// Half of a humectant stays to wet the gum, half of a wetting oil for the
	// other powders (common practice: a gum wants several times its weight).
	left := c.Steps
	if !c.Filler {
		left /= 2
	}
	step := b.BalanceG
	var out []Premix
	var few []int
	for i, l := range b.Weighings {
		if l.Powder && l.Steps > 0 && l.Steps < minSteps {
			few = append(few, i)
		}
	}
	// the smallest first: it needs the premix most, and the carrier may not
	// reach for all
	slices.SortStableFunc(few, func(i, j int) int { return cmp.Compare(b.Weighings[i].Steps, b.Weighings[j].Steps) })
	for _, i := range few {
		l := b.Weighings[i]
		q := l.Percent / 100 * b.TotalG / step // exact, in steps
		for _, parts := range premixParts {
			take := int64(math.Round(q * float64(parts)))
			if take < minSteps {
				continue
			}
			// what keeps the batch's total exact
			less := take - l.Steps
			if less >= left {
				b.Weighings[i].Note += "; too small a batch for a premix"
				break
			}
			left -= less
			// enough premix for this batch twice over, powder at least 20 steps
			powder := max(minSteps, int64(math.Ceil(2*q)))
			rest := powder * int64(parts-1)
			out = append(out, Premix{Powder: l.Name, Carrier: c.Name, Parts: parts,
				PowderG: b.balance().Grams(powder), CarrierG: b.balance().Grams(rest), TakeG: b.balance().Grams(take), LessG: b.balance().Grams(less),
				ErrorPct: 50/float64(take) + 50/float64(powder) + 50/float64(rest), PowderLine: i, CarrierLine: carrier, TakeSteps: take, LessSteps: less})
			break
		}
	}
	return out
}

// premixOf is the premix a powder's line goes in as, nil for none.
func (b *Batch) premixOf(line int) *Premix {
	for i := range b.Premixes {
		if b.Premixes[i].PowderLine == line {
			return &b.Premixes[i]
		}
	}
	return nil
}

// brought is how many steps of a line come in with premixes.
func (b *Batch) brought(line int) int64 {
	sum := int64(0)
	for _, p := range b.Premixes {
		if p.CarrierLine == line {
			sum += p.LessSteps
		}
	}
	return sum
}

// toWeigh is what goes on the balance for a line: the premix of a powder that
// has one, and of a carrier what its premixes do not bring.
func (b *Batch) toWeigh(line int) (name string, steps int64) {
	if p := b.premixOf(line); p != nil {
		return p.Name(), p.TakeSteps
	}
	l := &b.Weighings[line]
	return l.Name, l.Steps - b.brought(line)
}

// asWeighed is what the book has as weighed of a line, as it went on the balance, "" for
// nothing: a premix in proportion, of a carrier what its premixes did not bring.
func (b *Batch) asWeighed(line int) string {
	l := &b.Weighings[line]
	if l.WeighedG == nil {
		return ""
	}
	g := *l.WeighedG
	if _, steps := b.toWeigh(line); b.premixOf(line) != nil {
		g *= float64(steps) / float64(l.Steps)
	} else {
		g += float64(steps-l.Steps) * b.balance().StepG()
	}
	return b.netOf(g)
}

// notePremixes fills in what goes on the balance, and says beside it what the
// premix holds.
func notePremixes(b *Batch) {
	for i := range b.Weighings {
		l := &b.Weighings[i]
		_, steps := b.toWeigh(i)
		l.WeighG = b.balance().Grams(steps)
		switch n := b.brought(i); {
		case b.premixOf(i) != nil:
			l.Note = fmt.Sprintf("instead of %s g of the powder, which is only %s of the balance", b.balance().Format(l.Steps), count(int(l.Steps), "step"))
		case n > 0 && l.Note != "":
			l.Note += fmt.Sprintf("; %s g more is in the premix", b.balance().Format(n))
		case n > 0:
			l.Note = fmt.Sprintf("%s g more is in the premix", b.balance().Format(n))
		}
	}
}
