package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// scripts are letters to make names of: Latin with its accents, Greek,
// Cyrillic, Devanagari, Han, Hangul.
var scripts = []string{
	"abcdefghijklmnoprstuvyzéèüöåøßłñçăšžğı", "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώ", "абвгдежзийклмнопрстуфхцчшщыэюяёїі",
	"कखगघचछजझटठडढतथदधनपफबभमयरलवशषसह", "王李张刘陈杨黄赵吴周徐孙马朱胡郭何高林罗郑梁谢宋唐许韩冯邓曹彭曾", "가나다라마바사아자차카타파하강김박최정윤조임한오서신권황안송류홍",
}

func inventedName(r *rand.Rand, script int) string {
	letters := []rune(scripts[script])
	word := func(n int) string {
		var out []rune
		for range n {
			out = append(out, letters[r.IntN(len(letters))])
		}
		if unicode.IsLetter(unicode.ToUpper(out[0])) {
			out[0] = unicode.ToUpper(out[0])
		}
		return string(out)
	}
	if script >= 4 {
		return word(1) + word(3)
	}
	return word(4+r.IntN(4)) + " " + word(5+r.IntN(4))
}

// forms are a name's words, and the whole of it, as they may have been written.
func forms(name string) (all []string) {
	for _, s := range append(strings.Fields(name), name) {
		for _, form := range []string{s, strings.ToUpper(s), strings.ToLower(s)} {
			all = append(all, norm.NFC.String(form), norm.NFD.String(form))
		}
	}
	return all
}

// escaped is a JSON string of no letter but English ones.
func escaped(s string) string {
	var out strings.Builder
	for _, r := range s {
		if r < 0x80 {
			out.WriteRune(r)
		} else {
			fmt.Fprintf(&out, "\\u%04x", r)
		}
	}
	return `"` + out.String() + `"`
}

