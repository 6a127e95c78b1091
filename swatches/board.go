package swatches

import (
	"fmt"

	"tawny/colour"
	"tawny/swatches/shimmer"
)

// Board is a table of looks with the bare skin at the head of every row: a
// strip of loads or of coverages is one row, blends against skins one row for
// each skin, daylight and stage one row for each light.
type Board struct {
	Heading

	Columns []string // what differs along a row, such as "2 %"; the bare skin's is not among them
	Rows    []BoardRow
	Rig     shimmer.Rig
	Seed    uint64

	Blend   *Blend   // what to weigh, where all looks are one blend's; nil hides it
	Remarks []string // anything else a maker should read
}

// BoardRow is one skin under one light.
type BoardRow struct {
	Name    string
	Viewing *colour.Viewing // of every Lab in the row; nil is D65/2
	Skin    Patch
	Target  *Patch
	Looks   []Look   // one for each column
	Words   []string // lines under the row, such as its own blend
}

// Look is one blend worn one way.
type Look struct {
	Lab     colour.Lab
	Film    *shimmer.Film // nil for a flat colour
	Sparkle Sparkle
	Words   []string // further lines under the numbers, such as the undertone
}

// What a board has room for.
const (
	MaxBoardRows    = 6
	MaxBoardColumns = 8
)

// Check reports the first thing about the board that cannot be drawn.
func (b *Board) Check() error {
	if n := len(b.Rows); n < 1 || n > MaxBoardRows {
		return fmt.Errorf("the board has %d rows; 1 to %d are accepted", n, MaxBoardRows)
	}
	if n := len(b.Columns); n < 1 || n > MaxBoardColumns {
		return fmt.Errorf("the board has %d columns; 1 to %d are accepted", n, MaxBoardColumns)
	}
	for i := range b.Rows {
		r := &b.Rows[i]
		if len(r.Looks) != len(b.Columns) {
			return fmt.Errorf("row %q has %d looks for %d columns", r.Name, len(r.Looks), len(b.Columns))
		}
		if err := r.card(b).checkRibbon(""); err != nil {
			return fmt.Errorf("row %q: %w", r.Name, err)
		}
	}
	if b.Blend != nil {
		return b.Blend.check()
	}
	return nil
}

// card is the row as a card's ribbon: a row is a card without its table.
func (r *BoardRow) card(b *Board) *Card {
	c := &Card{Viewing: r.Viewing, Skin: r.Skin, Target: r.Target, Rig: b.Rig}
	for i, l := range r.Looks {
		c.Coverages = append(c.Coverages, Coverage{Name: b.Columns[i], Lab: l.Lab, Film: l.Film})
	}
	return c
}
