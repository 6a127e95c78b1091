package page

import (
	"strings"
	"testing"

	"tawny/cmd/tawny/job"
)

// No request's document makes the page panic, and what is refused is told why.
func FuzzDocument(f *testing.F) {
	for _, s := range []string{
		`{"skin":"light"}`, `{"skin":"bands:1,2"}`, `{"skin":"lab:1,2,3/de","target":"skin:1,2,3"}`, `{"illuminant":"2700K","base":"Everyday lotion"}`,
		`{"skin":"/etc/passwd"}`, `{"load":1e9}`, `{"containers":1}`, `{"see":["15=0.3@skin:1,2,3"]}`, `{"drawer":"x.csv"}`, `{"part":[1,true,null,[]]}`, `{"out":"x"}`,
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, body string) {
		d, err := document("match", func(d *job.Doc) error { return d.Read([]byte(body)) })
		if err != nil {
			if err.Error() == "" {
				t.Error("an error that says nothing")
			}
			return
		}
		for _, field := range d.Fields {
			if field.Local && d.Given(field.Name) {
				t.Errorf("%s got through", field.Name)
			}
		}
	})
}

// What is for the command line only says so.
func TestCommandLineOnly(t *testing.T) {
	s := serve(t, nil)
	for name, body := range map[string]string{
		"book/export": "file=x.json", "book/restore": "file=x.db", "book/import": "file=x.json", "book/backup": "file=x.db",
		"match": "skin=tan&target=skin:1,2,3&out=x", "nosuch": "", "base": "", "base/show": "base=Everyday+lotion&csv=true",
	} {
		r := call(t, s, "POST", "/api/job/"+name, doc(body), nil)
		if got := text(t, r); r.StatusCode != 422 || !strings.Contains(got, "command line") && !strings.Contains(got, "nothing called") {
			t.Errorf("%s: answered %d %s", name, r.StatusCode, got)
		}
	}
}
