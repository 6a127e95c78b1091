package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// BookAdded is a record written.
type BookAdded struct {
	Kind book.Kind `json:"kind"`
	ID   int64     `json:"id"`
	Says string    `json:"says"`
	Also string    `json:"also,omitempty"` // what was written with it
}

// addRecord writes a new record, of which what stands on other records is found by find.
func addRecord[T any](ctx context.Context, env *Env, kind book.Kind, r *T, name string, find func(b *book.Book) error) (*BookAdded, error) {
	v := &BookAdded{Kind: kind}
	return v, env.Book.write(ctx, func(b *book.Book) (err error) {
		if find != nil {
			if err := find(b); err != nil {
				return err
			}
		}
		v.ID, err = book.Add(ctx, b, *r)
		v.Says = fmt.Sprintf("%s is %s %d.", name, singular(kind), v.ID)
		return err
	})
}

// AddClient writes a new client.
func (e *Env) AddClient(ctx context.Context, c book.Client) (*BookAdded, error) {
	if c.Name = strings.TrimSpace(c.Name); c.Name == "" {
		return nil, inputf("a client without a name; any name is accepted, a made-up one too")
	}
	return addRecord(ctx, e, book.Clients, &c, c.Name, nil)
}

// NewPowder is a powder for the book. What the drawer says of it fills in the
// fields left empty.
type NewPowder struct {
	Name, Family, Source, Note string
	Drawer                     string // drawer it is looked up in before the built-in one
}

// AddPowder writes a new powder.
func (e *Env) AddPowder(ctx context.Context, n NewPowder) (*BookAdded, error) {
	p, err := n.record(e)
	if err != nil {
		return nil, err
	}
	return addRecord(ctx, e, book.Powders, &p, p.Name, nil)
}

// record is the powder as the book keeps it, with its row of the drawer.
func (n NewPowder) record(env *Env) (book.Powder, error) {
	p := book.Powder{Name: strings.TrimSpace(n.Name), Family: n.Family, Source: n.Source, Note: n.Note}
	drawer, err := Input{Drawer: orElse(n.Drawer, env.own()), AlsoBuiltin: true, env: env}.openDrawer(film.DefaultIndex)
	if err != nil {
		return p, err
	}
	g, err := drawer.Find(n.Name)
	if err != nil {
		if n.Source == "" {
			return p, inputf("%w; {drawer} names a drawer of yours, and 'tawny book add powder' with {source} adds one that is in none", err)
		}
		return p, nil
	}
	p.Name, p.Family, p.Source = g.Name, orElse(n.Family, g.Family), orElse(n.Source, string(g.Source))
	p.Document, err = drawerRow(g)
	return p, err
}

// drawerRow is a powder as a drawer of its own, in the drawer's file format.
func drawerRow(g *palette.Pigment) (json.RawMessage, error) {
	file, err := palette.PutRow(nil, g, false)
	if err != nil {
		return nil, err
	}
	return json.Marshal(map[string]string{"drawer_csv": string(file)})
}

// NewLot is a lot bought.
type NewLot struct {
	book.Lot
	Powder string
	Grams  float64 // bought
	Paid   float64 // for all of it, instead of the price of a gram
	Sure   bool    // of what looks like a slip, such as one past its day
	Drawer string  // drawer its powder is looked up in, where the book lacks it
}

func paidField(to *float64) Field {
	return Field{Name: "paid", Words: "what the whole of it cost, instead of the price of a gram", High: 1e6, To: to}
}

// perGram is the price of a gram, of which it or that of the whole is given.
func perGram(price, paid, grams float64) (float64, error) {
	switch {
	case paid == 0:
		return price, nil
	case price > 0:
		return 0, faultf("paid", "and {price} are both given; one is accepted")
	case grams == 0:
		return 0, faultf("grams", "is missing: what was paid is for how many?")
	}
	return paid / grams, nil
}

