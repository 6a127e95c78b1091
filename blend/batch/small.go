package batch

import (
	"fmt"
	"math"
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
			b.Findings = append(b.Findings, Finding{Stop, l.Name,
				fmt.Sprintf("%s should weigh %.3g g, which a balance of %v g shows as nothing. Use a finer balance, a larger batch or a premix.", l.Name, l.Percent/100*b.TotalG, b.BalanceG),
				"common practice", 0})
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
	return fmt.Sprintf("%g", math.Ceil(g/p-1e-9)*p)
}

// Premix is a powder let down in a carrier so that a small weight of powder
// becomes a larger weight of premix.
type Premix struct {
	Powder   string  `json:"powder"`
	Carrier  string  `json:"carrier"`
	Parts    int     `json:"parts"`        // one part powder in this many parts of premix
	PowderG  float64 `json:"powderG"`      // weigh to make the premix
	CarrierG float64 `json:"carrierG"`     // weigh to make the premix
	TakeG    float64 `json:"takeG"`        // premix into this batch, instead of the powder
	LessG    float64 `json:"lessG"`        // carrier to leave out of this batch, since the premix brings it
	ErrorPct float64 `json:"errorPercent"` // worst weighing error of the powder that way, %
}

// premixParts are the masterbatch ratios tried, mildest first (common
// practice: 1 in 5, 10, 20, 50, 100).
var premixParts = []int{5, 10, 20, 50, 100}

// premixes suggests one for each powder under minSteps, where the batch has
// enough carrier to take it.
func premixes(b *Batch) []Premix {
	carrier := -1
	for i, l := range b.Weighings {
		wet := hasRole(l, RoleWetting) || hasRole(l, RoleHumectant)
		if wet && (carrier < 0 || l.Steps > b.Weighings[carrier].Steps) {
			carrier = i
		}
	}
	if carrier < 0 {
		for i, l := range b.Weighings {
			if l.Filler {
				carrier = i
			}
		}
	}
	if carrier < 0 {
		return nil
	}
	c := b.Weighings[carrier]
	step := b.BalanceG
	var out []Premix
	for _, l := range b.Weighings {
		if !l.Powder || l.Steps >= minSteps {
			continue
		}
		q := l.Percent / 100 * b.TotalG / step // exact, in steps
		for _, parts := range premixParts {
			take := int64(math.Round(q * float64(parts)))
			brings := int64(math.Round(float64(take) * float64(parts-1) / float64(parts)))
			if take < minSteps {
				continue
			}
			if brings >= c.Steps {
				break
			}
			// enough premix for this batch twice over, powder at least 20 steps
			powder := max(minSteps, int64(math.Ceil(2*q)))
			out = append(out, Premix{l.Name, c.Name, parts, b.balance.Grams(powder), b.balance.Grams(powder * int64(parts-1)),
				b.balance.Grams(take), b.balance.Grams(brings), 50/float64(take) + 50/float64(powder) + 50/float64(powder*int64(parts-1))})
			break
		}
	}
	return out
}

func hasRole(l Weighing, r Role) bool {
	for _, x := range l.Roles {
		if x == r {
			return true
		}
	}
	return false
}
