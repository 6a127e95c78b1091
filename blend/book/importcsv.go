package book

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strconv"
	"strings"
)

// maxLineBytes bounds a "# key: value" line, and maxTableBytes a whole table's
// file, so that a file made to do harm cannot fill the memory.
const (
	maxLineBytes  = 4 << 10
	maxTableBytes = 1 << 30
)

// parseCSV reads an export in CSV: every table's file, and the last ids.
func parseCSV(files fs.FS, s sink) error {
	var h heading
	err := readCSV(files, lastIDsFile, "last_ids", &h, func(header []string) (func([]string, string) error, error) {
		if strings.Join(header, ",") != "table,last_id" {
			return nil, &FieldError{lastIDsFile, "header", "give table,last_id"}
		}
		return func(cells []string, where string) error {
			n, err := strconv.ParseInt(cells[1], 10, 64)
			if err != nil {
				return &FieldError{where, "last_id", quoted(cells[1]) + " is not a whole number"}
			}
			h.lastIDs = append(h.lastIDs, lastID{cells[0], n})
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
		err = parseTable(files, t, &h, s)
	}
	return err
}

func parseTable(files fs.FS, t *table, h *heading, s sink) error {
	return readCSV(files, t.name+".csv", t.name, h, func(header []string) (func([]string, string) error, error) {
		at := make([]int, len(header)) // the column of each cell
		seen := map[string]bool{}
		for i, name := range header {
			name = strings.TrimSpace(name)
			if at[i] = t.column(name); at[i] < 0 {
				return nil, &FieldError{t.name + ".csv", name, t.unknown(name)}
			}
			if seen[name] {
				return nil, &FieldError{t.name + ".csv", name, "given twice in the header"}
			}
			seen[name] = true
		}
		row := make([]any, len(t.columns))
		return func(cells []string, where string) error {
			clear(row)
			t.fill(row, func(name string) bool { return seen[name] })
			pictureAt := -1
			for i, cell := range cells {
				c := &t.columns[at[i]]
				if c.kind == picture {
					pictureAt = i
					continue
				}
				v, err := fromCell(c, cell)
				if err != nil {
					return &FieldError{where, c.name, err.Error()}
				}
				row[at[i]] = v
			}
			if pictureAt >= 0 {
				data, err := readPicture(files, t, row, cells[pictureAt])
				if err != nil {
					return &FieldError{where, t.columns[at[pictureAt]].name, err.Error()}
				}
				row[at[pictureAt]] = data
			}
			return s.row(t, row, where)
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
	return io.ReadAll(io.LimitReader(f, maxPhotoBytes+1)) // one more, so that check sees it is too large
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
	switch c.kind {
	case integer:
		n, err := strconv.ParseInt(cell, 10, 64)
		if err != nil {
			return nil, fmt.Errorf("%s will not do; give %s", quoted(cell), c.wants())
		}
		return n, nil
	case number:
		x, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return nil, fmt.Errorf("%s will not do; give %s", quoted(cell), c.wants())
		}
		return x, nil
	}
	return cell, nil
}

// readCSV reads one file: its "# key: value" lines, its header, which begin
// takes, and its rows, each given to what begin returned.
func readCSV(files fs.FS, name, tableName string, h *heading,
	begin func(header []string) (func(cells []string, where string) error, error)) error {
	f, err := files.Open(name)
	if err != nil {
		return fmt.Errorf("%s is not in the export: give a folder or zip with every file of it (%w)", name, err)
	}
	defer f.Close()
	limit := &io.LimitedReader{R: f, N: maxTableBytes}
	r := bufio.NewReaderSize(limit, maxLineBytes)
	says, lines, err := preamble(r)
	if err != nil {
		return fmt.Errorf("%s line %d: %w", name, lines+1, err)
	}
	if err := h.agree(name, tableName, says); err != nil {
		return err
	}
	c := csv.NewReader(r)
	c.ReuseRecord = true
	var each func([]string, string) error
	for {
		cells, err := c.Read()
		var form *csv.ParseError
		switch {
		case errors.As(err, &form):
			return fmt.Errorf("%s line %d: %w", name, lines+form.Line, form.Err)
		case errors.Is(err, io.EOF) && limit.N <= 0:
			return fmt.Errorf("%s: longer than %d MiB", name, maxTableBytes>>20)
		case errors.Is(err, io.EOF) && each == nil:
			return fmt.Errorf("%s line %d: no header", name, lines+1)
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return fmt.Errorf("%s: %w", name, err)
		}
		if each == nil {
			if each, err = begin(cells); err != nil {
				return err
			}
			continue
		}
		line, _ := c.FieldPos(0)
		if err := each(cells, fmt.Sprintf("%s line %d", name, lines+line)); err != nil {
			return err
		}
	}
}

// preamble reads the lines before the header. A spreadsheet may have put
// quotes around them or commas after.
func preamble(r *bufio.Reader) (says map[string]string, lines int, err error) {
	says = map[string]string{}
	if mark, _ := r.Peek(3); string(mark) == "\ufeff" {
		r.Discard(3)
	}
	for {
		start, _ := r.Peek(2)
		if len(start) == 0 || start[0] != '#' && string(start) != `"#` {
			return says, lines, nil
		}
		line, err := r.ReadSlice('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return says, lines, fmt.Errorf("longer than %d bytes", maxLineBytes)
		}
		key, value, ok := strings.Cut(strings.Trim(string(line), "#\",; \r\n"), ":")
		if !ok {
			return says, lines, errors.New(`give "# key: value"`)
		}
		says[strings.TrimSpace(key)] = strings.TrimSpace(value)
		lines++
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
