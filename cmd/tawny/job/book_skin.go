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
		in.lent().of.ClientID = of.ID
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
	r := colour.Reading{Text: c.Name, Lab: average.Lab, Viewing: colour.D65, Geometry: average.Geometry, Spectrum: average.Reflectance}
	if k, err = skin.FromReading(r); err != nil {
		return c, k, nil, input(fmt.Errorf("the skin of client %q: %w", c.Name, err))
	}
	k.Note = strings.TrimSpace(averageWords(average) + " " + k.Note)
	if average.ByEye { // as the preset of its class, which the eye chose
		k.Preset = true
		return c, k, nil, nil
	}
	if n := float64(average.Readings); n > 1 {
		by := 1 / math.Sqrt(n)
		se = &colour.Lab{L: average.SD.L * by, A: average.SD.A * by, B: average.SD.B * by}
	}
	return c, k, se, nil
}

// averageWords says what a client's colour is the mean of.
func averageWords(a book.SkinAverage) string {
	says := fmt.Sprintf("The mean of %d readings at %s, which lie ΔE00 %.2f from it on average and %.2f at most.",
		a.Readings, plural(len(a.Places), "place"), a.MeanDE00, a.WorstDE00)
	switch {
	case a.ByEye:
		says = "Judged by eye and not read: a stand-in for a reading, until one is written."
	case a.Readings == 1:
		says = "One reading; several, at several places, tell more."
	}
	return says + leftOutWords(a)
}

// leftOutWords says which readings of a client do not count, and why, and which can
// hardly both be right.
func leftOutWords(a book.SkinAverage) (says string) {
	if a.Judged > 0 {
		verb := "count"
		if a.Judged == 1 {
			verb = "counts"
		}
		says += fmt.Sprintf(" %s by eye no longer %s beside what was read.", plural(a.Judged, "judgement"), verb)
	}
	if a.Others > 0 {
		says += fmt.Sprintf(" %s left out: read otherwise than the %d that count (%s), and with and without gloss have no mean. The book's list of readings numbers them.",
			plural(a.Others, "reading"), a.Readings, a.Geometry.Words())
	}
	if a.Apart != nil {
		says += fmt.Sprintf(" Readings %d and %d lie ΔE00 %.3g apart, further than places of one skin do (%d at most): one of them is wrong or another person's. Take it out of the book.",
			a.Apart.ID[0], a.Apart.ID[1], a.Apart.DE00, book.OneSkin)
	}
	return says
}
