package job

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
)

var bookClientJob = &Job{
	Name:  "book client",
	Args:  "NAME",
	Short: "Show a client: their skin on average, its spread, and what was made",
	Long: `Shows the average of a client's readings by place and day, how far they lie
apart, and the blends and batches made. Each place counts once, however often it
was read. 'tawny match --skin client:NAME' matches to the average.`,
	Example: "  tawny book client 'Dancer Ada (demo)'\n  tawny book client 1 --json",
	New: func() Task {
		var name string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Client(ctx, name) },
			clientArg(&name))
	},
}

// Show writes the client.
func (v *BookClient) Show(s *Screen) {
	s.line("%s, client %d since %s", v.Client.Name, v.Client.ID, v.Client.RecordedAt.Format("2006-01-02"))
	if v.Client.Note != "" {
		s.fold("", v.Client.Note)
	}
	s.line("")
	if v.View != nil {
		s.line("Skin       %s%s   %s, %s undertone", s.patch(v.View.Hex), labText(v.View.Lab), v.View.Class, v.View.Undertone.Word)
	}
	s.fold("           ", v.Says)
	for _, p := range v.Skin.Places {
		place := orElse(p.Place, "no place given")
		if len(p.Days) == 1 {
			s.line("  %-30s %s%s", place+", "+p.Days[0].TakenOn, labText(p.Lab), spread(p.Average))
			continue
		}
		s.line("  %-30s %s%s", place, labText(p.Lab), spread(p.Average))
		for _, d := range p.Days {
			s.line("    %-28s %s%s", d.TakenOn, labText(d.Lab), spread(d.Average))
		}
	}
	for _, list := range []struct {
		title   string
		entries []book.Entry
	}{{"Blends", v.Blends}, {"Batches", v.Batches}} {
		if len(list.entries) > 0 {
			s.line("")
			s.line("%s", list.title)
			s.entries(list.entries)
		}
	}
}

// spread says how far several readings lie from their mean.
func spread(a book.Average) string {
	if a.Readings < 2 {
		return ""
	}
	return fmt.Sprintf("   %d readings, ΔE00 %.2f from it on average", a.Readings, a.MeanDE00)
}

func clientArg(to *string) Group {
	return words(Field{Name: "client", Words: "a client's name is accepted; put one with spaces in quotes", Arg: true, Lists: "client", To: to})
}

var bookForgetJob = &Job{
	Name:  "book forget",
	Args:  "CLIENT",
	Short: "Take a client and all that tells of them out of the book",
	Long: `Removes a client with their skins, readings and photos, and empties the blends and
batches made for them of names, notes, requests and colours. Of a batch stay its
recipe and lots, what was weighed and the numbers read at the bench: a recall still
finds it, its sheet and labels are printed as before, and it is made again. Out of
codes, and the titles and notes of others, the name goes too, and each word of it that
no powder, base or other client has and that is no word of the trade. Where else such
words stand, in lots' numbers too, is listed, and goes with --listed, at once or
later; names of powders and of others never do, and a base's only where it is called
after the client. The file and its automatic backups are written anew, so that nothing
of them remains there, and the cards, sheets and copies that tawny wrote, and the
drawers and bases that blends in the book were made of, are named where they may hold
it. Without --yes it only says what would go.`,
	Example: "  tawny book forget 'Dancer Ada (demo)'\n  tawny book forget 'Dancer Ada (demo)' --yes",
	New: func() Task {
		var name string
		var yes, listed bool
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Book.Forget(ctx, name, yes, listed) },
			clientArg(&name), Group{Title: "Forget", Fields: []Field{
				yesField(&yes),
				{Name: "listed", Words: "also take out what is only listed otherwise", To: &listed},
			}})
	},
}

// Show says what went and what did not.
func (v *BookForgotten) Show(s *Screen) {
	s.fold("", fmt.Sprintf("%s is forgotten: %s.", v.Name, v.counts()))
	v.lists(s.line)
	s.line("")
	if len(v.Mentions) > 0 && !v.listed {
		s.fold("", fmt.Sprintf("'tawny book forget %q --listed' tells what of these can go too, and takes it out with --yes.", v.Name))
	}
	s.fold("", v.Says+".")
}

// counts says how much of what goes.
func (v *BookForgotten) counts() string {
	some := func(all []string) string {
		return strings.Join(slices.DeleteFunc(all, func(s string) bool { return strings.HasPrefix(s, "0 ") }), ", ")
	}
	gone := "gone: " + orElse(some([]string{plural(v.Skins, "skin"), plural(v.Readings, "reading"), plural(v.Photos, "photo")}), "the name alone")
	if emptied := some([]string{plural(v.Blends, "blend"), plural(v.Batches, "batch"), plural(v.Corrections, "correction")}); emptied != "" {
		gone += "; emptied of name, skin, shade, notes and what was asked: " + emptied
	}
	if v.Recipes > 0 {
		gone += "; of " + plural(v.Recipes, "batch") + " the recipe, weights, lots, numbers read at the bench, sheet and labels stay, without name and skin"
	}
	return gone
}

