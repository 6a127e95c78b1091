package batch

import "tawny/blend/batch/rules"

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