// AddLot writes a new lot and its grams coming in, and its powder where the
// book does not have it.
func (e *Env) AddLot(ctx context.Context, n NewLot) (v *BookAdded, err error) {
	if n.Grams == 0 {
		return nil, faultf("grams", "is missing: how much was bought?")
	}
	if strings.TrimSpace(n.Powder) == "" {
		return nil, faultf("powder", "is missing: what is in the bag?")
	}
	if n.Paid > 0 {
		price := 0.0
		if n.PricePerG != nil {
			price = *n.PricePerG
		}
		if price, err = perGram(price, n.Paid, n.Grams); err != nil {
			return nil, err
		}
		n.PricePerG = &price
	}
	if n.ExpiresOn, err = e.goodUntil(n.ExpiresOn, n.Sure); err != nil {
		return nil, err
	}
	if !n.Sure {
		if err := e.ahead("received", n.ReceivedOn); err != nil {
			return nil, err
		}
		if n.Strength != nil {
			if err := strengthSlip(*n.Strength); err != nil {
				return nil, err
			}
		}
	}
	err = e.Book.write(ctx, together(ctx, func(b *book.Book) error {
		v = &BookAdded{Kind: book.Lots}
		p, err := findPowder(ctx, b, n.Powder)
		if errors.Is(err, book.ErrNotFound) {
			if p, err = (NewPowder{Name: n.Powder, Drawer: n.Drawer}).record(e); err != nil {
				return err
			}
			p.ID, err = book.Add(ctx, b, p)
			v.Also = fmt.Sprintf("%s was not in the book and is now powder %d.", p.Name, p.ID)
		}
		if err != nil {
			return err
		}
		if l, err := findLot(ctx, b, n.Lot.Lot, p.Name); err == nil {
			return of("lot", inputf("lot %s of %s is in the book already, with %.6g g left; 'tawny book edit lot' puts its day and its price right", l.Lot, p.Name, l.LeftG))
		}
		n.PowderID = p.ID
		v.ID, err = b.AddLot(ctx, n.Lot, n.Grams)
		v.Says = fmt.Sprintf("Lot %s of %s, %g g, is lot %d.", n.Lot.Lot, p.Name, n.Grams, v.ID)
		return err
	}))
	return v, err
}

// shown is what a reading or a photo is of, as a maker names it.
type shown struct {
	Client string // name or id
	Lot    string // number on the bag
	Powder string // of the lot, where two have the number
}

// find looks up the client and the lot, each where one is named.
func (n *shown) find(ctx context.Context, b *book.Book) (client book.Client, lot book.LotStock, err error) {
	if n.Client != "" {
		if client, err = findClient(ctx, b, n.Client); err != nil {
			return client, lot, err
		}
	}
	if n.Lot != "" {
		lot, err = findLot(ctx, b, n.Lot, n.Powder)
	}
	return client, lot, err
}

// NewReading is a colour read, of a client's skin, a lot or a batch.
type NewReading struct {
	book.Reading
	shown
	Colour    string // as ReadColour takes it
	NewClient bool   // the client is added with it, where the book has none of that name
	Instead   bool   // what it contradicts is taken out
	Sure      bool   // what it contradicts stays beside it
}

// contradicts are those of a client's readings of bare skin that a new one cannot stand
// beside: too far off for places of one skin, or another word for the same place.
func (n *NewReading) contradicts(all []book.Reading) (list []book.Reading) {
	judged := n.How == "by eye"
	if n.Seen != "skin" || n.BatchID != 0 {
		return nil
	}
	for _, r := range all {
		off := colour.DeltaE00(r.Lab, n.Reading.Lab)
		word := judged && off > 0.5 && fold(r.Place) == fold(n.Place)
		if r.Seen == "skin" && r.BatchID == 0 && (r.How == "by eye") == judged && (off > book.OneSkin || word) {
			list = append(list, r)
		}
	}
	return list
}

