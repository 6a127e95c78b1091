package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// filesStep is the step of the schema that began to note files.
const filesStep = 9

// File is a card, a sheet or another file that tawny wrote from the book, by which
// it is found when a client it tells of is forgotten.
type File struct {
	ID         int64     `json:"id"`
	ClientID   int64     `json:"client_id,omitempty" book:"of client,null"`
	BlendID    int64     `json:"blend_id,omitempty" book:"of blend,null"`
	BatchID    int64     `json:"batch_id,omitempty" book:"of batch,null"`
	Path       string    `json:"path" book:"required"` // whole, on the machine it was written on
	RecordedAt time.Time `json:"recorded_at"`
}

func (f *File) prepare(string) (err error) {
	f.Path, err = filepath.Abs(f.Path)
	return err
}

// noteCopy notes a copy of the book that is about to be written, where there is
// anybody in it. It is written all the same where that fails, and Warning tells of it: a book that cannot be written
// is one to make copies of.
func (b *Book) noteCopy(ctx context.Context, path string) {
	clients, err := All[Client](ctx, b)
	if err == nil && len(clients) > 0 {
		if path, err = filepath.Abs(path); err == nil {
			err = b.update(ctx, "", func(tx *sql.Tx) error {
				_, err := tx.ExecContext(ctx, "INSERT OR IGNORE INTO copy (path) VALUES (?)", path)
				return err
			})
		}
	}
	if err != nil {
		b.warn(fmt.Errorf("the book could not note that a copy of it is in %s, to name that when a client is forgotten: %w", path, err))
	}
}

// largestRead is far above any drawer's or base's size: our own choice.
const largestRead = 16 << 20

// home is what a path begins with where it lies in the maker's home folder: that is
// named after her, whatever a client is called.
func (e *eraser) home(path string) string {
	home, err := os.UserHomeDir()
	if err != nil || home == "" || !strings.HasPrefix(path, home+string(filepath.Separator)) {
		return ""
	}
	e.metHome = e.metHome || e.find(home, nearWords) != nil
	return home
}

// noted are the files that the book tells of.
type noted struct {
	made         []File
	copies, read []string // paths; read are drawers, and bases where they are files
}

func notedFiles(ctx context.Context, tx *sql.Tx) (n noted, err error) {
	if n.made, err = find[File](ctx, tx, ""); err != nil {
		return n, err
	}
	if n.copies, err = gather(ctx, tx, cell[string], "SELECT path FROM copy"); err != nil {
		return n, err
	}
	n.read, err = gather(ctx, tx, cell[string], "SELECT json_extract(request, '$.drawer') AS f FROM blend WHERE f <> '' "+
		"UNION SELECT json_extract(request, '$.base') AS f FROM blend WHERE f <> ''")
	return n, err
}

// eraseCopies takes the name out of the paths of copies.
func (n noted) eraseCopies(ctx context.Context, tx *sql.Tx, e *eraser, listed bool) error {
	for _, path := range n.copies {
		home := e.home(path)
		clean := home + e.text(path[len(home):], carePath.taken(listed))
		if clean == path {
			continue
		}
		if _, err := tx.ExecContext(ctx, "UPDATE OR REPLACE copy SET path = ? WHERE path = ?", clean, path); err != nil {
			return err
		}
	}
	return nil
}

// files are those of all that are still there and may hold the name: what was made
// for the one who leaves, or is called or is of something that the name was taken
// out of, whole copies of the book, and drawers and bases that blends were matched from. A
// path that another's name was taken out of before can only be given as it is.
func (n noted) files(e *eraser, l *leaving, erased []Mention) []string {
	paths := slices.Clone(n.copies)
	of := func(table string, id int64) bool {
		return slices.ContainsFunc(erased, func(m Mention) bool { return id != 0 && m.Table == table && m.ID == id })
	}
	for _, f := range n.made {
		if l.gone["file"][f.ID] || of("file", f.ID) || of("blend", f.BlendID) || of("batch", f.BatchID) {
			paths = append(paths, f.Path)
		}
	}
	paths = slices.DeleteFunc(paths, func(path string) bool {
		_, err := os.Lstat(path)
		return errors.Is(err, fs.ErrNotExist) && !strings.Contains(path, gap)
	})
	for _, path := range n.copies { // and what was left of one that was broken off
		paths = append(paths, unfinished(filepath.Dir(path))...)
	}
	for _, path := range n.read {
		if f, err := os.Open(path); err == nil {
			text, _ := io.ReadAll(io.LimitReader(f, largestRead))
			f.Close()
			if e.find(path+"\n"+string(text), nearWords) != nil {
				paths = append(paths, path)
			}
		}
	}
	slices.Sort(paths)
	return slices.Compact(paths)
}
