package book

import (
	"context"
	"database/sql"
	"fmt"
	"time"
)

// Lot is one buying of a powder, by the number on the bag.
type Lot struct {
	ID             int64     `json:"id"`
	PowderID       int64     `json:"powder_id" book:"of powder"`
	Lot            string    `json:"lot" book:"required"` // its own among the powder's lots, capitals aside
	Supplier       string    `json:"supplier,omitempty"`
	ReceivedOn     string    `json:"received_on,omitempty" book:"day,null"`      // day
	ExpiresOn      string    `json:"expires_on,omitempty" book:"day,null"`       // day
	PricePerG      *float64  `json:"price_per_g,omitempty" book:"from 0 to 1e9"` // in the maker's own currency
	Strength       *float64  `json:"strength,omitempty" book:"from 0 to 100"`    // of the powder's own data; 1 is the same
	ShadeShiftDE00 *float64  `json:"shade_shift_de00,omitempty" book:"from 0 to 1000"`
	Note           string    `json:"note,omitempty"`
	RecordedAt     time.Time `json:"recorded_at"`
	Held           string    `json:"held,omitempty"` // why it is not to be used; empty where it may be
}

// AddLot writes a new lot and, where boughtG is above 0, that many grams of it
// coming in, together. Weighings already written with this powder and lot
// number are linked to it, so that they count against its stock.
func (b *Book) AddLot(ctx context.Context, l Lot, boughtG float64) (id int64, err error) {
	where := fmt.Sprintf("lot %q", l.Lot)
	if boughtG < 0 {
		return 0, &FieldError{where, "bought_g", "cannot be less than 0"}
	}
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		if id, err = tableOf[Lot]().add(ctx, tx, &l, where); err != nil {
			return err
		}
		if boughtG != 0 {
			m := &Movement{LotID: id, Kind: "bought", Grams: boughtG, MovedOn: l.ReceivedOn}
			if _, err := tableOf[Movement]().add(ctx, tx, m, where); err != nil {
				return err
			}
		}
		return linkWeights(ctx, tx, l, id)
	})
	return id, err
}

// linkWeights gives the lot to what was written before the lot was.
func linkWeights(ctx context.Context, tx *sql.Tx, l Lot, id int64) error {
	p, err := get[Powder](ctx, tx, l.PowderID)
	if err != nil {
		return err
	}
	for _, t := range []struct{ table, name string }{
		{"batch_weight", "role = 'powder' AND name"}, {"correction_weight", "role = 'powder' AND name"},
		{"blend_powder", "powder_name"},
	} {
		_, err := tx.ExecContext(ctx, "UPDATE "+t.table+" SET powder_id = ?, lot_id = ? "+
			"WHERE lot_id IS NULL AND lot = ? COLLATE NOCASE AND (powder_id = ? OR "+
			"powder_id IS NULL AND "+t.name+" = ? COLLATE NOCASE)", p.ID, id, l.Lot, p.ID, p.Name)
		if err != nil {
			return err
		}
	}
	return nil
}

func today() string { return time.Now().Format(time.DateOnly) }
