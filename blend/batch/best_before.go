package batch

import (
	"fmt"
	"time"
)

// BestBefore is the last month of a batch and what sets it.
type BestBefore struct {
	Month string `json:"month"` // 2027-11
	Why   string `json:"why"`
}

// usualMonths a base keeps closed where its file does not say and nothing is
// tested (common practice for small makers: half a year until the stability log
// says more).
const usualMonths = 6

// bestBefore is the sooner of the base's time from the day it is made and the
// first of its lots to run out; nil for a batch without a day.
func bestBefore(req *Request) *BestBefore {
	made, err := time.Parse(time.DateOnly, req.Date)
	if err != nil {
		return nil
	}
	months, why := req.Base.KeepMonths, "the base keeps %d months closed"
	if months == 0 {
		months, why = usualMonths, "%d months are assumed until the stability log says more"
	}
	first := time.Date(made.Year(), made.Month(), 1, 0, 0, 0, 0, time.UTC)
	out := &BestBefore{first.AddDate(0, months, 0).Format("2006-01"), fmt.Sprintf(why, months)}
	if lot := req.LotUntil; lot != "" && len(lot) >= 7 && lot[:7] < out.Month {
		out.Month, out.Why = lot[:7], "its oldest lot is good until "+lot
	}
	return out
}

// Printed is the month as a label has it: 11/2027.
func (b *BestBefore) Printed() string { return b.Month[5:] + "/" + b.Month[:4] }
