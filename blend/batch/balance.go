package batch

import (
	"fmt"
	"math"
	"strconv"
)

// Balance is a balance's readability as Mantissa × 10^-Decimals g, so that a
// weight is a whole number of steps and its grams an exact decimal. The zero
// value is a 0.1 g balance.
type Balance struct {
	Mantissa int // 1, 2 or 5
	Decimals int // 0 to 4
}

// NewBalance makes a balance that reads to stepG grams: 1, 2 or 5 g or a
// tenth, hundredth, thousandth or ten-thousandth of those.
func NewBalance(stepG float64) (Balance, error) {
	for d := 0; d <= 4; d++ {
		for _, m := range []int{1, 2, 5} {
			b := Balance{m, d}
			if math.Abs(b.StepG()/stepG-1) <= 1e-9 {
				return b, nil
			}
		}
	}
	return Balance{}, fmt.Errorf("no balance step of %v g; accepted: 1, 0.1, 0.01 or 0.001 g (or 2 or 5 times one of these)", stepG)
}

func (b Balance) orDefault() Balance {
	if b.Mantissa == 0 {
		return Balance{1, 1}
	}
	return b
}

// StepG is the readability in g.
func (b Balance) StepG() float64 { return b.Grams(1) }

// Grams is the weight of so many steps, the float nearest the exact decimal.
func (b Balance) Grams(steps int64) float64 {
	b = b.orDefault()
	return float64(steps*int64(b.Mantissa)) / math.Pow10(b.Decimals)
}

// Format writes so many steps in g with the balance's digits.
func (b Balance) Format(steps int64) string {
	b = b.orDefault()
	return strconv.FormatFloat(b.Grams(steps), 'f', b.Decimals, 64)
}

// exactSteps turns grams into steps and refuses what the balance cannot show.
func (b Balance) exactSteps(g float64) (int64, error) {
	s := g / b.StepG()
	n := math.Round(s)
	if math.Abs(s-n) > 1e-6 {
		return 0, fmt.Errorf("%v g is not a whole number of the balance's %v g steps", g, b.StepG())
	}
	return int64(n), nil
}
