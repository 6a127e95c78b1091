package main

import (
	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
)

// bookCommand is what the book's commands share: where the book is.
type bookCommand struct {
	book work.Book
}

func newBook() *cobra.Command {
	k := &bookCommand{}
	c := &cobra.Command{
		Use:   "book",
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
		Args: cobra.ArbitraryArgs,
		RunE: unknownCommand,
	}
	c.PersistentFlags().StringVar(&k.book.File, "book", "", "the book's file (default TAWNY_BOOK, or book.db in your settings folder)")
	c.AddCommand(k.newList(), k.newShow(), k.newAdd(), k.newSave(), k.newWeigh(), k.newCorrect(), k.newAgain(),
		k.newStock(), k.newCount(), k.newMove(), k.newUses(), k.newClient(), k.newForget(), k.newEdit(), k.newDelete(),
		k.newExport(), k.newImport(), k.newBackup(), k.newRestore(), k.newCheck())
	return c
}

// command is a book command of one result: do does the job, show says it.
func command[T any](c *cobra.Command, do func(*cobra.Command, []string) (T, error), show func(*screen, T)) *cobra.Command {
	f := &sharedFlags{}
	c.RunE = func(c *cobra.Command, args []string) error {
		v, err := do(c, args)
		if err != nil {
			return err
		}
		return f.answer(c, v, func(s *screen) { show(s, v) })
	}
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}

func (k *bookCommand) newList() *cobra.Command {
	return command(&cobra.Command{
		Use:   "list [KIND]",
		Short: "List what the book has of a kind",
		Long: `Lists the records of a kind: powders, lots, movements, clients, readings, skins,
blends, batches, corrections, fits or photos. With no kind it counts each.`,
		Example: "  tawny book list\n  tawny book list batches\n  tawny book list lots --json",
		Args:    atMostOne("a kind of record"),
	}, func(c *cobra.Command, args []string) (*work.BookList, error) {
		kind := ""
		if len(args) == 1 {
			kind = args[0]
		}
		return k.book.List(c.Context(), kind)
	}, (*screen).bookList)
}

func (k *bookCommand) newShow() *cobra.Command {
	return command(&cobra.Command{
		Use:   "show KIND NUMBER",
		Short: "Show one record whole",
		Long: `Shows one record by its number in the book; a powder, a client and a lot also by
name. A batch comes with its corrections and readings, a lot with all that came
and went. The whole result kept with a blend or a batch is in --json.`,
		Example: "  tawny book show batch 3\n  tawny book show lot G-0117\n  tawny book show blend 2 --json",
		Args:    two("a kind and a number"),
	}, func(c *cobra.Command, args []string) (*work.BookRecord, error) {
		return k.book.Show(c.Context(), args[0], args[1])
	}, (*screen).bookRecord)
}

func (k *bookCommand) newEdit() *cobra.Command {
	var name, note string
	c := command(&cobra.Command{
		Use:   "edit KIND NUMBER",
		Short: "Write a record's name or note over",
		Long: `Writes the name or the note of a record over; a powder, a client and a lot may be
named by their own name. Colours and weights stay as they were written.`,
		Example: "  tawny book edit batch 3 --name 'Gala gold (demo)' --note 'liked by all'\n  tawny book edit client 'Dancer Ada (demo)' --note ''",
		Args:    two("a kind and a number"),
	}, func(c *cobra.Command, args []string) (*work.BookRecord, error) {
		q := work.BookEdit{Kind: args[0], Record: args[1]}
		if c.Flags().Changed("name") {
			q.Name = &name
		}
		if c.Flags().Changed("note") {
			q.Note = &note
		}
		return k.book.Edit(c.Context(), q)
	}, (*screen).bookRecord)
	c.Flags().StringVar(&name, "name", "", "what to call it")
	bindNote(c.Flags(), &note)
	return c
}

func (k *bookCommand) newDelete() *cobra.Command {
	return command(&cobra.Command{
		Use:   "delete KIND NUMBER",
		Short: "Take out a record written by mistake",
		Long: `Takes one record out of the book, by its number. One that others stand on stays,
and so the record of what was made does. A client goes with 'tawny book forget'.`,
		Example: "  tawny book delete reading 12\n  tawny book delete batch 3",
		Args:    two("a kind and a number"),
	}, func(c *cobra.Command, args []string) (*work.Deleted, error) {
		return k.book.Delete(c.Context(), args[0], args[1])
	}, func(s *screen, v *work.Deleted) { s.line("%s", v.Says) })
}
