package batch

import (
	"fmt"
	"time"
)

// BestBefore is the last month of a batch, or its last day, and what sets it.
type BestBefore struct {
	Month string `json:"month"`         // 2027-11, the last that ends on or before its last day
	Day   string `json:"day,omitempty"` // that day, 2027-11-05, where the month leaves too little of the time
	Why   string `json:"why"`
}

// usualMonths a base keeps closed where its file does not say and nothing is
// tested (common practice for small makers: half a year until the stability log
// says more).
const usualMonths = 6

// bestBefore is the sooner of the base's time from the day it is made and the
// first of its lots to run out; nil for a batch without a day. Labels may bear a month
// and year or a day, month and year (Article 19(1)(c), Regulation (EC) No 1223/2009).
func bestBefore(req *Request) *BestBefore {
	made, err := time.Parse(time.DateOnly, req.Date)
	if err != nil {
		return nil
	}
	months, why := req.Base.KeepMonths, "the base keeps %d months closed"
	if months == 0 {
		months, why = usualMonths, "%d months are assumed until the stability log says more"
	}
	last, why := made.AddDate(0, months, 0), fmt.Sprintf(why, months)
	if lot, err := lotUntil(req.LotUntil); err == nil && lot.Before(last) {
		last, why = lot, "its oldest lot is good until "+req.LotUntil
	}
	next := last.AddDate(0, 0, 1)
	end := next.AddDate(0, 0, -next.Day())
	out := &BestBefore{Month: end.Format("2006-01"), Why: why}
	short := end.Sub(made) < last.Sub(made)/2 // our own choice
	if end.Before(made) || end.Before(last) && (short || out.Month == made.Format("2006-01")) {
		out.Day = last.Format(time.DateOnly)
	}
	return out
}

// lotUntil is the last day of a lot, of a month the month's last.
func lotUntil(text string) (time.Time, error) {
	if first, err := time.Parse("2006-01", text); err == nil {
		return first.AddDate(0, 1, -1), nil
	}
	return time.Parse(time.DateOnly, text)
}

// Printed is the month as a label has it, 11/2027, or the day, 5 November 2027.
func (b *BestBefore) Printed() string {
	if day, err := time.Parse(time.DateOnly, b.Day); err == nil {
		return day.Format("2 January 2006")
	}
	return b.Month[5:] + "/" + b.Month[:4]
}
