package job

import (
	"context"

	"tawny/blend/book"
)

var bookAddTopic = &Job{
	Name:  "book add",
	Short: "Write a client, a reading, a lot, a powder, a skin or a photo",
	Long: `Writes a new record into the book. A lot bought brings its powder with it where
the book does not have it yet; blends and batches are written by 'tawny book
save'.`,
	Example: "  tawny book add lot G-0117 --powder 'pale gold' --grams 50\n  tawny book add client 'Dancer Ada (demo)'",
}

// Show says what was written.
func (v *BookAdded) Show(s *Screen) {
	if v.Also != "" {
		s.fold("", v.Also)
	}
	s.line("%s", v.Says)
}

var bookAddClientJob = &Job{
	Name:  "book add client",
	Args:  "NAME",
	Short: "Add a person shades are made for",
	Long: `Adds a client. 'tawny book add reading deep --client NAME --new-client' adds one with
a skin. Keep no more of a person than the work needs: 'tawny book forget'
takes everything of them out again, and exports leave clients out unless asked.`,
	Example: "  tawny book add client 'Dancer Ada (demo)'\n  tawny book add client 'Dancer Bel (demo)' --note 'second row'",
	New: func() Task {
		n := &book.Client{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.AddClient(ctx, *n) },
			words(newClientName(&n.Name)), Group{Title: "Client", Fields: []Field{noteField(&n.Note)}})
	},
}

func newClientName(to *string) Field {
	f := nameArg("name", "a name; put one with spaces in quotes:", to)
	f.Unit, f.High = letters, longestName
	return f
}

// longestName is of a client, letters; three lines of a label.
const longestName = 120

var bookAddReadingJob = &Job{
	Name:  "book add reading",
	Args:  "COLOUR",
	Short: "Add a colour read: of a client's skin, a lot or a batch",
	Long: `Adds a colour as 'tawny --help' says colours are written: numbers, a hex colour
from a picture, or an instrument's file, or one sample of it; a skin judged by eye
also by a word of 'tawny skin', such as deep. Read a skin at several places, each
on its own with --place: the book averages them by place and day, and a skin of
client:NAME is that average.`,
	Example: `  tawny book add reading lab:64.1,11.3,14.4 --client 'Dancer Ada (demo)' --place 'inner forearm'
  tawny book add reading 'testdata/fit/skin-demo.csv#forearm' --client 'Dancer Ada (demo)' --place forearm --on 2026-05-31
  tawny book add reading lab:71,6,28 --batch 3 --seen jar`,
	New: func() Task {
		n := &NewReading{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.AddReading(ctx, *n) },
			words(colourArg("a colour", &n.Colour)), Group{Title: "Reading", Fields: []Field{
				{Name: "client", Words: "whose skin it is, or who wore the batch", Unit: letters, High: longestName, Lists: "client", To: &n.Client},
				{Name: "new-client", Words: "add the client too, where the book has none of that name", To: &n.NewClient},
				{Name: "lot", Words: "the lot it was read of, by the number on the bag", To: &n.Lot},
				{Name: "powder", Words: "the lot's powder, where two powders have the number", Lists: "powder", To: &n.Powder},
				{Name: "batch", Words: "the batch it was read of, by its number in the book", Low: 1, To: &n.BatchID},
				{Name: "place", Words: "where on the body, such as 'inner forearm'", To: &n.Place},
				{Name: "on", Words: "the day it was taken (default today)", To: &n.TakenOn},
				{Name: "how", Words: "instrument, photo, by eye or typed (default by the kind of colour)", Lists: "how", To: &n.How},
				{Name: "seen", Words: "on what: skin, jar, drawdown, powder or card (default skin for a client, else drawdown)", Lists: "seen", To: &n.Seen},
				{Name: "instrument", Words: "which instrument", To: &n.Instrument},
				{Name: "geometry", Words: "how it was read: di (sphere, gloss included), de (sphere, gloss excluded), 45 (45°:0°) or photo (default as the colour says)", Choices: []string{"di", "de", "45", "photo"}, To: &n.Geometry},
				noteField(&n.Note),
				{Name: "instead", Words: "take out the client's readings that it contradicts", To: &n.Instead},
				{Name: "yes", Words: "let it count beside what it contradicts", To: &n.Sure},
			}})
	},
}

