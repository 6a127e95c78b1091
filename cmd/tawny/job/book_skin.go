package job

import (
	"context"
	"fmt"
	"math"
	"strings"

	"tawny/blend/book"
	"tawny/colour"
	"tawny/colour/skin"
)

// clientPrefix begins a skin that is a client's in the book.
const clientPrefix = "client:"

// clientOf reads "client:NAME".
func clientOf(text string) (name string, ok bool) {
	text = strings.TrimSpace(text)
	if n := len(clientPrefix); len(text) > n && strings.EqualFold(text[:n], clientPrefix) {
		return strings.TrimSpace(text[n:]), true
	}
	return "", false
}

// openSkin reads the input's skin: a client's of the book, or as openSkin.
func (in Input) openSkin() (k skin.Skin, se *colour.Lab, err error) {
	name, ok := clientOf(in.Skin)
	if !ok {
		return in.lent().openSkin(in.Skin)
	}
	err = in.lent().Book.read(context.Background(), func(b *book.Book) error {
		var of book.Client
		of, k, se, err = clientSkin(context.Background(), b, name)
		in.lent().whose = of.ID
		return err
	})
	return k, se, err
}

// clientSkin is the average of a client's readings as a skin, with the
// standard error of its colour where there are two readings or more.
func clientSkin(ctx context.Context, b *book.Book, name string) (c book.Client, k skin.Skin, se *colour.Lab, err error) {
	if c, err = findClient(ctx, b, name); err != nil {
		return c, k, nil, err
	}
	readings, err := book.Of[book.Reading](ctx, b, "client_id", c.ID)
	if err != nil {
		return c, k, nil, err
	}
	average := book.AverageSkin(readings)
	if average.Readings == 0 {
		return c, k, nil, inputf("the book has no reading of %s's bare skin; 'tawny book add reading COLOUR --client %q' adds one", c.Name, c.Name)
	}
	r := colour.Reading{Text: c.Name, Lab: average.Lab, Viewing: colour.D65, Spectrum: average.Reflectance}
	if r.Geometry, err = geometryOf(c.Name, readings); err != nil {
		return c, k, nil, err
	}
	if k, err = skin.FromReading(r); err != nil {
		return c, k, nil, input(fmt.Errorf("the skin of client %q: %w", c.Name, err))
	}
	k.Note = strings.TrimSpace(averageWords(average) + " " + k.Note)
	if n := float64(average.Readings); n > 1 {
		by := 1 / math.Sqrt(n)
		se = &colour.Lab{L: average.SD.L * by, A: average.SD.A * by, B: average.SD.B * by}
	}
	return c, k, se, nil
}

// averageWords says what a client's colour is the mean of.
func averageWords(a book.SkinAverage) string {
	if a.Readings == 1 {
		return "One reading; several, at several places, tell more."
	}
	return fmt.Sprintf("The mean of %d readings at %s, which lie ΔE00 %.2f from it on average and %.2f at most.",
		a.Readings, plural(len(a.Places), "place"), a.MeanDE00, a.WorstDE00)
}

// geometryOf is how a client's readings of bare skin were read. They must
// agree: readings with and without gloss cannot be averaged.
func geometryOf(name string, readings []book.Reading) (g colour.Geometry, err error) {
	first := true
	for _, r := range readings {
		if r.Seen != "skin" || r.BatchID != 0 {
			continue
		}
		now := colour.Geometry(r.Geometry)
		if !first && now.Assumed() != g.Assumed() {
			return "", inputf("of %s's readings they are of two kinds (%s; %s), and these cannot be averaged; give {skin} a colour, or take the few out with 'tawny book delete reading ID'", name, g.Words(), now.Words())
		}
		if first || g == "" {
			g = now
		}
		first = false
	}
	return g, nil
}
