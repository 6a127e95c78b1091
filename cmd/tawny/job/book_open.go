package job

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"syscall"

	"tawny/blend/book"
)

// Book is where the record is kept. The zero value is the usual place.
type Book struct {
	File string `json:"-"` // default book.DefaultPath()

	// Open lends a book that stays open, as the page's does; nil opens File for
	// each job.
	Open func(context.Context) (*book.Book, error)

	// Warn is told of what went wrong beside a job that was done; nil is not.
	Warn func(error)
}

func (k Book) path() (string, error) {
	if k.File != "" {
		return k.File, nil
	}
	path, err := book.DefaultPath()
	return path, input(err)
}

// write opens the book, a new one where there is none, for do.
func (k Book) write(ctx context.Context, do func(*book.Book) error) error {
	open := k.Open
	if open == nil {
		path, err := k.path()
		if err != nil {
			return err
		}
		open = func(ctx context.Context) (*book.Book, error) { return book.Open(ctx, path) }
	}
	b, err := open(ctx)
	if err != nil {
		return bookError(err)
	}
	err = do(b)
	if k.Open == nil {
		err = errors.Join(err, b.Close())
	}
	if went := b.Warning(); went != nil && k.Warn != nil {
		k.Warn(went)
	}
	return bookError(err)
}

// together is do in one transaction of the book.
func together(ctx context.Context, do func(*book.Book) error) func(*book.Book) error {
	return func(b *book.Book) error { return b.Together(ctx, do) }
}

// noteFiles writes into the book which files are about to be written, and what
// they tell of.
func (e *Env) noteFiles(ctx context.Context, b *book.Book, of book.File) error {
	if e.Out == "" {
		return nil
	}
	for _, f := range e.Delivered {
		of.Path = filepath.Join(e.Out, f.Name)
		if _, err := book.Add(ctx, b, of); err != nil {
			return err
		}
	}
	e.noted = true
	return nil
}

// NoteFiles writes the files that show a client's skin, are of a batch in the book or
// bear a client's name in the title given into the book, where the job has not, so that
// they are named once the client is forgotten. A face does it before it writes them.
func (e *Env) NoteFiles(ctx context.Context) error {
	title := ""
	if e.doc.Given("title") {
		title = e.doc.Field("title").Value().(string)
	}
	known := e.of != book.File{}
	if e.noted || e.Out == "" || len(e.Delivered) == 0 || !known && title == "" {
		return nil
	}
	open := e.Book.read
	if !known {
		open = e.Book.ifThere
	}
	err := open(ctx, together(ctx, func(b *book.Book) error {
		if known {
			return e.noteFiles(ctx, b, e.of)
		}
		named, err := b.ClientsIn(ctx, title)
		for _, id := range named {
			err = errors.Join(err, e.noteFiles(ctx, b, book.File{ClientID: id}))
		}
		return err
	}))
	// Reading a book needs no writing, and a title none.
	if errors.Is(err, book.ErrReadOnly) || err != nil && !known {
		if e.Book.Warn != nil {
			e.Book.Warn(fmt.Errorf("the book could not note which files show its client: %w", err))
		}
		return nil
	}
	return err
}

// read opens a book that is there already: a slip in its name must not make a
// new one that then looks empty.
func (k Book) read(ctx context.Context, do func(*book.Book) error) error {
	if path, there, err := k.there(); err != nil {
		return err
	} else if !there && k.Open == nil {
		return inputf("there is no book at %s yet; 'tawny book add' or 'tawny book save' begins one, {book} names another", path)
	}
	return k.write(ctx, do)
}

// bookError marks what the maker can do something about. What is left, such as
// a full disk, is not hers.
func bookError(err error) error {
	if errors.Is(err, book.ErrTraces) || isDisk(err) {
		return err
	}
	for _, known := range []error{
		book.ErrNotABook, book.ErrDamaged, book.ErrNewer, book.ErrBusy, book.ErrNotFound, book.ErrReplaced,
		book.ErrNotEmpty, book.ErrInUse, book.ErrWeighed, book.ErrTaken, fs.ErrNotExist, fs.ErrExist,
	} {
		if errors.Is(err, known) {
			return input(err)
		}
	}
	if _, ok := errors.AsType[*book.FieldError](err); ok {
		return input(err)
	}
	if _, ok := errors.AsType[*fs.PathError](err); ok {
		return input(err) // a name that leads nowhere
	}
	return err
}

// isDisk reports whether it was the disk that failed, or may not be written: what was
// asked made sense.
func isDisk(err error) bool {
	return slices.ContainsFunc([]error{syscall.ENOSPC, syscall.EIO, syscall.EFBIG, syscall.EROFS, fs.ErrPermission}, func(e error) bool { return errors.Is(err, e) })
}

// ifThere is read where there is a file for the book, and nothing where there is none.
func (k Book) ifThere(ctx context.Context, do func(*book.Book) error) error {
	if k.Open != nil && k.File == "" {
		return nil // the page was begun without one
	}
	if _, there, err := k.there(); err != nil || !there {
		return err
	}
	return k.read(ctx, do)
}

// there tells whether there is a file for the book.
func (k Book) there() (path string, there bool, err error) {
	path, err = k.path()
	_, no := os.Stat(path)
	return path, !errors.Is(no, fs.ErrNotExist), err
}

// notGiven is nil for 0, which on a command line means that nothing was said.
func notGiven(x float64) *float64 {
	if x == 0 {
		return nil
	}
	return &x
}