var bookAddLotJob = &Job{
	Name:  "book add lot",
	Args:  "NUMBER",
	Short: "Add a lot bought, with its grams",
	Long: `Adds a lot by the number on the bag and the grams bought. What is weighed into
batches is taken off it, so that 'tawny book stock' tells what is left. Its
strength is how much it colours for its weight against the drawer's data, as
'tawny fit' reports it; batches made again allow for it.`,
	Example: "  tawny book add lot G-0117 --powder 'pale gold' --grams 50\n  tawny book add lot G-0245 --powder 'pale gold' --grams 100 --received 2026-05-02 --expires 2029-05-01 --strength 0.93",
	New: func() Task {
		n := &NewLot{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.AddLot(ctx, *n) },
			words(nameArg("lot", "the number on the bag", &n.Lot.Lot)), Group{Title: "Lot", Fields: []Field{
				{Name: "powder", Words: "what is in the bag", Lists: "powder", To: &n.Powder},
				{Name: "grams", Words: "grams bought", Unit: "g", High: 1e6, Above: true, To: &n.Grams},
				{Name: "supplier", Words: "where it was bought", To: &n.Supplier},
				{Name: "received", Words: "the day it came", To: &n.ReceivedOn},
				{Name: "expires", Words: "the day or month it is good until", To: &n.ExpiresOn},
				{Name: "price", Words: "price of a gram, in your currency", High: 1e6, To: &n.PricePerG},
				paidField(&n.Paid),
				{Name: "strength", Words: "how much it colours for its weight, against the drawer's data: 0.9 or 90 % is nine tenths of it (default 1)", Unit: times, High: 100, Above: true, To: &n.Strength},
				drawerField(&n.Drawer, "your drawer, a CSV file, where the powder is looked up (default the built-in one)"),
				noteField(&n.Note),
				{Name: "yes", Words: "write a lot past its day, or one that looks like a slip", To: &n.Sure},
			}})
	},
}

var bookAddPowderJob = &Job{
	Name:  "book add powder",
	Args:  "NAME",
	Short: "Add a powder",
	Long: `Adds a powder by its name in the drawer, with what the drawer says of it. A
powder that is in no drawer needs --source.`,
	Example: "  tawny book add powder 'pale gold'\n  tawny book add powder 'old silver' --family silver --source guessed --note 'from the attic'",
	New: func() Task {
		n := &NewPowder{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.AddPowder(ctx, *n) },
			words(nameArg("name", "a name", &n.Name)), Group{Title: "Powder", Fields: []Field{
				{Name: "family", Words: "gold, bronze, silver, interference, oxide and so on (default the drawer's)", To: &n.Family},
				{Name: "source", Words: "how its colour is known: modelled, guessed, measured or demo (default the drawer's)", Lists: "source", To: &n.Source},
				drawerField(&n.Drawer, "your drawer, a CSV file (default the built-in one)"),
				noteField(&n.Note),
			}})
	},
}

var bookAddSkinJob = &Job{
	Name:  "book add skin",
	Args:  "COLOUR",
	Short: "Add a skin to keep by name",
	Long: `Adds a skin: a preset, a colour, a reflectance file, or with client:NAME today's
average of a client's readings.`,
	Example: "  tawny book add skin lab:64.1,11.3,14.4 --name 'house light (demo)'\n  tawny book add skin 'client:Dancer Ada (demo)' --name 'Ada in winter (demo)'",
	New: func() Task {
		n := &NewSkin{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.AddSkin(ctx, *n) },
			words(colourArg("a skin", &n.Colour)), Group{Title: "Skin", Fields: []Field{
				{Name: "name", Words: "what to call it", To: &n.Name},
				{Name: "client", Words: "whose it is", Lists: "client", To: &n.Client},
				{Name: "how", Words: "reading, average, photo, sliders, hex or preset (default by the skin)", To: &n.How},
				noteField(&n.Note),
			}})
	},
}

var bookAddPhotoJob = &Job{
	Name:  "book add photo",
	Args:  "FILE",
	Short: "Add a picture of a skin, a blend, a batch or a lot",
	Long: `Adds a JPEG or PNG of at most 12 MB, as it is, with all it says of itself: a
camera may have written the place and time into it.`,
	Example: "  tawny book add photo arm.jpg --client 'Dancer Ada (demo)' --place 'inner forearm'\n  tawny book add photo jar.png --batch 3",
	New: func() Task {
		n := &NewPhoto{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.AddPhoto(ctx, *n) },
			words(fileArg("a file", &n.File)), Group{Title: "Photo", Fields: []Field{
				{Name: "client", Words: "of whom it is", Lists: "client", To: &n.Client},
				{Name: "lot", Words: "of which lot, by the number on the bag", To: &n.Lot},
				{Name: "powder", Words: "the lot's powder, where two powders have the number", Lists: "powder", To: &n.Powder},
				{Name: "batch", Words: "of which batch", Low: 1, To: &n.BatchID},
				{Name: "blend", Words: "of which blend", Low: 1, To: &n.BlendID},
				{Name: "place", Words: "where on the body", To: &n.Place},
				{Name: "on", Words: "the day it was taken (default today)", To: &n.TakenOn},
				noteField(&n.Note),
			}})
	},
}
