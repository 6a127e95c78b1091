package job

import (
	"strings"
	"testing"
)

// Words make a name of plain letters, whatever they hold.
func FuzzSlug(f *testing.F) {
	for _, s := range []string{"", "Dusk / .. two", "\x00\r\n\"", "Ünder", strings.Repeat("a-", 90)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, words string) {
		name := Slug(words, "blend")
		if name == "" || strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
			t.Errorf("%q is saved as %q", words, name)
		}
	})
}