// mostShown is how many places are listed; a document has them all.
const mostShown = 30

// lists writes where the name was and where it is still.
func (v *BookForgotten) lists(line func(format string, args ...any)) {
	places := func(of []book.Mention) (list []string) {
		for _, m := range of[:min(len(of), mostShown)] {
			place := fmt.Sprintf("%s %d, in its %s", strings.ReplaceAll(m.Table, "_", " "), m.ID, m.Field)
			if m.Words != "" {
				place += fmt.Sprintf(": %q", m.Words)
			}
			list = append(list, place)
		}
		if more := len(of) - mostShown; more > 0 {
			list = append(list, fmt.Sprintf("and %d more", more))
		}
		return list
	}
	for _, l := range []struct {
		says string
		list []string
	}{
		{"Taken out of what was written of others:", places(v.Erased)},
		{"Still written elsewhere, where it may be another's or a thing's:", places(v.Mentions)},
		{"Put aside by a restore or left of a copy broken off, these may hold it still; delete them if you need them no more:", v.PutAside},
		{"Files that tawny wrote or read, which may hold it still; delete them or put them right yourself:", v.Files},
	} {
		if len(l.list) > 0 {
			line("")
			line("%s", l.says)
		}
		for _, item := range l.list {
			line("  %s", item)
		}
	}
}

// BookClient is what the book knows of a client.
type BookClient struct {
	Client   book.Client      `json:"client"`
	Skin     book.SkinAverage `json:"skin"`           // of the readings on bare skin
	View     *SkinView        `json:"view,omitempty"` // what that colour means; nil with no reading
	Says     string           `json:"says"`
	Readings []book.Reading   `json:"readings"`
	Skins    []book.Skin      `json:"skins,omitempty"`
	Blends   []book.Entry     `json:"blends,omitempty"`
	Batches  []book.Entry     `json:"batches,omitempty"`
}

// Client shows a client: the average of the readings, their spread by place
// and day, and what was made.
func (e *Env) Client(ctx context.Context, name string) (*BookClient, error) {
	v := &BookClient{Says: "No reading of their bare skin yet."}
	err := e.Book.read(ctx, func(b *book.Book) (err error) {
		if v.Client, err = findClient(ctx, b, name); err != nil {
			return err
		}
		id := v.Client.ID
		if v.Readings, err = book.Of[book.Reading](ctx, b, "client_id", id); err != nil {
			return err
		}
		v.Skin = book.AverageSkin(v.Readings)
		if v.Skins, err = book.Of[book.Skin](ctx, b, "client_id", id); err != nil {
			return err
		}
		slices.Reverse(v.Skins) // the newest first
		if v.Blends, err = b.MadeFor(ctx, book.Blends, id); err == nil {
			v.Batches, err = b.MadeFor(ctx, book.Batches, id)
		}
		return err
	})
	if err != nil || v.Skin.Readings == 0 {
		return v, err
	}
	s, err := Input{Skin: clientPrefix + v.Client.Name, env: e}.open()
	if err != nil {
		return nil, err
	}
	v.View, v.Says = new(s.skinView()), averageWords(v.Skin)
	return v, nil
}

// BookForgotten is a client gone.
type BookForgotten struct {
	Name string `json:"name"`
	book.Forgotten
	listed bool
}

// Forget removes a client with all that tells of them. Without sure it only
// says what would go, as an error.
func (k Book) Forget(ctx context.Context, name string, sure, listed bool) (v *BookForgotten, err error) {
	err = k.read(ctx, func(b *book.Book) error {
		c, err := findClient(ctx, b, name)
		if _, none := book.Named[book.Client](ctx, b, name); listed && errors.Is(none, book.ErrNotFound) {
			c, err = book.Client{Name: name}, nil // perhaps one forgotten before
		}
		if err != nil {
			return err
		}
		v = &BookForgotten{Name: c.Name, listed: listed}
		if v.Forgotten, err = b.Forget(ctx, c.Name, listed, sure); errors.Is(err, book.ErrNotFound) {
			return inputf("the book has no client %q, and nothing of the name is left in it", name)
		} else if err != nil || sure {
			return err
		}
		var lists strings.Builder
		v.lists(func(format string, args ...any) { fmt.Fprintf(&lists, "\n"+format, args...) })
		also := ""
		if len(v.Mentions) > 0 && !listed {
			also = ". With {listed} also much of what would stay written elsewhere"
		}
		return inputf("nothing is done yet. {yes} forgets %s for good; %s%s%s", c.Name, v.counts(), also, lists.String())
	})
	return v, err
}
