package job

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/book"
)

var bookSaveJob = &Job{
	Name:     "book save",
	Searches: true,
	Short:    "Find a blend and write it and its batch into the book",
	Long: `Finds the best blend for a skin and a target as 'tawny match' does, or takes the
one given with --part, and writes it into the book with its batch, planned and
not yet weighed. What was asked is kept whole, so that it can be made again.

Each powder is weighed from the lot named by --lot, else from the lot of the book
with enough left that is good for the shortest time, else from the drawer's. Where
that lot colours otherwise than the drawer's data, the blend is of it: a stated share
is put right for its strength, a match is made anew of the same powders, and it says
so. With --client alone the skin is the average of the client's readings. With --out
the swatch card and the batch sheet are written too.`,
	Example: `  tawny book save --skin tan --target skin:4,6,10 --load 4 --grams 250 --title 'House gold (demo)'
  tawny book save --client 'Dancer Ada (demo)' --target skin:3,5,8 --out bench
  tawny book save --skin tan --part 'pale gold=2' --part bronze=1 --lot 'pale gold=G-0117'`,
	New: func() Task {
		q := &BookSave{}
		in := &q.Input
		var format string
		return asking(func(ctx context.Context, env *Env) (_ Result, err error) {
			asked := *q
			if asked.Input, err = in.ready(env); err != nil {
				return nil, err
			}
			if env.given("containers") && !env.given("grams") {
				asked.Grams = 0
			}
			asked.files = filesFor{env, format}
			return env.Save(ctx, asked, env.Progress)
		}, append(q.fields(), Group{Title: "Book", Fields: []Field{
			{Name: "client", Words: "whom it is for", Lists: "client", To: &q.Client},
			lotsField(&q.Lots),
			noteField(&q.Note),
			formatField(&format),
			outField(""),
		}})...)
	},
}

func lotsField(to *[]string) Field {
	return Field{Name: "lot", Words: "the lot a powder is weighed from: 'pale gold=G-0117'; repeatable", To: to}
}

// Show says what is in the book and what to weigh.
func (v *BookSaved) Show(s *Screen) {
	whom := ""
	if v.Client != "" {
		whom = ", for " + v.Client
	}
	s.line("%s is in the book as blend %d and batch %d%s.", v.Name, v.BlendID, v.BatchID, whom)
	s.line("")
	s.plan(v)
	if v.Result != nil {
		b := &v.Result.Blend
		off := ""
		if v.Result.Target != nil {
			off = fmt.Sprintf("   ΔE00 %.2f, %s", b.DeltaE00, b.Words)
		}
		s.line("")
		s.line("On the skin  %s%s%s", s.patch(b.Hex), labText(b.Lab), off)
		s.fold("", v.Result.unlike())
	}
	s.paragraphs(v.Notes)
	s.toMend(v.Batch.Findings)
	s.line("")
	p := v.Powders[0]
	s.fold("", fmt.Sprintf("Once it is made: tawny book weigh %d --as-planned, with what the balance showed where it differed, such as %s", v.BatchID, quoteIfSpaced(p.Name+"="+grams(p.Grams, v.Batch.BalanceG))))
}

// toMend tells what a batch is not to be made or sold with.
func (s *Screen) toMend(list []batch.Finding) {
	s.paragraphs(toMend(list))
}

// toMend is what stands in a batch's way, in words.
func toMend(list []batch.Finding) (words []string) {
	for _, x := range list {
		switch {
		case !x.ToMend():
		case strings.HasPrefix(x.Text, x.About):
			words = append(words, "To mend first: "+x.Text)
		default:
			words = append(words, fmt.Sprintf("To mend first, %s: %s", x.About, x.Text))
		}
	}
	return words
}

func quoteIfSpaced(name string) string {
	if strings.Contains(name, " ") {
		return "'" + name + "'"
	}
	return name
}

// plan lists the powders of a batch and where they come from.
func (s *Screen) plan(v *BookSaved) {
	for _, p := range v.Powders {
		from := "no lot"
		if p.Lot != "" {
			from = "lot " + p.Lot
		}
		if p.LeftG != 0 {
			from += fmt.Sprintf(", %.4g g left", p.LeftG)
		}
		s.line("  %-22s %6.2f %%  %9s g   %s", p.Name, p.Percent, grams(p.Grams, v.Batch.BalanceG), from)
	}
	s.line("  %-22s %8s  %9s g   %s", "the batch", "", grams(v.Batch.TotalG, v.Batch.BalanceG), v.Batch.Base)
}

// BookSave asks for a blend and its batch to be written into the book: the
// best match of the input, or the blend of its parts.
type BookSave struct {
	Input
	Client string   // whom it is for; default the client whose skin it is
	Lots   []string // "powder=lot"
	Note   string

	files filesFor
	asks  bool // about a lot that is not to be used
}

// filesFor is where a blend's card and sheet go, and the sheet's format.
type filesFor struct {
	face   *Env
	format string
}

// draw makes a blend's files before it is written: what cannot be drawn is not to
// be in the book.
func (f filesFor) draw(r *BlendResult) error {
	if !f.face.Sends {
		return nil
	}
	return r.deliver(f.face, "card", "sheet", f.format, CardOptions{Shimmer: true, Seed: 1})
}

