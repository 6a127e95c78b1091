package book

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	csv "tawny/colour/table"
)

// zipFolder writes a folder's files into an archive, all with one fixed time, so that
// the same book makes the same bytes.
func zipFolder(dir, name string) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	z := zip.NewWriter(f)
	err = fs.WalkDir(os.DirFS(dir), ".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		from, err := os.Open(filepath.Join(dir, path))
		if err != nil {
			return err
		}
		defer from.Close()
		w, err := z.CreateHeader(&zip.FileHeader{Name: path, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err == nil {
			_, err = io.Copy(w, from)
		}
		return err
	})
	return errors.Join(err, z.Close(), f.Close())
}

// csvWriter writes each table into a folder, as a file of lines of "# key: value", a
// header and rows, and the photos' pictures as files in a folder of their own.
type csvWriter struct {
	dir   string
	h     *heading
	file  *os.File
	out   *csv.Writer
	cells []string
}

// lastIDsFile is the one file that is no table.
const lastIDsFile = "last_ids.csv"

func (w *csvWriter) head(h *heading) error {
	w.h = h
	if err := os.Mkdir(w.dir, 0o700); err != nil {
		return err
	}
	if err := w.open(lastIDsFile, "last_ids"); err != nil {
		return err
	}
	w.out.Row("table", "last_id")
	for _, t := range numbered() {
		w.out.Row(t.name, fmt.Sprint(h.lastIDs[t.name]))
	}
	return nil
}

// open begins the next file with what it says of itself.
func (w *csvWriter) open(name, tableName string) (err error) {
	if err := w.end(); err != nil {
		return err
	}
	if w.file, err = os.OpenFile(filepath.Join(w.dir, name), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600); err != nil {
		return err
	}
	w.out = csv.NewWriter(w.file)
	w.out.Key("format", formatName)
	w.out.Key("format_version", fmt.Sprint(formatVersion))
	w.out.Key("schema", fmt.Sprint(w.h.schema))
	w.out.Key("table", tableName)
	w.out.Key("clients", w.h.clients)
	w.out.Key("says", w.h.says())
	return nil
}

// end ends the file that was begun.
func (w *csvWriter) end() error {
	if w.file == nil {
		return nil
	}
	err := errors.Join(w.out.Flush(), w.file.Close())
	w.file = nil
	return err
}

func (w *csvWriter) begin(t *table) error {
	err := w.open(t.name+".csv", t.name)
	if err == nil {
		w.out.Row(t.names()...)
	}
	return err
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
			file := filepath.Join(w.dir, cell)
			if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o700), os.WriteFile(file, v, 0o600)); err != nil {
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
