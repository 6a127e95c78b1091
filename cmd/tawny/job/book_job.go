package job

import (
	"context"
	"errors"
	"fmt"
	"maps"
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
name, a batch by its code. A batch comes with its corrections and readings, a lot with
all that came and went. The whole result kept with a blend or a batch is in --json.`,
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
	Short: "Write a record's name or note over, put a lot right or hold it back",
	Long: `Writes the name or the note of a record over, a batch's code, by which a recall finds
it, and a lot's day, price and strength; a powder, a client and a lot may be named by
their own name. Colours and weights stay as they were written. A lot that is held back
is planned for nothing and counts for nothing until it may be used again.`,
	Example: "  tawny book edit lot G-0117 --held 'recalled by the supplier'\n  tawny book edit batch 3 --name 'Gala gold (demo)' --code GG-3\n  tawny book edit client 'Dancer Ada (demo)' --note ''",
	New: func() Task {
		var kind, record string
		var name, note, code, held, expires *string // nil leaves it as it was
		var strength, price *float64
		var sure bool
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			over := map[string]any{}
			for column, text := range map[string]*string{"name": name, "note": note, "held": held, "expires_on": expires} {
				if text != nil {
					over[column] = *text
				}
			}
			for column, x := range map[string]*float64{"strength": strength, "price_per_g": price} {
				if x != nil {
					over[column] = *x
				}
			}
			if len(over) == 0 && code == nil {
				return nil, inputf("nothing to write; {name}, {note}, {code}, {held}, {expires}, {price} or {strength} is accepted")
			}
			if strength != nil && !sure {
				if err := strengthSlip(*strength); err != nil {
					return nil, err
				}
			}
			if expires != nil {
				day, err := env.goodUntil(*expires, sure)
				if err != nil {
					return nil, err
				}
				over["expires_on"] = day
			}
			v := &BookRecord{}
			return v, env.Book.record(ctx, kind, record, func(b *book.Book, kind book.Kind, id int64) error {
				return b.Together(ctx, func(b *book.Book) error {
					if code != nil {
						if kind != book.Batches {
							return faultf("code", "is a batch's, and this is a %s", singular(kind))
						}
						if err := setCode(ctx, b, id, strings.TrimSpace(*code), sure); err != nil {
							return err
						}
					}
					for _, column := range slices.Sorted(maps.Keys(over)) {
						if err := b.Set(ctx, kind, id, column, over[column]); err != nil {
							return err
						}
					}
					return v.fill(ctx, b, kind, id)
				})
			})
		}, recordArgs(&kind, &record), Group{Title: "Record", Fields: []Field{
			{Name: "name", Words: "what to call it", To: &name},
			{Name: "note", Words: "a note in your own words", To: &note},
			{Name: "code", Words: "the code a batch bears on its labels; '' for its number", To: &code},
			{Name: "held", Words: "why a lot is not to be used, such as 'smells off'; '' once it may be", To: &held},
			{Name: "expires", Words: "the day or month a lot is good until", To: &expires},
			{Name: "price", Words: "price of a gram of a lot, in your currency", High: 1e6, To: &price},
			{Name: "strength", Words: "how much a lot colours for its weight, against the drawer's data: 0.9 or 90 % is nine tenths of it", Unit: times, High: 100, Above: true, To: &strength},
			{Name: "yes", Words: "write a day past, a strength that looks like a slip or a code over one that bottles may bear", To: &sure},
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
and so does a batch or a correction that was weighed, or a recall would miss it; a lot
that went into nothing goes with what was bought of it. A client
goes with 'tawny book forget'.
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
					if err := b.Delete(ctx, kind, id); errors.Is(err, book.ErrWeighed) {
						return inputf("%w. What never went in is taken back first, with 'tawny book weigh' and NAME=none", err)
					} else if err != nil || yes {
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
