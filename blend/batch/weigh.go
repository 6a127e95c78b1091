package batch

import (
	"fmt"
	"math"

	"tawny/blend/batch/rules"
)

// weigh rounds the lines to the balance so that they sum to the total
// exactly. The powders go first, against the load, since the colour depends
// on them; then all else shares what is left.
func weigh(b *Batch, lines []Weighing, filler int, fixed []float64) error {
	total := b.TotalSteps
	var powders, rest []int
	for i, l := range lines {
		if l.Powder {
			powders = append(powders, i)
		} else {
			rest = append(rest, i)
		}
	}
	used := int64(0)
	if fixed != nil {
		for j, i := range powders {
			s, err := b.balance().exactSteps(fixed[j])
			if err != nil {
				return fmt.Errorf("powder %s: %w", lines[i].Name, err)
			}
			if s < 0 || s > total {
				return fmt.Errorf("powder %s: %v g in a batch of %v g", lines[i].Name, fixed[j], b.TotalG)
			}
			lines[i].Steps = s
			used += s
		}
	} else {
		used = int64(math.Round(b.AskedLoad / 100 * float64(total)))
		if err := share(lines, powders, used); err != nil {
			return err
		}
	}
	left := total - used
	if left <= 0 {
		return fmt.Errorf("the powders weigh %s g of a batch of %s g; nothing is left for the base", b.Format(used), b.Format(total))
	}
	if err := fillUp(lines, rest, filler, total, left); err != nil {
		return fmt.Errorf("base %s: %w", b.Base, err)
	}
	for i := range lines {
		l := &lines[i]
		l.Grams = b.balance().Grams(l.Steps)
		l.Weighed = 100 * float64(l.Steps) / float64(total)
	}
	b.LoadPercent = 100 * float64(used) / float64(total)
	b.Weighings = lines
	return nil
}

// share apportions so many steps over some lines by their percentages.
func share(lines []Weighing, which []int, steps int64) error {
	x, err := apportion(quotas(lines, which, float64(steps)), nil, steps)
	if err != nil {
		return err
	}
	for j, i := range which {
		lines[i].Steps = x[j]
	}
	return nil
}

// quotas divides steps over some lines by their percentages.
func quotas(lines []Weighing, which []int, steps float64) []float64 {
	sum := 0.0
	for _, i := range which {
		sum += lines[i].Percent
	}
	q := make([]float64, len(which))
	for j, i := range which {
		q[j] = lines[i].Percent / sum * steps
	}
	return q
}

// fillUp apportions the lines that are not powders: each keeps its own
// percentage of the whole batch and the filler's quota is what is left; with
// no filler (-1) all share what is left. A line with a legal limit is not
// rounded past it.
func fillUp(lines []Weighing, rest []int, filler int, total, left int64) error {
	quota := quotas(lines, rest, float64(left))
	if filler >= 0 {
		spare, at := float64(left), -1
		for j, i := range rest {
			if i == filler {
				at = j
				continue
			}
			quota[j] = lines[i].Percent / 100 * float64(total)
			spare -= quota[j]
		}
		if spare <= 0 {
			return fmt.Errorf("%s cannot give way to these weights; name a larger filler or lower the load", lines[filler].Name)
		}
		quota[at] = spare
	}
	limit := make([]int64, len(rest))
	for j, i := range rest {
		most := limitPercent(lines[i])
		if most == 0 || i == filler || quota[j] > most/100*float64(total)*(1+1e-12) {
			continue // no limit, or past it already, which the checks report
		}
		limit[j] = int64(math.Floor(most/100*float64(total) + 1e-9))
		if limit[j] == 0 {
			return fmt.Errorf("%s may be at most %.4g %%, which is less than one step of the balance in this batch; use a finer balance or a larger batch", lines[i].Name, most)
		}
	}
	x, err := apportion(quota, limit, left)
	if err != nil {
		return err
	}
	for j, i := range rest {
		lines[i].Steps = x[j]
	}
	return nil
}

// limitPercent is the most of this line the finished product may hold, % w/w;
// 0 for none known. Rounding to the balance never passes it. The limits are
// those of the preservatives the line holds and of a scent's own certificate.
func limitPercent(l Weighing) float64 {
	most := l.most
	for _, s := range l.subs {
		p := rules.PreservativeOf(s.INCI)
		if p == nil || s.Percent == 0 {
			continue
		}
		if m := p.MaxPercent() * 100 / s.Percent; most == 0 || m < most {
			most = m
		}
	}
	return most
}
