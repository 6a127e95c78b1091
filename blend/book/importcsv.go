package book

import (
	"fmt"
	"io"
	"io/fs"
	"strconv"
	"strings"

	csv "tawny/colour/table"
)

// exportFile is a table's file. A row is at most two documents with their quotes
// doubled, so that a file made to do harm cannot fill the memory.
var exportFile = csv.Kind{MaxBytes: 1 << 30, MaxRow: 4 * maxDocumentBytes, Raw: true}

// parseCSV reads an export in CSV: every table's file, and the last ids.
func parseCSV(files fs.FS, s sink) error {
	h := heading{lastIDs: map[string]int64{}}
	err := readCSV(files, lastIDsFile, "last_ids", &h, func(r *csv.Reader) (func([]string, string) error, error) {
		if strings.ToLower(strings.Join(r.Header, ",")) != "table,last_id" {
			return nil, &FieldError{lastIDsFile, "header", "give table,last_id"}
		}
		return func(cells []string, where string) error {
			n, err := strconv.ParseInt(cells[1], 10, 64)
			if err != nil {
				return &FieldError{where, "last_id", quoted(cells[1]) + " is not a whole number"}
			}
			h.lastIDs[cells[0]] = n
			return nil
		}, nil
	})
	if err == nil {
		err = h.check(formatName, fmt.Sprint(formatVersion)) // each file's own were checked; now the ids
	}
	if err == nil {
		err = s.head(&h)
	}
	for _, t := range tables {
		if err != nil {
			return err
		}
		if h.schema < t.since {
			continue // no export of it has the table
		}
		err = parseTable(files, t, &h, s)
	}
	return err
}

func parseTable(files fs.FS, t *table, h *heading, s sink) error {
	return readCSV(files, t.name+".csv", t.name, h, func(r *csv.Reader) (func([]string, string) error, error) {
		at := map[string]int{} // the cell of each column
		for i, name := range r.Header {
			name = strings.ToLower(strings.TrimSpace(name))
			if t.column(name) < 0 {
				return nil, &FieldError{t.name + ".csv", name, t.unknown(name)}
			}
			if _, twice := at[name]; twice {
				return nil, &FieldError{t.name + ".csv", name, "given twice in the header"}
			}
			at[name] = i
		}
		return func(cells []string, where string) error {
			return t.take(s, where, func(row []any, c *column) (any, error) {
				i, ok := at[c.name]
				switch {
				case !ok:
					return c.left(), nil
				case c.kind == picture: // the last, by what comes before it
					return readPicture(files, t, row, cells[i])
				case c.kind == number && r.Separator != ',':
					return fromCell(c, csv.Point(strings.TrimSpace(cells[i])))
				}
				return fromCell(c, cells[i])
			})
		}, nil
	})
}

// readPicture reads the file a photo's row names, which can only be the one an
// export gives it: a name from outside never chooses what is read.
func readPicture(files fs.FS, t *table, row []any, cell string) ([]byte, error) {
	for _, name := range []string{"id", "media_type"} {
		c := &t.columns[t.column(name)]
		if _, err := c.check(row[t.column(name)]); err != nil {
			return nil, fmt.Errorf("its %s: %w", name, err)
		}
	}
	name := pictureName(row[0], row[t.column("media_type")].(string))
	if cell != name {
		return nil, fmt.Errorf("%s will not do; give %s", quoted(cell), name)
	}
	f, err := files.Open(name)
	if err != nil {
		return nil, fmt.Errorf("the picture cannot be read: %w", err)
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, MaxPhotoBytes+1)) // one more, so that check sees it is too large
}

// fromCell turns a cell back into a column's value. An empty cell is unknown,
// but for text, where it is empty text.
func fromCell(c *column, cell string) (any, error) {
	if c.kind == text {
		return unguardCell(cell), nil
	}
	if cell = strings.TrimSpace(cell); cell == "" {
		return nil, nil
	}
	return c.parse(cell)
}

// readCSV reads one file: what it says of itself, its header, which begin takes,
// and its rows, each given to what begin returned.
func readCSV(files fs.FS, name, tableName string, h *heading,
	begin func(r *csv.Reader) (func(cells []string, where string) error, error)) error {
	f, err := files.Open(name)
	if err != nil {
		return fmt.Errorf("%s is not in the export: give a folder or zip with every file of it (%w)", name, err)
	}
	defer f.Close()
	r, err := csv.NewReader(name, f, exportFile)
	if err != nil {
		return err
	}
	says := map[string]string{}
	for _, k := range r.Keys {
		says[k.Name] = k.Value
	}
	if err := h.agree(name, tableName, says); err != nil {
		return err
	}
	each, err := begin(r)
	if err != nil {
		return err
	}
	for {
		row, err := r.Next()
		if err == io.EOF {
			return nil
		}
		if err == nil {
			err = each(row.Fields, fmt.Sprintf("%s:%d", name, row.Line))
		}
		if err != nil {
			return err
		}
	}
}

// agree checks what a file says of itself, the first for itself and the rest
// against it.
func (h *heading) agree(name, tableName string, says map[string]string) error {
	schema, err := strconv.Atoi(says["schema"])
	if err != nil {
		return &FieldError{name, "schema", quoted(says["schema"]) + " is not a whole number"}
	}
	if says["table"] != tableName {
		return &FieldError{name, "table", fmt.Sprintf("%s will not do; give %s", quoted(says["table"]), tableName)}
	}
	this := heading{schema: schema, clients: says["clients"]}
	if err := this.check(says["format"], says["format_version"]); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if h.schema == 0 {
		h.schema, h.clients = schema, says["clients"]
	}
	if h.schema != schema || h.clients != says["clients"] {
		return fmt.Errorf("%s: not of the same export as %s: their schema or clients differ", name, lastIDsFile)
	}
	return nil
}
