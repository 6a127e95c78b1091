package job

import (
	"context"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/book"
)

// BookSave asks for a blend and its batch to be written into the book: the
// best match of the input, or the blend of its parts.
type BookSave struct {
	Input
	Client string   // whom it is for; default the client whose skin it is
	Lots   []string // "powder=lot"
	Note   string
}

// fields are those that say which blend it is; they are kept with it, so that
// it can be asked for again.
func (q *BookSave) fields() []Group {
	return q.matchGroups(q.benchGroup(), Group{"Record", []Field{
		partField(&q.Parts),
		{Name: "title", Words: "what to call it (default after the skin)", To: &q.Title},
		{Name: "rank", Words: "which of the blends found (default 1, the best)", Low: 1, High: 100, To: &q.Rank},
	}})
}

// lasting is the request's document with its files named so that it can be
// asked again from another folder.
func (q BookSave) lasting(env *Env) ([]byte, error) {
	for _, file := range []*string{&q.Drawer, &q.Bench.Prices} {
		*file = env.whole(*file)
	}
	if strings.HasSuffix(strings.ToLower(q.Base), ".csv") {
		q.Base = env.whole(q.Base)
	}
	for _, c := range []*string{&q.Skin, &q.Target} {
		file, sample := *c, ""
		if at := strings.LastIndexByte(*c, '#'); at > 0 {
			file, sample = (*c)[:at], (*c)[at:]
		}
		if env.isFile(file) {
			*c = env.whole(file) + sample
		}
	}
	return docOf("book save", q.fields()).MarshalJSON()
}

// BookSaved is a blend and a batch written, planned and not yet weighed.
type BookSaved struct {
	BlendID int64           `json:"blendId"`
	BatchID int64           `json:"batchId"`
	Name    string          `json:"name"`
	Client  string          `json:"client,omitempty"`
	Powders []PlannedPowder `json:"powders"`
	Notes   []string        `json:"notes,omitempty"`
	Result  *BlendResult    `json:"result"`
	Batch   *batch.Batch    `json:"batch"`
}

// Save finds a blend and writes it into the book, with its batch.
func (e *Env) Save(ctx context.Context, q BookSave, progress func(float64)) (v *BookSaved, err error) {
	if q.Rank != 0 && len(q.Parts) > 0 {
		return nil, inputf("a stated blend has no rank; {part} or {rank} is accepted, not both")
	}
	lots, err := namedLots(q.Lots)
	if err != nil {
		return nil, err
	}
	if q.Skin == "" && q.Client != "" {
		q.Skin = clientPrefix + q.Client
	}
	q.env = e
	// The book is looked at before the search, and made only after it.
	there, err := e.Book.there(ctx)
	if err != nil {
		return nil, err
	}
	if there {
		err = e.Book.read(ctx, func(b *book.Book) error {
			_, err := q.whose(ctx, b)
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	r, _, err := q.blended(ctx, progress)
	if err != nil {
		return nil, err
	}
	write := e.Book.write
	if q.Client != "" {
		write = e.Book.read
	}
	err = write(ctx, func(b *book.Book) error {
		client, err := q.whose(ctx, b)
		if err != nil {
			return err
		}
		notes, err := r.takeLots(ctx, b, lots, false)
		if err != nil {
			return err
		}
		v, err = r.keep(ctx, b, q, client, q.Note)
		if v != nil {
			v.Notes = notes
		}
		return err
	})
	return v, err
}

// whose is the client a blend is for, the zero Client for nobody. A blend for
// a client's own skin is always theirs, so that it goes when they are
// forgotten.
func (q *BookSave) whose(ctx context.Context, b *book.Book) (c book.Client, err error) {
	if q.Client != "" {
		if c, err = findClient(ctx, b, q.Client); err != nil {
			return c, err
		}
	}
	name, ok := clientOf(q.Skin)
	if !ok {
		return c, nil
	}
	own, err := findClient(ctx, b, name)
	if err != nil {
		return c, err
	}
	if c.ID != 0 && c.ID != own.ID {
		return c, inputf("the skin is %s's and the blend is for %s; one client is accepted", own.Name, c.Name)
	}
	return own, nil
}

// keep writes the result and its batch into the book, both or neither.
func (r *BlendResult) keep(ctx context.Context, b *book.Book, asked BookSave, client book.Client, note string) (*BookSaved, error) {
	r.Title = r.title()
	if invented := r.setting.in.note(); invented != "" && !strings.Contains(r.Title, "demo") {
		r.Title += " (demo)"
	}
	raw, err := asked.lasting(r.setting.in.lent())
	if err != nil {
		return nil, err
	}
	v := &BookSaved{Name: r.Title, Client: client.Name, Result: r}
	if v.Batch, err = r.Batch(); err != nil {
		return nil, err
	}
	rec, err := r.BlendRecord(raw)
	if err != nil {
		return nil, err
	}
	rec.ClientID, rec.Note = client.ID, note
	if u := r.Blend.Uncertainty; u != nil {
		rec.DE00At95 = &u.DeltaE00
	}
	planned, err := r.BatchRecord(raw)
	if err != nil {
		return nil, err
	}
	planned.ClientID, planned.Note = client.ID, note
	if c := v.Batch.Cost; c != nil && len(c.Missing) == 0 {
		planned.Cost = &c.Total
	}
	if v.Powders, err = r.planned(ctx, b); err != nil {
		return nil, err
	}
	err = b.Together(ctx, func(b *book.Book) error {
		if v.BlendID, err = b.AddBlend(ctx, rec); err != nil {
			return err
		}
		planned.BlendID = v.BlendID
		v.BatchID, err = b.AddBatch(ctx, planned)
		return err
	})
	if err != nil {
		return nil, err
	}
	return v, nil
}
