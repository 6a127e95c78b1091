package job

import (
	"context"

	"tawny/blend/book"
)

// BookClient is what the book knows of a client.
type BookClient struct {
	Client   book.Client      `json:"client"`
	Skin     book.SkinAverage `json:"skin"`           // of the readings on bare skin
	View     *SkinView        `json:"view,omitempty"` // what that colour means; nil with no reading
	Says     string           `json:"says"`
	Readings []book.Reading   `json:"readings"`
	Skins    []book.Skin      `json:"skins,omitempty"`
	Blends   []book.Entry     `json:"blends,omitempty"`
	Batches  []book.Entry     `json:"batches,omitempty"`
}

// Client shows a client: the average of the readings, their spread by place
// and day, and what was made.
func (k Book) Client(ctx context.Context, name string) (*BookClient, error) {
	v := &BookClient{}
	return v, k.read(ctx, func(b *book.Book) (err error) {
		if v.Client, err = findClient(ctx, b, name); err != nil {
			return err
		}
		id := v.Client.ID
		if v.Readings, err = b.Readings(ctx, book.ReadingsOf{ClientID: id}); err != nil {
			return err
		}
		v.Skin = book.AverageSkin(v.Readings)
		v.Says = "No reading of their bare skin yet."
		if v.Skin.Readings > 0 {
			s, _, err := clientSkin(ctx, b, v.Client.Name)
			if err != nil {
				return err
			}
			day, err := (&Env{}).viewing("", "")
			if err != nil {
				return err
			}
			stage, err := (&Env{}).viewing("stage", "")
			if err != nil {
				return err
			}
			view := viewSkin(clientPrefix+v.Client.Name, s, day, stage, false)
			v.View, v.Says = &view, averageWords(v.Skin)
		}
		if v.Skins, err = b.Skins(ctx, id); err != nil {
			return err
		}
		v.Blends, v.Batches, err = madeFor(ctx, b, id)
		return err
	})
}

// madeFor lists the blends and batches made for a client.
func madeFor(ctx context.Context, b *book.Book, id int64) (blends, batches []book.Entry, err error) {
	for _, kind := range []book.Kind{book.Blends, book.Batches} {
		list, err := b.List(ctx, kind)
		if err != nil {
			return nil, nil, err
		}
		for _, e := range list {
			record, err := b.Show(ctx, kind, e.ID)
			if err != nil {
				return nil, nil, err
			}
			switch r := record.(type) {
			case book.Blend:
				if r.ClientID == id {
					blends = append(blends, e)
				}
			case book.Batch:
				if r.ClientID == id {
					batches = append(batches, e)
				}
			}
		}
	}
	return blends, batches, nil
}

// BookForgotten is a client gone.
type BookForgotten struct {
	Name string `json:"name"`
	book.Forgotten
}

// Forget removes a client with all that tells of them. Without sure it only
// says what would go, as an error.
func (k Book) Forget(ctx context.Context, name string, sure bool) (v *BookForgotten, err error) {
	if !sure {
		c, err := k.Client(ctx, name)
		if err != nil {
			return nil, err
		}
		return nil, inputf("forgetting %s removes %s, %s and all photos of them for good, and empties %s and %s of names and notes; {yes} does it",
			c.Client.Name, plural(len(c.Readings), "reading"), plural(len(c.Skins), "skin"), plural(len(c.Blends), "blend"), plural(len(c.Batches), "batch"))
	}
	err = k.read(ctx, func(b *book.Book) error {
		c, err := findClient(ctx, b, name)
		if err != nil {
			return err
		}
		f, err := b.Forget(ctx, c.Name)
		v = &BookForgotten{c.Name, f}
		return err
	})
	return v, err
}
