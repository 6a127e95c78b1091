package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"tawny/colour"
)

// Blend is a shade found for a skin and a target, before it is made.
type Blend struct {
	ID           int64           `json:"id"`
	Name         string          `json:"name,omitempty" book:"personal"`
	ClientID     int64           `json:"client_id,omitempty" book:"of client,null,personal"`
	SkinID       int64           `json:"skin_id,omitempty" book:"of skin,null,personal"`
	Base         string          `json:"base,omitempty"`
	Skin         *colour.Lab     `json:"skin,omitempty" book:"personal"`
	DE00         float64         `json:"de00" book:"from 0 to 1000"`
	DE00At95     *float64        `json:"de00_95,omitempty" book:"from 0 to 1000"` // 95 % of makings stay within this of the prediction
	LoadPercent  float64         `json:"load_percent" book:"from 0 to 100"`       // % w/w of colourants in the finished product
	AppliedMgCM2 *float64        `json:"applied_mg_cm2,omitempty" book:"from 0 to 1000"`
	Request      json.RawMessage `json:"request,omitempty" book:"personal"`  // what was asked, whole
	Document     json.RawMessage `json:"document,omitempty" book:"personal"` // the result, whole
	Note         string          `json:"note,omitempty" book:"personal"`
	RecordedAt   time.Time       `json:"recorded_at"`
	SkinGeometry string          `json:"skin_geometry,omitempty" book:"in |di|de|45|photo,personal"` // the skin was read in
	Geometry     string          `json:"geometry,omitempty" book:"in |di|de|45|photo,personal"`      // the target was read in, and predicted stands in
	Target       *colour.Lab     `json:"target,omitempty" book:"personal"`
	Predicted    *colour.Lab     `json:"predicted,omitempty" book:"personal"` // on that skin

	Powders []BlendPowder `json:"powders"`
}

// BlendPowder is one powder of a blend. A powder or lot that the book has is
// found by name; the name and the number on the bag stand either way.
type BlendPowder struct {
	BlendID    int64   `json:"blend_id,omitempty" book:"of blend"`
	Position   int64   `json:"position,omitempty" book:"from 1 to 1000"` // from 1, in the order given
	PowderName string  `json:"powder_name" book:"required"`
	PowderID   int64   `json:"powder_id,omitempty" book:"of powder,null"`
	LotID      int64   `json:"lot_id,omitempty" book:"of lot,null"`
	Lot        string  `json:"lot,omitempty"`
	Percent    float64 `json:"percent" book:"from 0 to 100"` // % w/w of the finished product
}

// mention is a part that may tell of a powder and its lot.
type mention interface {
	resolve(ctx context.Context, tx *sql.Tx, where string) error
}

func (p *BlendPowder) resolve(ctx context.Context, tx *sql.Tx, where string) error {
	return resolve(ctx, tx, where, &p.PowderName, &p.PowderID, &p.Lot, &p.LotID)
}

// resolve fills in the names or ids that were left out of a powder's mention
// and refuses those that disagree. A name or lot the book does not know is
// kept as text.
func resolve(ctx context.Context, tx *sql.Tx, where string, name *string, powderID *int64, lot *string, lotID *int64) error {
	if *lotID != 0 {
		l, err := get[Lot](ctx, tx, *lotID)
		if err != nil {
			return fmt.Errorf("%s: lot_id: %w", where, err)
		}
		if *lot == "" {
			*lot = l.Lot
		}
		if *powderID == 0 {
			*powderID = l.PowderID
		}
		if *powderID != l.PowderID || *lot != l.Lot {
			return &FieldError{where, "lot_id", fmt.Sprintf("lot %d is %q of another powder or number", *lotID, l.Lot)}
		}
	}
	var p []Powder
	var err error
	if *powderID != 0 {
		p, err = find[Powder](ctx, tx, "WHERE id = ?", *powderID)
		if err == nil && len(p) == 0 {
			err = &FieldError{where, "powder_id", fmt.Sprintf("there is no powder %d", *powderID)}
		}
	} else {
		p, err = find[Powder](ctx, tx, "WHERE name = ? COLLATE NOCASE", *name)
	}
	if err != nil || len(p) == 0 {
		return err
	}
	*powderID = p[0].ID
	switch {
	case *name == "":
		*name = p[0].Name
	case !strings.EqualFold(*name, p[0].Name):
		return &FieldError{where, "powder_id", fmt.Sprintf("powder %d is %q, not %q", *powderID, p[0].Name, *name)}
	}
	if *lotID != 0 || *lot == "" {
		return nil
	}
	lots, err := find[Lot](ctx, tx, "WHERE powder_id = ? AND lot = ? COLLATE NOCASE", *powderID, *lot)
	if err == nil && len(lots) > 0 {
		*lotID, *lot = lots[0].ID, lots[0].Lot
	}
	return err
}