// AddReading writes a new reading.
func (e *Env) AddReading(ctx context.Context, n NewReading) (v *BookAdded, err error) {
	if _, kept := clientOf(n.Colour); kept {
		return nil, of("colour", inputf("this skin is in the book already, as the average of what was read of a client: read the other place or the other person, and write that reading"))
	}
	c, err := e.readOrJudged(n.Colour, &n)
	if err != nil {
		return nil, err
	}
	if n.Client == "" && n.Lot == "" && n.BatchID == 0 && n.SkinID == 0 {
		return nil, inputf("a reading of what? {client}, {lot} or {batch} says")
	}
	if n.Seen == "" {
		n.Seen = "drawdown"
		if n.Client != "" || n.SkinID != 0 {
			n.Seen = "skin"
		}
	}
	if err := fillReading(&n.Reading, c.Reading, n.BatchID == 0); err != nil {
		return nil, err
	}
	err = e.Book.write(ctx, together(ctx, func(b *book.Book) error {
		of, also := "batch "+trimNumber(float64(n.BatchID)), []string{noteWords(c.Note)}
		if n.NewClient && n.Client != "" {
			if _, err := book.Named[book.Client](ctx, b, n.Client); errors.Is(err, book.ErrNotFound) {
				id, err := book.Add(ctx, b, book.Client{Name: strings.TrimSpace(n.Client)})
				if err != nil {
					return err
				}
				also = append(also, fmt.Sprintf("%s is client %d.", strings.TrimSpace(n.Client), id))
			}
		}
		client, lot, err := n.find(ctx, b)
		if err != nil {
			return err
		}
		n.ClientID, n.LotID = client.ID, lot.LotID
		switch {
		case n.Lot != "":
			of = lot.PowderName + ", lot " + lot.Lot
		case n.Client != "":
			of = client.Name
		}
		before, err := book.Of[book.Reading](ctx, b, "client_id", n.ClientID)
		if err != nil {
			return err
		}
		for _, r := range n.contradicts(before) {
			if !n.Instead && !n.Sure {
				return faultf("instead", "takes reading %d out (%s, L* %.1f a* %.1f b* %.1f), which lies ΔE00 %.3g from this one: they can hardly both be of one skin, and their mean would be nobody's. With {yes} both count. Nothing is written yet", r.ID, r.How, r.Lab.L, r.Lab.A, r.Lab.B, colour.DeltaE00(r.Lab, n.Reading.Lab))
			}
			if n.Instead {
				if err := b.Delete(ctx, book.Readings, r.ID); err != nil {
					return err
				}
				also = append(also, fmt.Sprintf("Reading %d is out of the book.", r.ID))
			}
		}
		id, err := book.Add(ctx, b, n.Reading)
		if err == nil && n.ClientID != 0 && n.Seen == "skin" && n.BatchID == 0 {
			all, err := book.Of[book.Reading](ctx, b, "client_id", n.ClientID)
			if err != nil {
				return err
			}
			also = append(also, strings.TrimSpace(leftOutWords(book.AverageSkin(all))))
		}
		v = &BookAdded{Kind: book.Readings, ID: id, Also: strings.TrimSpace(strings.Join(also, " ")),
			Says: fmt.Sprintf("Reading %d of %s: L* %.1f a* %.1f b* %.1f.", id, of, n.Reading.Lab.L, n.Reading.Lab.A, n.Reading.Lab.B)}
		return err
	}))
	return v, err
}

// readOrJudged is ReadColour, which for bare skin also takes the word that a maker
// judges it by: the colour is then the preset's.
func (e *Env) readOrJudged(text string, n *NewReading) (ColourRead, error) {
	k, err := skin.Find(text)
	if err != nil || n.Lot != "" || n.BatchID != 0 {
		return e.ReadColour(text)
	}
	n.How, n.Seen = orElse(n.How, "by eye"), orElse(n.Seen, "skin")
	k.Reading.Note = k.Name + " is " + k.Note
	if n.Place != "" && !strings.Contains(fold(n.Place), "face") {
		k.Reading.Note += "; nothing was read at the " + n.Place
	}
	return ColourRead{Reading: k.Reading}, nil
}

