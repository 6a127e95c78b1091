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
	Name         string          `json:"name,omitempty"`
	ClientID     int64           `json:"client_id,omitempty"`
	SkinID       int64           `json:"skin_id,omitempty"`
	Base         string          `json:"base,omitempty"`
	Skin         *colour.Lab     `json:"skin,omitempty"`
	Target       *colour.Lab     `json:"target,omitempty"`
	Predicted    *colour.Lab     `json:"predicted,omitempty"` // on that skin
	DE00         float64         `json:"de00"`
	DE00At95     *float64        `json:"de00_95,omitempty"` // 95 % of makings stay within this of the prediction
	LoadPercent  float64         `json:"load_percent"`      // % w/w of colourants in the finished product
	AppliedMgCM2 *float64        `json:"applied_mg_cm2,omitempty"`
	Request      json.RawMessage `json:"request,omitempty"`  // what was asked, whole
	Document     json.RawMessage `json:"document,omitempty"` // the result, whole
	Note         string          `json:"note,omitempty"`
	RecordedAt   time.Time       `json:"recorded_at"`
	SkinGeometry string          `json:"skin_geometry,omitempty"` // the skin was read in
	Geometry     string          `json:"geometry,omitempty"`      // the target was read in, and predicted stands in

	Powders []BlendPowder `json:"powders"`
}

// BlendPowder is one powder of a blend. A powder or lot that the book has is
// found by name; the name and the number on the bag stand either way.
type BlendPowder struct {
	BlendID    int64   `json:"blend_id,omitempty"`
	Position   int64   `json:"position,omitempty"` // from 1, in the order given
	PowderName string  `json:"powder_name"`
	PowderID   int64   `json:"powder_id,omitempty"`
	LotID      int64   `json:"lot_id,omitempty"`
	Lot        string  `json:"lot,omitempty"`
	Percent    float64 `json:"percent"` // % w/w of the finished product
}

func (b *Blend) columns() []column {
	return columns(
		id(&b.ID), word("name", &b.Name).private(),
		refers("client_id", "client", &b.ClientID).orNull().private(), refers("skin_id", "skin", &b.SkinID).orNull().private(),
		word("base", &b.Base), personLab("skin", &b.Skin),
		amount("de00", &b.DE00, 0, 1000), known("de00_95", &b.DE00At95, 0, 1000),
		amount("load_percent", &b.LoadPercent, 0, 100), known("applied_mg_cm2", &b.AppliedMgCM2, 0, 1000),
		doc("request", &b.Request).private(), doc("document", &b.Document).private(), word("note", &b.Note).private(),
		recorded(&b.RecordedAt), oneOf("skin_geometry", &b.SkinGeometry, geometries...).private(), oneOf("geometry", &b.Geometry, geometries...).private(),
		personLab("target", &b.Target), personLab("predicted", &b.Predicted))
}

func (p *BlendPowder) columns() []column {
	return columns(
		refers("blend_id", "blend", &p.BlendID), count("position", &p.Position, 1, 1000),
		word("powder_name", &p.PowderName).given(), refers("powder_id", "powder", &p.PowderID).orNull(),
		refers("lot_id", "lot", &p.LotID).orNull(), word("lot", &p.Lot), amount("percent", &p.Percent, 0, 100))
}

func (b *Blend) parts() parts {
	return partList[BlendPowder, *BlendPowder]{"blend_powder", &b.Powders}
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
