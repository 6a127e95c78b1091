package page

import (
	"context"
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
		return nil, err
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