// noteWords makes a sentence of a note.
func noteWords(note string) string {
	if note == "" {
		return ""
	}
	return strings.TrimSuffix(strings.TrimSpace(note), ".") + "."
}

// fillReading puts a colour into a record, carried to D65 and the 2° observer.
// bare says that a reading on skin is of the skin alone.
func fillReading(r *book.Reading, c colour.Reading, bare bool) error {
	r.Lab, r.Reflectance = c.Lab, c.Spectrum
	onSkin := bare && r.Seen == "skin"
	switch {
	case onSkin:
		// A colour that is no skin's is found out here and not when it is
		// next used.
		k, err := skin.FromReading(c)
		if err != nil {
			return input(err)
		}
		r.Lab = k.Lab
	case c.Spectrum != nil:
		r.Lab = colour.D65.Lab(c.Spectrum)
	case c.Viewing != colour.D65:
		return inputf("%q was read under %s and has no spectrum, so its colour under D65 is not known; give it under D65/2, or its reflectance file", c.Text, c.Viewing.Name())
	}
	if r.Geometry == "" {
		r.Geometry = string(c.Geometry)
	}
	if r.How == "" {
		switch {
		case strings.HasPrefix(c.Text, "#"):
			r.How = "photo"
		case c.Spectrum != nil:
			r.How = "instrument"
		default:
			r.How = "typed"
		}
	}
	document, err := json.Marshal(map[string]string{"text": filepath.ToSlash(c.Text)})
	r.Document = document
	return err
}

// NewSkin is a skin kept by name.
type NewSkin struct {
	book.Skin
	Colour string // as Input.Skin
	Client string
}

// AddSkin writes a new skin. One of client:NAME keeps today's average.
func (e *Env) AddSkin(ctx context.Context, n NewSkin) (*BookAdded, error) {
	name, fromClient := clientOf(n.Colour)
	s, _, err := Input{Skin: n.Colour, env: e}.openSkin()
	if err != nil {
		return nil, err
	}
	n.Lab, n.Geometry = s.Lab, string(s.Reading.Geometry)
	n.Reflectance = s.Reading.Spectrum
	if n.How == "" {
		switch {
		case s.Preset:
			n.How = "preset"
		case fromClient:
			n.How = "average"
		case strings.HasPrefix(strings.TrimSpace(n.Colour), "#"):
			n.How = "hex"
		default:
			n.How = "reading"
		}
	}
	if fromClient && n.Client == "" {
		n.Client = name
	}
	v, err := addRecord(ctx, e, book.Skins, &n.Skin, orElse(n.Name, "It"), func(b *book.Book) error {
		if n.Client == "" {
			return nil
		}
		c, err := findClient(ctx, b, n.Client)
		n.ClientID = c.ID
		if fromClient && err == nil {
			var readings []book.Reading
			readings, err = book.Of[book.Reading](ctx, b, "client_id", c.ID)
			n.SpreadDE00 = new(book.AverageSkin(readings).MeanDE00)
		}
		return err
	})
	v.Says = fmt.Sprintf("%s: L* %.1f a* %.1f b* %.1f.", strings.TrimSuffix(v.Says, "."), n.Lab.L, n.Lab.A, n.Lab.B)
	return v, err
}

// NewPhoto is a picture for the book.
type NewPhoto struct {
	book.Photo
	shown
	File string
}

// AddPhoto writes a new photo.
func (e *Env) AddPhoto(ctx context.Context, n NewPhoto) (v *BookAdded, err error) {
	if n.Client == "" && n.Lot == "" && n.BatchID == 0 && n.BlendID == 0 {
		return nil, inputf("a photo of what? {client}, {lot}, {batch} or {blend} says")
	}
	if n.Data, err = e.read(n.File, book.MaxPhotoBytes); err != nil {
		return nil, err
	}
	return addRecord(ctx, e, book.Photos, &n.Photo, filepath.Base(n.File), func(b *book.Book) error {
		client, lot, err := n.find(ctx, b)
		n.ClientID, n.LotID = client.ID, lot.LotID
		return err
	})
}
