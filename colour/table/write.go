package table

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strings"
)

// Write writes a file as Read reads it. Keys without a value are left out.
func Write(w io.Writer, keys []Key, header []string, rows [][]string) error {
	b := bufio.NewWriter(w)
	for _, k := range keys {
		if k.Value != "" {
			fmt.Fprintf(b, "# %s: %s\n", k.Name, strings.ReplaceAll(k.Value, "\n", " "))
		}
	}
	c := csv.NewWriter(b)
	c.Write(header)
	c.WriteAll(rows)
	if err := c.Error(); err != nil {
		return err
	}
	return b.Flush()
}
