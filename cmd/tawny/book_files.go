package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tawny/blend/book"
	"tawny/cmd/tawny/work"
)

func (k *bookCommand) newExport() *cobra.Command {
	var clients bool
	c := command(&cobra.Command{
		Use:   "export FILE",
		Short: "Write the whole book as JSON or CSV",
		Long: `Writes everything in the book: one JSON file where the name ends in .json, a zip
of CSV files where it ends in .zip, else a folder of CSV files for a spreadsheet.
Importing it into an empty book gives the same book. Clients, with all that
tells of them, are left out unless --clients asks for them.`,
		Example: "  tawny book export book.json\n  tawny book export book-csv\n  tawny book export whole.zip --clients",
		Args:    oneName("a file or folder"),
	}, func(c *cobra.Command, args []string) (*work.BookExported, error) {
		return k.book.Export(c.Context(), args[0], clients)
	}, func(s *screen, v *work.BookExported) {
		s.line("Wrote %s: %s.", v.File, recordWords(v.Records))
		s.fold("", strings.TrimSuffix(v.Says, ".")+".")
	})
	c.Flags().BoolVar(&clients, "clients", false, "clients too, with their readings and photos")
	return c
}

func (k *bookCommand) newImport() *cobra.Command {
	return command(&cobra.Command{
		Use:   "import FILE",
		Short: "Read an export into an empty book",
		Long: `Reads an export, of any of its three forms, into an empty book: all of it, or
nothing where something in it is wrong.`,
		Example: "  tawny book import book.json --book new.db\n  tawny book import book-csv --book new.db",
		Args:    oneName("a file or folder"),
	}, func(c *cobra.Command, args []string) (*work.BookImported, error) {
		return k.book.Import(c.Context(), args[0])
	}, func(s *screen, v *work.BookImported) {
		s.line("Read %s into %s: %s. Clients were %s.", v.File, v.Book, recordWords(v.Records), v.Clients)
	})
}

func (k *bookCommand) newBackup() *cobra.Command {
	return command(&cobra.Command{
		Use:   "backup FILE",
		Short: "Write a whole copy of the book",
		Long: `Writes a copy of the book, clients among it, while the book may be in use. The
copy is read through before it gets its name. Keep it on another disk.`,
		Example: "  tawny book backup book-2026-05-31.db",
		Args:    oneName("a file"),
	}, func(c *cobra.Command, args []string) (*work.BookBackup, error) {
		return k.book.Backup(c.Context(), args[0])
	}, func(s *screen, v *work.BookBackup) {
		s.line("Backed up %s to %s; it was read through and is sound.", v.Book, v.File)
		s.line("The clients are in it.")
	})
}

func (k *bookCommand) newRestore() *cobra.Command {
	return command(&cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the book's place",
		Long: `Puts a backup in the place of the book, which nothing else may have open: end the
page first. The backup is read through first, and what was in its place, sound or
damaged, is kept beside it under another name.`,
		Example: "  tawny book restore book-2026-05-31.db",
		Args:    oneName("a file"),
	}, func(c *cobra.Command, args []string) (*work.BookRestored, error) {
		return k.book.Restore(c.Context(), args[0])
	}, func(s *screen, v *work.BookRestored) {
		s.line("%s is now the book at %s.", v.File, v.Book)
		if v.KeptAs != "" {
			s.line("What was there is kept as %s.", v.KeptAs)
		}
	})
}

func (k *bookCommand) newCheck() *cobra.Command {
	f := &sharedFlags{}
	c := &cobra.Command{
		Use:   "check",
		Short: "Read the whole book and say what is wrong",
		Long: `Reads the whole book: the file itself, that each record has those it refers to,
and that every value is one the book would take. It changes nothing, and exits
with 2 where something is broken.`,
		Example: "  tawny book check\n  tawny book check --book old.db --json",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			v, err := k.book.Check(c.Context())
			if err != nil {
				return err
			}
			if err := f.answer(c, v, func(s *screen) { s.checked(v) }); err != nil {
				return err
			}
			if n := v.Serious(); n > 0 {
				return usageError{fmt.Errorf("%s: %s in it", v.Book, plural(n, "fault"))}
			}
			return nil
		},
	}
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}

func (s *screen) checked(v *work.BookChecked) {
	if len(v.Findings) == 0 {
		s.line("%s is sound.", v.Book)
		return
	}
	for _, x := range v.Findings {
		weight := "Look at"
		if x.Serious {
			weight = "Broken:"
		}
		where := x.Where
		if x.Field != "" {
			where += ", " + x.Field
		}
		s.fold("", fmt.Sprintf("%s %s: %s", weight, where, x.Says))
	}
}

// recordWords counts records by kind; the lines that belong to a record are not
// counted.
func recordWords(records map[string]int) string {
	var words []string
	for _, kind := range book.Kinds {
		name := singular(kind)
		switch n := records[name]; {
		case n == 1:
			words = append(words, "1 "+name)
		case n > 1:
			words = append(words, fmt.Sprintf("%d %s", n, kind))
		}
	}
	if len(words) == 0 {
		return "no records"
	}
	return strings.Join(words, ", ")
}