// Two hundred invented people in six scripts are forgotten; afterwards no form
// of a name of theirs, whole or a word of it, is in any byte of the book, its
// log or its backups, and what tells of others is still there.
func TestForgetNamesInSixScripts(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := demoBook(t)
	r := rand.New(rand.NewPCG(7, 11))
	needles := map[string][]byte{}
	var names []string
	for i := range 200 {
		name := inventedName(r, i%len(scripts))
		names = append(names, name)
		for _, form := range forms(name) {
			needles[form] = []byte(form)
			needles["escaped "+form] = []byte(strings.Trim(escaped(form), `"`))
		}
	}
	err := b.Together(ctx, func(b *Book) error {
		for i, name := range names {
			one := forms(name)
			said := func(at int) string { return one[(i+at)%len(one)] }
			who, err := Add(ctx, b, Client{Name: name, Note: "sister of " + names[(i+1)%len(names)]})
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			must1[int64](t)(Add(ctx, b, Skin{ClientID: who, Name: said(0), How: "hex"}))
			must1[int64](t)(Add(ctx, b, Movement{LotID: 1, Kind: "spilt", Grams: -0.001, Note: "while " + said(1) + "'s jar was filled; " + said(6) + ", again"}))
			title, _ := json.Marshal("evening of " + said(3))
			must1[int64](t)(Add(ctx, b, Blend{Name: said(2) + ", but for another", Note: "as (" + said(4) + ")",
				Document: json.RawMessage(`{"title":` + string(title) + `,"notes":["kept note",` + escaped(said(5)) + `],"skin":{"of":` + escaped("client:"+name) + `}}`)}))
			must1[int64](t)(Add(ctx, b, Batch{Name: said(1), ClientID: who, PlannedG: 3, Document: sheetFor(t, "by "+said(2), "client:"+said(3)), Note: said(3),
				Request: json.RawMessage(`{"client":` + escaped(name) + `,"code":` + escaped(said(4)) + `,"title":` + escaped(said(0)) + `,"grams":3}`),
				Weights: []Weight{{Role: "powder", Name: "Pale gold demo", PlannedG: 3}}}))
			must1[int64](t)(Add(ctx, b, Batch{Name: "for another", PlannedG: 3, Document: sheetFor(t, "after "+said(5), "tan")}))
			must1[int64](t)(Add(ctx, b, Blend{Name: said(5), ClientID: who, Request: json.RawMessage(`{"client":` + escaped(name) + `}`)}))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if found := traces(t, b, needles); len(found) < len(names) {
		t.Fatalf("the search itself finds only %d", len(found))
	}
	err = b.update(ctx, "", func(tx *sql.Tx) error { return forgetAll(ctx, tx, names) })
	if err != nil {
		t.Fatal(err)
	}
	if err := b.writeAnew(ctx); err != nil {
		t.Fatal(err)
	}
	if found := traces(t, b, needles); len(found) > 0 {
		t.Errorf("%d are still there: %.200q", len(found), found)
	}
	for _, s := range []string{"but for another", "kept note", "while ", "Dancer Ada (demo)", "Pale gold demo"} {
		if found := traces(t, b, map[string][]byte{s: []byte(s)}); len(found) == 0 {
			t.Errorf("%q went too", s)
		}
	}
	if found, err := b.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("%v %.300v", err, found)
	}
}

// forgetAll forgets each under a form of the name that is not the one written.
func forgetAll(ctx context.Context, tx *sql.Tx, names []string) error {
	for _, name := range names {
		if _, err := forget(ctx, tx, norm.NFD.String(strings.ToUpper(name)), false); err != nil {
			return err
		}
	}
	return nil
}

// What a name shares with powders, the trade and other people stays, and so
// does what only holds its letters.
func TestErase(t *testing.T) {
	t.Parallel()
	stays := map[string]bool{"gold": true, "rose": true, "pale": true, "pale gold": true}
	for _, c := range []struct{ name, text, want string }{
		{"Ada Winter-Gold", "for Ada Winter-Gold: gold, not Ada's; winter's from Canada", "for …: gold, not …'s; …'s from Canada"},
		{"Rose Gold", "rose gold is a person, rose and gold are not", "… is a person, rose and gold are not"},
		{"Émilie", "E\u0301MILIE émilie emilie", "… … …"},
		{"Zoë Müller", "MULLER and Zoe; not Zoey", "… and …; not Zoey"},
		{"Weiß", "WEISS und weiss", "… und …"},
		{"Łukasz Ørsted", "Lukasz, ŁUKASZ and orsted", "…, … and …"},
		{"Dorde Halfar", "Đorđe and \u0126alfar", "… and …"},
		{"J Ng", "J, Ng and J Ng", "… and …"},
		{"مُحَمَّد", "محمد و مـحمد", "… و …"},
		{"סתו", "for סְתָו", "for …"},
		{"Ada Moor", "Ａｄａ and ｍｏｏｒ", "… and …"},
		{"王小明", "给王小明的礼物", "给…的礼物"},
		{"김 민지", "민지는 김민지", "…는 …"},
		{"Nora Ash", `\Nora \nora c:\nash`, `\… \… c:\nash`},
		{"", "all of it", "all of it"},
		{"Odette Quillfeather", "Quill\u00adfeather, quill\u200bfeathers, odette2, Quillfeather's and odettequillfeather", "…, …, …, …'s and …"},
		{"Ada Jones", "the Joneses and the Jones; not adas, canada or jonesia", "the … and the …; not adas, canada or jonesia"},
		{"陈小红", "给陈\u200b小红的", "给…的"},
		{"Gold", "pale gold for Gold", "pale gold for Gold"},
		{"A", "a sheen for A", "a sheen for A"},
		{"Pale Gold", "2 % pale gold", "2 % pale gold"},
		{"💜 *", "for 💜 * and 💜", "for … and 💜"},
	} {
		e := newEraser(c.name, func(w string) bool { return stays[w] })
		if got := e.text(c.text, ownWords); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	for _, c := range []struct {
		far        reach
		name, want string
	}{
		{ownWords, "Rosa Gold", "rosalind's gold, for … and rosas: primrosa"},
		{nearWords, "Rosa Gold", "…'s gold, for … and …: …"},
		{everyWord, "Rosa Gold", "…'s …, for … and …: …"},
		{everyWord, "Dancer Rosa (demo)", "…'s gold, for … and …: …"},
		{wholeName, "Rosa Gold", "rosalind's gold, for rosa and rosas: primrosa"},
	} {
		e := newEraser(c.name, func(w string) bool { return stays[w] || w == "rosas" })
		if got := e.text("rosalind's gold, for rosa and rosas: primrosa", c.far); got != c.want {
			t.Errorf("%s, %d: %q, want %q", c.name, c.far, got, c.want)
		}
	}
	e := newEraser("Ada Moor", func(string) bool { return false })
	blends := tableNamed("blend")
	document := &blends.columns[blends.column("document")]
	in := `{"title":"Ada's \"moor\"\nAda","drawer":"/home/ada/moor.csv","ada":1,"who":"client:ADA MOOR","notes":["by Ada"]}`
	want := `{"title":"…'s \"…\"\n…","drawer":"/home/ada/moor.csv","ada":1,"who":"client:…","notes":["by …"]}`
	if got := e.document(in, func(key, text string) string { return e.text(text, blends.careOf(document, key).takes) }); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}

// Names that differ only in capitals or in how their letters are composed are
// one client's.
func TestClientsFoldByUnicode(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := newBook(t)
	id := must1[int64](t)(Add(ctx, b, Client{Name: "Émilie"}))
	for _, name := range []string{"émilie", "E\u0301MILIE"} {
		if c, err := Named[Client](ctx, b, name); err != nil || c.ID != id {
			t.Errorf("%s: %+v %v", name, c, err)
		}
		if _, err := Add(ctx, b, Client{Name: name}); err == nil || !strings.Contains(err.Error(), "already used") {
			t.Errorf("%s was added: %v", name, err)
		}
	}
	if err := b.Set(ctx, Clients, id, "name", "ÉMILIE"); err != nil {
		t.Errorf("her own name in capitals: %v", err)
	}
}

// A base named after the client alone keeps no word of the name in what is written
// of others, and is listed; where a word of the name is another's too, that is said.
func TestForgetOneABaseIsNamedAfter(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	id := must1[int64](t)
	for _, base := range []string{"Zzyxqa", "zzyxqa quill"} {
		b := newBook(t)
		id(Add(ctx, b, Client{Name: "Zzyxqa Quill"}))
		lot := id(b.AddLot(ctx, Lot{PowderID: id(Add(ctx, b, Powder{Name: "rose", Source: "demo"})), Lot: "Zzyxqa-7"}, 5))
		hers := id(Add(ctx, b, Blend{Name: "as Zzyxqa's", Base: base, LoadPercent: 1, Request: json.RawMessage(`{"code":"Zzyxqa1","skin":"zzyxqa.csv#arm"}`), Powders: []BlendPowder{{PowderName: "rose", Percent: 1}}}))
		f := must1[Forgotten](t)(b.Forget(ctx, "Zzyxqa Quill", false, true))
		if blend := must1[Blend](t)(Get[Blend](ctx, b, hers)); blend.Name != "as …'s" || blend.Base != base || string(blend.Request) != `{"code":"…","skin":"zzyxqa.csv#arm"}` {
			t.Errorf("%s: %+v", base, blend)
		}
		if !slices.Contains(f.Mentions, Mention{"lot", lot, "lot", "Zzyxqa"}) || !slices.Contains(f.Mentions, Mention{"blend", hers, "request", "zzyxqa"}) || !slices.ContainsFunc(f.Mentions, func(m Mention) bool { return m.Field == "base" }) {
			t.Errorf("%s: listed %v", base, f.Mentions)
		}
		if strings.Contains(f.Says, shared) {
			t.Errorf("%s: %s", base, f.Says)
		}
	}
	b := newBook(t)
	id(Add(ctx, b, Client{Name: "Zzyxqa Rose"}))
	if f := must1[Forgotten](t)(b.Forget(ctx, "Zzyxqa Rose", false, true)); !strings.Contains(f.Says, shared) {
		t.Errorf("%s", f.Says)
	}
}

// A client with a powder's name is forgotten without harm to what others asked
// for, and the places are listed.
func TestForgetOneNamedAsAPowder(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	b := demoBook(t)
	must1[int64](t)(Add(ctx, b, Client{Name: "Pale gold demo"}))
	blend := must1[int64](t)(Add(ctx, b, Blend{Name: "for pale gold demo", Request: json.RawMessage(`{"part":["pale gold demo=2"]}`)}))
	f := must1[Forgotten](t)(b.Forget(ctx, "pale GOLD demo", false, true))
	if got := must1[Blend](t)(Get[Blend](ctx, b, blend)); string(got.Request) != `{"part":["pale gold demo=2"]}` || got.Name != "for pale gold demo" {
		t.Errorf("%+v", got)
	}
	if !slices.Contains(f.Mentions, Mention{"blend", blend, "name", "pale gold demo"}) {
		t.Errorf("listed: %v", f.Mentions)
	}
}

// A powder called after the client does not make her name a word of the trade: it goes
// out of what was written of others, and what still has it is listed, other people of
// her name too.
func TestForgetOneAPowderIsCalledAfter(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	id := must1[int64](t)
	for _, listed := range []bool{false, true} {
		b := newBook(t)
		drawer := filepath.Join(t.TempDir(), "Zzyxqa drawer.csv")
		if err := os.WriteFile(drawer, []byte("name\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		id(Add(ctx, b, Client{Name: "Zzyxqa Quill"}))
		id(Add(ctx, b, Client{Name: "Noor Quill"}))
		powder := id(Add(ctx, b, Powder{Name: "Zzyxqa smear", Source: "guessed"}))
		lot := id(b.AddLot(ctx, Lot{PowderID: powder, Lot: "L-Zzyxqa-7"}, 5))
		request, _ := json.Marshal(map[string]any{"code": "Zzyxqa2", "drawer": drawer, "part": []string{"Zzyxqa smear=1"}})
		blend := id(Add(ctx, b, Blend{Name: "as Zzyxqa's", LoadPercent: 1, Request: request, Document: []byte(`{"lines":["Batch: Zzyxqa2"]}`),
			Powders: []BlendPowder{{PowderName: "Zzyxqa smear", Lot: "L-Zzyxqa-7", Percent: 1}}}))
		f := must1[Forgotten](t)(b.Forget(ctx, "Zzyxqa Quill", listed, true))
		if !slices.Contains(f.Files, drawer) {
			t.Errorf("the drawer is not named: %v", f.Files)
		}
		for _, m := range []Mention{{"powder", powder, "name", "Zzyxqa"}, {"blend_powder", blend, "powder_name", "Zzyxqa"}, {"client", 2, "name", "Quill"}, {"blend", blend, "request", "Zzyxqa"}} {
			if !slices.ContainsFunc(f.Mentions, func(got Mention) bool {
				return got.Table == m.Table && got.ID == m.ID && got.Field == m.Field && strings.Contains(got.Words, m.Words)
			}) {
				t.Errorf("with listed %v, %v is not listed among %v", listed, m, f.Mentions)
			}
		}
		got := must1[Blend](t)(Get[Blend](ctx, b, blend))
		number := must1[Lot](t)(Get[Lot](ctx, b, lot)).Lot
		if got.Name != "as …'s" || strings.Contains(string(got.Request), "Zzyxqa2") || strings.Contains(string(got.Document), "Zzyxqa") ||
			!strings.Contains(string(got.Request), "Zzyxqa smear=1") {
			t.Errorf("with listed %v %s %s %s", listed, got.Name, got.Request, got.Document)
		}
		if listed && (number != "L-…-7" || strings.Contains(string(got.Request), "drawer.csv\",\"part") && strings.Contains(string(got.Request), "Zzyxqa drawer")) {
			t.Errorf("left once it was said: %s %s", number, got.Request)
		}
	}
}

// What was only listed goes later too, when the client is forgotten already: a base's
// name then, but other people's and powders' never; a name of which nothing is left is
// nobody's, and without a yes nothing goes.
func TestForgetListedLater(t *testing.T) {
	t.Parallel()
	ctx := t.Context()
	id := must1[int64](t)
	base := filepath.Join(t.TempDir(), "lotion.csv")
	if err := os.WriteFile(base, []byte("# base: Zzyxqa lotion\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	b := newBook(t)
	id(Add(ctx, b, Client{Name: "Zzyxqa Quill"}))
	id(Add(ctx, b, Client{Name: "Noor Quill"}))
	id(Add(ctx, b, Powder{Name: "Zzyxqa smear", Source: "guessed"}))
	blend := id(Add(ctx, b, Blend{Base: "Zzyxqa lotion", LoadPercent: 1, Request: fmt.Appendf(nil, `{"base":%q}`, base)}))
	if _, err := b.Forget(ctx, "Zzyxqa Quill", true, false); err != nil {
		t.Fatal(err)
	}
	f := must1[Forgotten](t)(b.Forget(ctx, "Zzyxqa Quill", false, true))
	if !slices.Contains(f.Files, base) {
		t.Errorf("the base's file is not named: %v", f.Files)
	}
	if _, err := b.Forget(ctx, "Zzyxqa Quill", false, true); !errors.Is(err, ErrNotFound) {
		t.Errorf("forgotten twice: %v", err)
	}
	was := must1[Blend](t)(Get[Blend](ctx, b, blend)).Base
	if must1[Forgotten](t)(b.Forget(ctx, "zzyxqa quill", true, false)); was != "Zzyxqa lotion" || must1[Blend](t)(Get[Blend](ctx, b, blend)).Base != was {
		t.Errorf("the base was %q, and without a yes it changed", was)
	}
	must1[Forgotten](t)(b.Forget(ctx, "zzyxqa quill", true, true))
	if got := must1[Blend](t)(Get[Blend](ctx, b, blend)).Base; got != "… lotion" {
		t.Errorf("the base is called %q", got)
	}
	if _, err := Named[Client](ctx, b, "Noor Quill"); err != nil {
		t.Error(err)
	}
	if _, err := Named[Powder](ctx, b, "Zzyxqa smear"); err != nil {
		t.Error(err)
	}
	for _, nobody := range []string{"Wexford", "7", "#9"} {
		if f, err := b.Forget(ctx, nobody, true, true); !errors.Is(err, ErrNotFound) {
			t.Errorf("%s: %+v %v", nobody, f, err)
		}
	}
}
