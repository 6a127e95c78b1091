package job

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
)

var bookTopic = &Job{
	Name:  "book",
	Short: "Keep powders, clients, blends and batches in a book",
	Long: `The book is one file that remembers: the powders and the lots they came in,
clients and the readings of their skin, the blends found, the batches with their
weights as actually weighed, and corrections. The page keeps the same book.

It is kept in the file named by --book, else by TAWNY_BOOK, else in your settings
folder. A damaged file is reported and never written over. Days are written as
2026-05-31.`,
	Example: `  tawny book add lot G-0117 --powder 'pale gold' --grams 50
  tawny book add client 'Dancer Ada (demo)'
  tawny book add reading lab:64.1,11.3,14.4 --client 'Dancer Ada (demo)' --place 'inner forearm'
  tawny book save --client 'Dancer Ada (demo)' --target skin:3,5,8 --grams 250
  tawny book weigh 1 --as-planned
  tawny book stock`,
}

var bookListJob = &Job{
	Name:  "book list",
	Args:  "[KIND]",
	Short: "List what the book has of a kind",
	Long: `Lists the records of a kind: powders, lots, movements, clients, readings, skins,
blends, batches, corrections, fits, photos or files written. With no kind it counts each.`,
	Example: "  tawny book list\n  tawny book list batches\n  tawny book list lots --json",
	New: func() Task {
		var kind string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Book.List(ctx, kind) },
			words(Field{Name: "kind", Words: "a kind of record", Arg: true, Maybe: true, Lists: "kind", To: &kind}))
	},
}

// recordArgs are the words that name a record.
func recordArgs(kind, record *string) Group {
	return words(Field{Name: "kind", Words: "a kind and a number are accepted", Arg: true, Lists: "kind", To: kind},
		Field{Name: "record", Words: "a kind and a number are accepted; put names with spaces in quotes", Arg: true, Lists: "record", To: record})
}

var bookShowJob = &Job{
	Name:  "book show",
	Args:  "KIND NUMBER",
	Short: "Show one record whole",
	Long: `Shows one record by its number in the book; a powder, a client and a lot also by
name. A batch comes with its corrections and readings, a lot with all that came
and went. The whole result kept with a blend or a batch is in --json.`,
	Example: "  tawny book show batch 3\n  tawny book show lot G-0117\n  tawny book show blend 2 --json",
	New: func() Task {
		var kind, record string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Book.Show(ctx, kind, record) },
			recordArgs(&kind, &record))
	},
}

var bookEditJob = &Job{
	Name:  "book edit",
	Args:  "KIND NUMBER",
	Short: "Write a record's name or note over, or hold a lot back",
	Long: `Writes the name or the note of a record over; a powder, a client and a lot may be
named by their own name. Colours and weights stay as they were written. A lot that is
held back is planned for nothing and counts for nothing until it may be used again.`,
	Example: "  tawny book edit lot G-0117 --held 'recalled by the supplier'\n  tawny book edit batch 3 --name 'Gala gold (demo)' --note 'liked by all'\n  tawny book edit client 'Dancer Ada (demo)' --note ''",
	New: func() Task {
		var kind, record string
		var name, note, held *string // nil leaves it as it was
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			if name == nil && note == nil && held == nil {
				return nil, inputf("nothing to write; {name}, {note} or {held} is accepted")
			}
			v := &BookRecord{}
			return v, env.Book.record(ctx, kind, record, func(b *book.Book, kind book.Kind, id int64) error {
				return b.Together(ctx, func(b *book.Book) error {
					for i, text := range []*string{name, note, held} {
						if text == nil {
							continue
						}
						if err := b.Set(ctx, kind, id, []string{"name", "note", "held"}[i], *text); err != nil {
							return err
						}
					}
					return v.fill(ctx, b, kind, id)
				})
			})
		}, recordArgs(&kind, &record), Group{Title: "Record", Fields: []Field{
			{Name: "name", Words: "what to call it", To: &name},
			{Name: "note", Words: "a note in your own words", To: &note},
			{Name: "held", Words: "why a lot is not to be used, such as 'smells off'; '' once it may be", To: &held},
		}})
	},
}

// yesField is the second yes of what cannot be undone.
func yesField(to *bool) Field {
	return Field{Name: "yes", Words: "do it; it cannot be undone", To: to}
}

var bookDeleteJob = &Job{
	Name:  "book delete",
	Args:  "KIND NUMBER",
	Short: "Take out a record written by mistake",
	Long: `Takes one record out of the book, by its number. One that others stand on stays,
and so the record of what was made does. A client goes with 'tawny book forget'.
Without --yes it only says what would go.`,
	Example: "  tawny book delete reading 12 --yes\n  tawny book delete batch 3 --yes",
	New: func() Task {
		var kind, record string
		var yes bool
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			v := &Deleted{}
			return v, env.Book.record(ctx, kind, record, func(b *book.Book, kind book.Kind, id int64) error {
				if kind == book.Clients {
					return inputf("a client goes with all that tells of them: 'tawny book forget %s'", record)
				}
				*v = Deleted{kind, id, fmt.Sprintf("Took %s %d out of the book.", singular(kind), id)}
				return b.Together(ctx, func(b *book.Book) error {
					list, err := b.List(ctx, kind)
					if err != nil {
						return err
					}
					if err := b.Delete(ctx, kind, id); err != nil || yes {
						return err
					}
					e := list[slices.IndexFunc(list, func(e book.Entry) bool { return e.ID == id })]
					what := slices.DeleteFunc([]string{e.Title, e.On, shortNumbers(e.Says)}, func(s string) bool { return s == "" })
					return inputf("nothing is done yet. {yes} takes %s %d out of the book for good: %s", singular(kind), id, strings.Join(what, ", "))
				})
			})
		}, recordArgs(&kind, &record), Group{Title: "Delete", Fields: []Field{yesField(&yes)}})
	},
}

// Show says what went.
func (v *Deleted) Show(s *Screen) { s.line("%s", v.Says) }
