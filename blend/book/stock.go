package book

import (
	"context"
	"database/sql"
	"fmt"
	"time"
)

// Movement is stock that came or went other than by being weighed into a
// batch or a correction.
type Movement struct {
	ID         int64     `json:"id"`
	LotID      int64     `json:"lot_id" book:"of lot"`
	Kind       string    `json:"kind" book:"in bought|counted|spilt|given|returned|adjusted"` // bought, counted, spilt, given, returned or adjusted
	Grams      float64   `json:"grams" book:"from -1e6 to 1e6"`                               // bought is positive; spilt, given and returned are negative
	MovedOn    string    `json:"moved_on" book:"day"`                                         // day; today where empty
	Note       string    `json:"note,omitempty"`
	RecordedAt time.Time `json:"recorded_at"`
}

func (m *Movement) prepare(where string) error {
	if problem := m.wrongWay(); problem != "" {
		return &FieldError{where, "grams", problem}
	}
	return nil
}

// wrongWay says what is wrong where the grams and the kind disagree.
func (m Movement) wrongWay() string {
	switch m.Kind {
	case "bought":
		if m.Grams < 0 {
			return "what is bought comes in; give grams above 0"
		}
	case "spilt", "given", "returned":
		if m.Grams > 0 {
			return "what is " + m.Kind + " goes out; give grams below 0"
		}
	}
	return ""
}

// CountStock writes what the balance shows is left of a lot, as a movement of
// the difference from what the book thought, and returns that difference.
func (b *Book) CountStock(ctx context.Context, lotID int64, leftG float64, note string) (differenceG float64, err error) {
	where := fmt.Sprintf("count of lot %d", lotID)
	if !(leftG >= 0 && leftG <= maxGrams) {
		return 0, &FieldError{where, "left_g", fmt.Sprintf("%v will not do; give a number from 0 to %s", leftG, plain(maxGrams))}
	}
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		lots, err := stockOf(ctx, tx, "WHERE lot_id = ?", lotID)
		if err != nil {
			return err
		}
		if len(lots) == 0 {
			return fmt.Errorf("lot %d: %w", lotID, ErrNotFound)
		}
		differenceG = leftG - lots[0].LeftG
		_, err = tableOf[Movement]().add(ctx, tx, &Movement{LotID: lotID, Kind: "counted", Grams: differenceG, Note: note}, where)
		return err
	})
	return differenceG, err
}

// LotStock is what is left of one lot: bought, less what was weighed into
// batches and corrections, and what else came or went. Grams, to the
// microgram. LeftG below 0 says that something was not written down.
type LotStock struct {
	LotID      int64   `json:"lot_id"`
	PowderID   int64   `json:"powder_id"`
	PowderName string  `json:"powder_name"`
	Lot        string  `json:"lot"`
	BoughtG    float64 `json:"bought_g"`
	UsedG      float64 `json:"used_g"`
	OtherG     float64 `json:"other_g"`
	LeftG      float64 `json:"left_g"`
	PlannedG   float64 `json:"planned_g"` // of what is left: for batches not begun

	// As its lot has them.
	Supplier       string   `json:"supplier,omitempty"`
	ReceivedOn     string   `json:"received_on,omitempty"`
	ExpiresOn      string   `json:"expires_on,omitempty"`
	Held           string   `json:"held,omitempty"`
	Strength       *float64 `json:"strength,omitempty"`
	ShadeShiftDE00 *float64 `json:"shade_shift_de00,omitempty"`
	PricePerG      *float64 `json:"price_per_g,omitempty"`
}

// NotFor says why a lot is not to be used on a day: it is past its own, or held back.
// It is empty where it may be.
func (l *LotStock) NotFor(day string) string {
	switch {
	case l.Held != "":
		return "held back: " + l.Held
	case l.ExpiresOn != "" && l.ExpiresOn < day:
		return "past its day, " + l.ExpiresOn
	}
	return ""
}

// Stock returns what is left of every lot by powder, those good for the shortest time
// first, and of those the oldest.
func (b *Book) Stock(ctx context.Context) ([]LotStock, error) {
	return viewed(ctx, b, func(tx *sql.Tx) ([]LotStock, error) {
		return stockOf(ctx, tx, "ORDER BY powder_name COLLATE NOCASE, expires_on IS NULL, expires_on, received_on, lot_id")
	})
}

func stockOf(ctx context.Context, tx *sql.Tx, where string, args ...any) ([]LotStock, error) {
	return gather(ctx, tx, func(rows *sql.Rows, l *LotStock) error {
		return rows.Scan(&l.LotID, &l.PowderID, &l.PowderName, &l.Lot, &l.BoughtG, &l.UsedG, &l.OtherG, &l.LeftG, &l.PlannedG,
			&l.Supplier, &l.ReceivedOn, &l.ExpiresOn, &l.Held, &l.Strength, &l.ShadeShiftDE00, &l.PricePerG)
	}, "SELECT lot_id, stock.powder_id, powder_name, stock.lot, bought_g, used_g, other_g, left_g, "+
		"coalesce((SELECT sum(w.planned_g) FROM batch_weight w JOIN batch b ON b.id = w.batch_id WHERE w.lot_id = stock.lot_id AND b.made_on IS NULL), 0), "+
		"supplier, coalesce(received_on, ''), coalesce(expires_on, ''), held, strength, shade_shift_de00, price_per_g "+
		"FROM stock JOIN lot ON lot.id = lot_id "+where, args...)
}

// LedgerLine is one coming or going of a lot, weighings among them.
type LedgerLine struct {
	LotID        int64   `json:"lot_id"`
	MovedOn      string  `json:"moved_on"`
	Kind         string  `json:"kind"`  // as Movement's, or batch or correction
	Grams        float64 `json:"grams"` // in is positive, out negative
	LeftG        float64 `json:"left_g"`
	MovementID   int64   `json:"movement_id,omitempty"`
	BatchID      int64   `json:"batch_id,omitempty"`
	CorrectionID int64   `json:"correction_id,omitempty"`
	Note         string  `json:"note,omitempty"`
}

// Ledger returns every coming and going of a lot by day, with what was left
// after each.
func (b *Book) Ledger(ctx context.Context, lotID int64) ([]LedgerLine, error) {
	return gathered(ctx, b, func(rows *sql.Rows, l *LedgerLine) error {
		return rows.Scan(&l.LotID, &l.MovedOn, &l.Kind, &l.Grams, &l.LeftG, &l.MovementID, &l.BatchID, &l.CorrectionID, &l.Note)
	}, "SELECT lot_id, coalesce(moved_on, ''), kind, grams, "+
		"round(sum(grams) OVER by_day, 6), movement_id, batch_id, correction_id, note "+
		"FROM ledger WHERE lot_id = ? "+
		"WINDOW by_day AS (ORDER BY moved_on, movement_id = 0, batch_id, correction_id, movement_id "+
		"ROWS UNBOUNDED PRECEDING) "+
		"ORDER BY moved_on, movement_id = 0, batch_id, correction_id, movement_id", lotID)
}
