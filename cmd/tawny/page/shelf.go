package page

import (
	"context"
	"errors"
	"sync"

	"tawny/blend/book"
)

// shelf holds the book, opened when first wanted.
type shelf struct {
	path string

	mu   sync.Mutex
	book *book.Book
}

func (s *shelf) open(ctx context.Context) (*book.Book, error) {
	if s.path == "" {
		return nil, ask("", "this page was started without a book")
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.book != nil {
		return s.book, nil
	}
	b, err := book.Open(ctx, s.path)
	if err != nil {
		return nil, bookError(err)
	}
	s.book = b
	return b, nil
}

func (s *shelf) close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.book == nil {
		return nil
	}
	err := s.book.Close()
	s.book = nil
	return err
}

// bookError passes on what the maker can do something about.
func bookError(err error) error {
	for _, known := range []error{book.ErrNotABook, book.ErrDamaged, book.ErrNewer, book.ErrBusy, book.ErrNotFound, book.ErrInUse} {
		if errors.Is(err, known) {
			return ask("", "%v", err)
		}
	}
	var f *book.FieldError
	if errors.As(err, &f) {
		return ask(f.Field, "%v", err)
	}
	return err
}
