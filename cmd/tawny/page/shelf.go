package page

import (
	"context"
	"os"
	"sync"

	"tawny/blend/book"
)

// shelf holds the book from the page's start, so that no backup is put in its
// place meanwhile; one that is not there yet is made when first wanted.
type shelf struct {
	path string

	mu   sync.Mutex
	book *book.Book
}

func (s *shelf) open(ctx context.Context) (*book.Book, error) {
	if s.path == "" {
		return nil, ask("this page was started without a book")
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

// begin opens a book that is there. One that cannot be opened is told of when
// it is wanted: the page works without.
func (s *shelf) begin() {
	if _, err := os.Stat(s.path); err == nil {
		_, _ = s.open(context.Background())
	}
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
