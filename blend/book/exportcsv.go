package book

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	csv "tawny/colour/table"
)

// ExportZip writes the book as a zip of one CSV file a table, with the photos
// as files in a folder of their own.
func (b *Book) ExportZip(ctx context.Context, w io.Writer, o ExportOptions) (Exported, error) {
	z := zip.NewWriter(w)
	done, err := b.export(ctx, o, &csvWriter{files: zipped{z}})
	return done, errors.Join(err, z.Close())
}

// files is a place to write files one after the other.
type files interface {
	create(name string) (io.WriteCloser, error)
}

// folder writes files into a folder.
type folder string

func (f folder) create(name string) (io.WriteCloser, error) {
	full := filepath.Join(string(f), filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(full), 0o700); err != nil {
		return nil, err
	}
	return os.OpenFile(full, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
}

// zipped writes files into a zip, all with one fixed time, so that the same
// book makes the same bytes.
type zipped struct{ z *zip.Writer }

func (z zipped) create(name string) (io.WriteCloser, error) {
	w, err := z.z.CreateHeader(&zip.FileHeader{
		Name: name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC),
	})
	return unclosed{w}, err
}

type unclosed struct{ io.Writer }

func (unclosed) Close() error { return nil }

// csvWriter writes each table as lines of "# key: value", a header and rows.
// Photos are gathered until the tables are done, since a zip takes one file at
// a time, so their pictures are written as they come and the table last.
type csvWriter struct {
	files files
	h     *heading
	file  io.WriteCloser
	out   *csv.Writer
	late  *strings.Builder // the photo table, held back until its pictures are written
	cells []string
}

// lastIDsFile is the one file that is no table.
const lastIDsFile = "last_ids.csv"

func (w *csvWriter) head(h *heading) error {
	w.h = h
	if err := w.open(lastIDsFile, "last_ids"); err != nil {
		return err
	}
	w.out.Row("table", "last_id")
	for _, n := range h.lastIDs {
		w.out.Row(n.table, fmt.Sprint(n.id))
	}
	return nil
}

// open begins the next file with what it says of itself.
func (w *csvWriter) open(name, tableName string) error {
	if err := w.close(); err != nil {
		return err
	}
	f, err := w.files.create(name)
	if err != nil {
		return err
	}
	w.file, w.out = f, csv.NewWriter(f)
	w.out.Key("format", formatName)
	w.out.Key("format_version", fmt.Sprint(formatVersion))
	w.out.Key("schema", fmt.Sprint(w.h.schema))
	w.out.Key("table", tableName)
	w.out.Key("clients", w.h.clients)
	w.out.Key("says", w.h.says())
	return nil
}

func (w *csvWriter) close() error {
	if w.file == nil {
		return nil
	}
	err := errors.Join(w.out.Flush(), w.file.Close())
	w.file = nil
	return err
}

func (w *csvWriter) begin(t *table) error {
	if t.column("data") >= 0 { // the last table
		if err := w.close(); err != nil {
			return err
		}
		w.late = &strings.Builder{}
		w.out = csv.NewWriter(w.late)
	} else if err := w.open(t.name+".csv", t.name); err != nil {
		return err
	}
	w.out.Row(t.names()...)
	return nil
}

func (w *csvWriter) row(t *table, row []any) error {
	w.cells = w.cells[:0]
	for i := range t.columns {
		cell := ""
		switch v := row[i].(type) {
		case int64:
			cell = fmt.Sprint(v)
		case float64:
			cell = string(appendNumber(nil, v))
		case string:
			cell = v
			if t.columns[i].kind == text {
				cell = guardCell(v)
			}
		case []byte:
			mediaType, _ := row[t.column("media_type")].(string)
			cell = pictureName(row[0], mediaType)
			if err := w.picture(cell, v); err != nil {
				return err
			}
		}
		w.cells = append(w.cells, cell)
	}
	w.out.Row(w.cells...)
	return nil
}

// pictureName is the file that a photo's picture is in.
func pictureName(id any, mediaType string) string {
	return path.Join("photo", fmt.Sprintf("%v.%s", id, strings.TrimPrefix(mediaType, "image/")))
}

func (w *csvWriter) picture(name string, data []byte) error {
	f, err := w.files.create(name)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

func (w *csvWriter) end() error {
	if w.late != nil {
		if err := w.out.Flush(); err != nil {
			return err
		}
		if err := w.open("photo.csv", "photo"); err != nil {
			return err
		}
		if err := w.out.Flush(); err != nil {
			return err
		}
		if _, err := io.WriteString(w.file, w.late.String()); err != nil {
			return err
		}
	}
	return w.close()
}

// A spreadsheet takes a cell that begins with one of these for a formula, and
// would run it. Such text is written with an apostrophe before it, which
// spreadsheets do not show, and read back without.
const formulaStarts = "=+-@\t"

func guardCell(s string) string {
	if s == "" {
		return s
	}
	if strings.ContainsRune(formulaStarts, rune(s[0])) ||
		s[0] == '\'' && len(s) > 1 && strings.ContainsRune(formulaStarts+"'", rune(s[1])) {
		return "'" + s
	}
	return s
}

func unguardCell(s string) string {
	if len(s) > 1 && s[0] == '\'' && strings.ContainsRune(formulaStarts+"'", rune(s[1])) {
		return s[1:]
	}
	return s
}
