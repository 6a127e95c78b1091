package job

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"tawny/blend/book"
	"tawny/blend/store"
)

var bookExportJob = &Job{
	Name:  "book export",
	Args:  "FILE",
	Short: "Write the whole book as JSON or CSV",
	Long: `Writes everything in the book: one JSON file where the name ends in .json, a zip
of CSV files where it ends in .zip, else a folder of CSV files for a spreadsheet.
Importing it into an empty book gives the same book. Clients, with all that
tells of them, are left out unless --clients asks for them.`,
	Example: "  tawny book export book.json\n  tawny book export book-csv\n  tawny book export whole.zip --clients",
	Local:   "it reads or writes a file of this machine",
	New: func() Task {
		var file string
		var clients bool
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			v := &BookExported{File: file}
			return v, env.Book.read(ctx, func(b *book.Book) (err error) {
				v.Exported, err = b.ExportFile(ctx, file, book.ExportOptions{Clients: clients})
				return err
			})
		}, words(fileArg("a file or folder", &file)), Group{Title: "Export", Fields: []Field{
			{Name: "clients", Words: "clients too, with their readings and photos", To: &clients},
		}})
	},
}

// BookExported is an export written.
type BookExported struct {
	File string `json:"file"`
	book.Exported
}

// Show says what was written.
func (v *BookExported) Show(s *Screen) {
	s.line("Wrote %s: %s.", v.File, recordWords(v.Records))
	s.fold("", strings.TrimSuffix(v.Says, ".")+".")
}

var bookImportJob = &Job{
	Name:  "book import",
	Args:  "FILE",
	Short: "Read an export into an empty book",
	Long: `Reads an export, of any of its three forms, into an empty book: all of it, or
nothing where something in it is wrong.`,
	Example: "  tawny book import book.json --book new.db\n  tawny book import book-csv --book new.db",
	Local:   "it reads or writes a file of this machine",
	New: func() Task {
		var file string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Book.Import(ctx, file) },
			words(fileArg("a file or folder", &file)))
	},
}

// Show says what was read.
func (v *BookImported) Show(s *Screen) {
	s.line("Read %s into %s: %s. Clients were %s.", v.File, v.Book, recordWords(v.Records), v.Clients)
}

var bookBackupJob = &Job{
	Name:  "book backup",
	Args:  "FILE",
	Short: "Write a whole copy of the book",
	Long: `Writes a copy of the book, clients among it, while the book may be in use. The
copy is read through before it gets its name. Keep it on another disk.`,
	Example: "  tawny book backup book-2026-05-31.db",
	Local:   "it reads or writes a file of this machine",
	New: func() Task {
		var file string
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			v := &BookBackup{File: file}
			return v, env.Book.read(ctx, func(b *book.Book) error {
				v.Book = b.Path()
				return b.Backup(ctx, file)
			})
		}, words(fileArg("a file", &file)))
	},
}

// BookBackup is a backup written.
type BookBackup struct {
	File string `json:"file"`
	Book string `json:"book"`
}

// Show says where the copy is.
func (v *BookBackup) Show(s *Screen) {
	s.line("Backed up %s to %s; it was read through and is sound.", v.Book, v.File)
	s.line("The clients are in it.")
}

var bookRestoreJob = &Job{
	Name:  "book restore",
	Args:  "FILE",
	Short: "Put a backup in the book's place",
	Long: `Puts a backup in the place of the book, which nothing else may have open: end the
page first. The backup is read through first, and what was in its place, sound or
damaged, is kept beside it under another name.`,
	Example: "  tawny book restore book-2026-05-31.db",
	Local:   "it reads or writes a file of this machine",
	New: func() Task {
		var file string
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			path, err := env.Book.path()
			if err != nil {
				return nil, err
			}
			if _, err := os.Stat(file); err != nil {
				return nil, inputf("backup %s: %w", file, store.Bare(err))
			}
			kept, err := book.Restore(ctx, disk{}.whole(file), path)
			return &BookRestored{path, file, kept}, bookError(err)
		}, words(fileArg("a file", &file)))
	},
}

// BookRestored is a backup put in the book's place.
type BookRestored struct {
	Book   string `json:"book"`
	File   string `json:"file"`
	KeptAs string `json:"keptAs,omitempty"` // what was in its place
}

// Show says what stands where now.
func (v *BookRestored) Show(s *Screen) {
	s.line("%s is now the book at %s.", v.File, v.Book)
	if v.KeptAs != "" {
		s.line("What was there is kept as %s.", v.KeptAs)
	}
}

var bookCheckJob = &Job{
	Name:  "book check",
	Short: "Read the whole book and say what is wrong",
	Long: `Reads the whole book: the file itself, that each record has those it refers to,
and that every value is one the book would take. It changes nothing, names the
newest automatic backup that reads back whole, and exits with 2 where something
is broken.`,
	Example: "  tawny book check\n  tawny book check --book old.db --json",
	New: func() Task {
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			v := &BookChecked{Findings: []book.Finding{}}
			return v, env.Book.read(ctx, func(b *book.Book) error {
				v.Book = b.Path()
				v.Backups, v.Newest = book.BackupFolder(v.Book), book.NewestBackup(ctx, v.Book)
				found, err := b.Check(ctx)
				v.Findings = append(v.Findings, found...)
				return err
			})
		})
	},
}

// BookChecked is what a check of the whole book found.
type BookChecked struct {
	Book     string         `json:"book"`
	Backups  string         `json:"backups"`                // the folder of the automatic ones
	Newest   string         `json:"newestBackup,omitempty"` // the newest of them that reads back whole
	Findings []book.Finding `json:"findings"`
}

// Fault is the error of a book with something broken in it.
func (v *BookChecked) Fault() error {
	n := 0
	for _, f := range v.Findings {
		if f.Serious {
			n++
		}
	}
	if n > 0 {
		return inputf("%s: %s in it", v.Book, plural(n, "fault"))
	}
	return nil
}

// Show writes what is wrong.
func (v *BookChecked) Show(s *Screen) {
	if len(v.Findings) == 0 {
		s.line("%s is sound.", v.Book)
	}
	if v.Newest != "" {
		s.line("The newest good automatic backup is %s.", v.Newest)
	} else {
		s.line("There is no automatic backup yet; they are kept in %s.", v.Backups)
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

// BookImported is an export read into an empty book.
type BookImported struct {
	File string `json:"file"`
	Book string `json:"book"`
	book.Imported
}

// Import reads an export into an empty book.
func (k Book) Import(ctx context.Context, file string) (*BookImported, error) {
	if _, err := os.Stat(file); err != nil {
		return nil, inputf("export %s: %w", file, store.Bare(err))
	}
	v := &BookImported{File: file}
	path, there, err := k.there()
	if err != nil {
		return nil, err
	}
	read := func(err error) error {
		if err != nil && ctx.Err() == nil && !errors.Is(err, book.ErrReadOnly) && !isDisk(err) {
			return input(err) // what is wrong is the export
		}
		return err
	}
	if !there {
		// An export that is refused leaves no empty book behind.
		v.Book = path
		v.Imported, err = book.ImportNew(ctx, path, file)
		return v, read(err)
	}
	return v, k.write(ctx, func(b *book.Book) (err error) {
		v.Book = b.Path()
		v.Imported, err = b.ImportFile(ctx, file)
		return read(err)
	})
}
