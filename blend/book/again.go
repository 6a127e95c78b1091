package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tawny/blend/batch"
)

// Again is what is needed to make a batch once more: what was asked then, and
// the powders used then, to match against.
type Again struct {
	Batch   Batch
	Blend   *Blend          // it was made of; nil where the book has none
	Request json.RawMessage // the batch's, or else its blend's
	Powders []Weight        // of Batch, by the names that the powders have today
	Retired map[string]bool // those of Powders that are, by name
	Says    string          // why there is no request
}

// MakeAgain returns what is needed to make the batch once more. The caller
// matches the request again with today's lots.
func (b *Book) MakeAgain(ctx context.Context, batchID int64) (Again, error) {
	return viewed(ctx, b, func(tx *sql.Tx) (Again, error) { return makeAgain(ctx, tx, batchID) })
}

func makeAgain(ctx context.Context, tx *sql.Tx, batchID int64) (again Again, err error) {
	if again.Batch, err = get[Batch](ctx, tx, batchID); err != nil {
		return again, err
	}
	again.Request, again.Retired = again.Batch.Request, map[string]bool{}
	if id := again.Batch.BlendID; id != 0 {
		blend, err := get[Blend](ctx, tx, id)
		if err != nil {
			return again, err
		}
		if again.Blend = &blend; again.Request == nil {
			again.Request = blend.Request
		}
	}
	if again.Request == nil {
		again.Says = fmt.Sprintf("what was asked for batch %d is not in the book: it was never written, "+
			"or its client was left out of an export. Its weights are here", batchID)
	}
	for _, w := range again.Batch.Weights {
		if w.Role != "powder" {
			continue
		}
		if w.PowderID != 0 {
			powder, err := get[Powder](ctx, tx, w.PowderID)
			if err != nil {
				return again, err
			}
			w.Name = powder.Name
			again.Retired[w.Name] = powder.RetiredOn != ""
		}
		again.Powders = append(again.Powders, w)
	}
	return again, nil
}

// Parts are the powders of its recipe as parts of a stated blend, "name=percent", in its
// order.
func (a *Again) Parts() (list []string) {
	grams := map[string]float64{}
	for _, p := range a.Powders { // one that came from two lots is there twice
		grams[p.Name] += p.PlannedG
	}
	for _, p := range a.Powders {
		if g := grams[p.Name]; g > 0 {
			list = append(list, fmt.Sprintf("%s=%.9g", p.Name, 100*g/a.Batch.PlannedG))
			delete(grams, p.Name)
		}
	}
	return list
}

// recipeFields are those of a request that say what is made; the others say for whom,
// of which shade and how it was found.
var recipeFields = strings.Fields(`job version part base drawer also-built-in area apply grams containers ml samples balance code
	filler closure lot-until overfill loss prices margin labour-hours scent scent-limit allergen nozzle-um`)

// forNobody is what stays of a batch's request and sheet once its client is forgotten,
// so that it can be made again, labelled and its sheet printed: its recipe, and what was
// weighed and read at the bench. What cannot be read goes.
func (a *Again) forNobody() (request, sheet any) {
	var asked map[string]any
	parts := a.Parts()
	if json.Unmarshal(a.Request, &asked) == nil && len(parts) > 0 && a.Batch.PlannedG > 0 {
		maps.DeleteFunc(asked, func(field string, _ any) bool { return !slices.Contains(recipeFields, field) })
		if asked["part"] == nil {
			asked["part"] = parts
		}
		if text, err := json.Marshal(asked); err == nil {
			request = string(text)
		}
	}
	var of batch.Batch
	if json.Unmarshal(a.Batch.Document, &of) == nil && len(of.Weighings) > 0 {
		of.ForNobody()
		if text, err := json.Marshal(&of); err == nil {
			sheet = string(text)
		}
	}
	return request, sheet
}