// fields are those that say which blend it is; they are kept with it, so that
// it can be asked for again.
func (q *BookSave) fields() []Group {
	return q.matchGroups(q.benchGroup(), Group{Title: "Record", Fields: []Field{
		partField(&q.Parts),
		{Name: "title", Words: "what to call it (default after the skin)", Unit: letters, High: 200, To: &q.Title},
		{Name: "rank", Words: "which of the blends found (default 1, the best)", Low: 1, High: 100, To: &q.Rank},
	}})
}

// lasting is the request's document with its files named so that it can be
// asked again from another folder.
func (q BookSave) lasting(env *Env) ([]byte, error) {
	for _, file := range []*string{&q.Drawer, &q.Bench.Prices} {
		*file = env.whole(*file)
	}
	if slices.Contains([]string{".csv", ".txt"}, strings.ToLower(filepath.Ext(q.Base))) {
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
	Result  *BlendResult    `json:"result,omitempty"` // nil where no skin is known
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
	err = e.Book.ifThere(ctx, func(b *book.Book) error {
		_, err := q.whose(ctx, b)
		return err
	})
	if err != nil {
		return nil, err
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
		v, err = r.keep(ctx, b, q, client, lots)
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

// freeCode refuses a batch code by which a recall may find another batch than this
// one, or none once its client is forgotten.
func freeCode(ctx context.Context, b *book.Book, code string, batch, client int64) error {
	if code = strings.TrimSpace(code); code == "" {
		return nil
	}
	id, err := b.OfCode(ctx, code)
	if err != nil {
		return err
	}
	if id != 0 && id != batch {
		return faultf("code", "is %s, which is batch %d's: a recall by it would find both; another is accepted", code, id)
	}
	if n, err := strconv.ParseInt(code, 10, 64); err == nil && n < numbered && n != batch {
		return faultf("code", "is %s: a batch without a code is labelled with its number, so another may come to bear it; one with a letter, or a date, is accepted", code)
	}
	if client == 0 {
		return nil
	}
	named, err := b.NameIn(ctx, client, code)
	if err == nil && named {
		err = faultf("code", "is %s, with a word of the client's name: forgetting them takes it out, and a recall by it would find nothing; another is accepted", code)
	}
	return err
}

// setCode writes a batch's code, and asks about one over a code that bottles may bear.
func setCode(ctx context.Context, b *book.Book, id int64, code string, sure bool) error {
	of, err := book.Get[book.Batch](ctx, b, id)
	if err != nil {
		return err
	}
	if err := freeCode(ctx, b, code, id, of.ClientID); err != nil {
		return err
	}
	if was := sheetIn(of.Document).Code; !sure && of.MadeOn != "" && was != "" && was != code {
		return faultf("yes", "writes another code over %s, which bottles of batch %d may bear: a recall by it would find nothing. Nothing is written yet", was, id)
	}
	return b.SetCode(ctx, id, code)
}

// numbered is where numbers are no more taken for a batch's: a date as a code, 261127,
// has six digits.
const numbered = 100000

// keep writes the result and its batch into the book, both or neither, its powders
// from the lots as fromLots has it.
func (r *BlendResult) keep(ctx context.Context, b *book.Book, asked BookSave, client book.Client, lots map[string]string) (*BookSaved, error) {
	if err := freeCode(ctx, b, r.setting.in.Bench.Code, 0, client.ID); err != nil {
		return nil, err
	}
	r, powders, notes, err := r.fromLots(ctx, b, lots)
	if err != nil {
		return nil, err
	}
	if len(asked.Parts) > 0 {
		asked.Parts = partItems(r.Blend.parts)
	}
	if held := r.setting.in.held; asked.asks && len(held) > 0 {
		return nil, faultf("yes", "writes a batch although %s. Another lot's number is accepted with {lot}; nothing is written yet", strings.TrimSuffix(held[0].Text, "."))
	}
	r.Title = r.title()
	if invented := r.setting.in.note(); invented != "" && !strings.Contains(r.Title, "demo") {
		r.Title += " (demo)"
	}
	raw, err := asked.lasting(r.setting.in.lent())
	if err != nil {
		return nil, err
	}
	v := &BookSaved{Name: r.Title, Client: client.Name, Powders: powders, Notes: notes}
	if v.Batch, err = r.Batch(); err != nil {
		return nil, err
	}
	rec, planned, err := r.records(raw, client.ID, asked.Note)
	if err != nil {
		return nil, err
	}
	if err := asked.files.draw(r); err != nil {
		return nil, err
	}
	err = b.Together(ctx, func(b *book.Book) error {
		if !r.setting.weighOnly {
			v.Result = r
		}
		if v.BlendID, err = book.Add(ctx, b, rec); err != nil {
			return err
		}
		planned.BlendID = v.BlendID
		if v.BatchID, err = book.Add(ctx, b, planned); err != nil {
			return err
		}
		return asked.files.face.noteFiles(ctx, b, book.File{ClientID: client.ID, BlendID: v.BlendID, BatchID: v.BatchID})
	})
	if err != nil {
		return nil, err
	}
	return v, nil
}
