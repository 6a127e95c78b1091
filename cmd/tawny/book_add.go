package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tawny/blend/book"
	"tawny/cmd/tawny/work"
)

func (k *bookCommand) newAdd() *cobra.Command {
	c := &cobra.Command{
		Use:   "add",
		Short: "Write a client, a reading, a lot, a powder, a skin or a photo",
		Long: `Writes a new record into the book. A lot bought brings its powder with it where
the book does not have it yet; blends and batches are written by 'tawny book
save'.`,
		Example: "  tawny book add lot G-0117 --powder 'pale gold' --grams 50\n  tawny book add client 'Dancer Ada (demo)'",
		Args:    cobra.ArbitraryArgs,
		RunE:    unknownCommand,
	}
	c.AddCommand(k.newAddClient(), k.newAddReading(), k.newAddLot(), k.newAddPowder(), k.newAddSkin(), k.newAddPhoto())
	return c
}

func (s *screen) bookAdded(v *work.BookAdded) {
	if v.Also != "" {
		s.fold("", v.Also)
	}
	s.line("%s", v.Says)
}

func bindNote(fs *pflag.FlagSet, note *string) {
	fs.StringVar(note, "note", "", "a note in your own words")
}

func (k *bookCommand) newAddClient() *cobra.Command {
	var n book.Client
	c := command(&cobra.Command{
		Use:   "client NAME",
		Short: "Add a person shades are made for",
		Long: `Adds a client. Keep no more of a person than the work needs: 'tawny book forget'
takes everything of them out again, and exports leave clients out unless asked.`,
		Example: "  tawny book add client 'Dancer Ada (demo)'\n  tawny book add client 'Dancer Bel (demo)' --note 'second row'",
		Args:    oneName("a name"),
	}, func(c *cobra.Command, args []string) (*work.BookAdded, error) {
		n.Name = args[0]
		return k.book.AddClient(c.Context(), n)
	}, (*screen).bookAdded)
	bindNote(c.Flags(), &n.Note)
	return c
}

func (k *bookCommand) newAddReading() *cobra.Command {
	var n work.NewReading
	c := command(&cobra.Command{
		Use:   "reading COLOUR",
		Short: "Add a colour read: of a client's skin, a lot or a batch",
		Long: `Adds a colour as 'tawny --help' says colours are written: numbers, a hex colour
from a picture, or an instrument's file, or one sample of it. Read a skin at
several places, each on its own with --place: the book averages them by place
and day, and a skin of client:NAME is that average.`,
		Example: `  tawny book add reading lab:64.1,11.3,14.4 --client 'Dancer Ada (demo)' --place 'inner forearm'
  tawny book add reading 'testdata/fit/skin-demo.csv#forearm' --client 'Dancer Ada (demo)' --place forearm --on 2026-05-31
  tawny book add reading lab:71,6,28 --batch 3 --seen jar`,
		Args: oneName("a colour"),
	}, func(c *cobra.Command, args []string) (*work.BookAdded, error) {
		n.Colour = args[0]
		return k.book.AddReading(c.Context(), n)
	}, (*screen).bookAdded)
	fs := c.Flags()
	fs.StringVar(&n.Client, "client", "", "whose skin it is, or who wore the batch")
	fs.StringVar(&n.Lot, "lot", "", "the lot it was read of, by the number on the bag")
	fs.StringVar(&n.Powder, "powder", "", "the lot's powder, where two powders have the number")
	fs.Int64Var(&n.BatchID, "batch", 0, "the batch it was read of, by its number in the book")
	fs.StringVar(&n.Place, "place", "", "where on the body, such as 'inner forearm'")
	fs.StringVar(&n.TakenOn, "on", "", "the day it was taken (default today)")
	fs.StringVar(&n.How, "how", "", "instrument, photo, by eye or typed (default by the kind of colour)")
	fs.StringVar(&n.Seen, "seen", "", "on what: skin, jar, drawdown, powder or card (default skin for a client, else drawdown)")
	fs.StringVar(&n.Instrument, "instrument", "", "which instrument")
	fs.StringVar(&n.Geometry, "geometry", "", "its geometry, such as d:8 or 45:0 (default by the colour: gloss included or excluded)")
	bindNote(fs, &n.Note)
	return c
}

func (k *bookCommand) newAddLot() *cobra.Command {
	var n work.NewLot
	var price, strength float64
	c := command(&cobra.Command{
		Use:   "lot NUMBER",
		Short: "Add a lot bought, with its grams",
		Long: `Adds a lot by the number on the bag and the grams bought. What is weighed into
batches is taken off it, so that 'tawny book stock' tells what is left. Its
strength is how much it colours for its weight against the drawer's data, as
'tawny fit' reports it; batches made again allow for it.`,
		Example: "  tawny book add lot G-0117 --powder 'pale gold' --grams 50\n  tawny book add lot G-0245 --powder 'pale gold' --grams 100 --received 2026-05-02 --expires 2029-05-01 --strength 0.93",
		Args:    oneName("the number on the bag"),
	}, func(c *cobra.Command, args []string) (*work.BookAdded, error) {
		n.Lot.Lot = args[0]
		if c.Flags().Changed("price") {
			n.PricePerG = &price
		}
		if c.Flags().Changed("strength") {
			n.Strength = &strength
		}
		return k.book.AddLot(c.Context(), n)
	}, (*screen).bookAdded)
	fs := c.Flags()
	fs.StringVar(&n.Powder, "powder", "", "what is in the bag")
	fs.Float64Var(&n.Grams, "grams", 0, "grams bought")
	fs.StringVar(&n.Supplier, "supplier", "", "where it was bought")
	fs.StringVar(&n.ReceivedOn, "received", "", "the day it came")
	fs.StringVar(&n.ExpiresOn, "expires", "", "the day it is good until")
	fs.Float64Var(&price, "price", 0, "price of a gram, in your currency")
	fs.Float64Var(&strength, "strength", 1, "how much it colours for its weight, against the drawer's data")
	fs.StringVar(&n.Drawer, "drawer", "", "your drawer, a CSV file, where the powder is looked up (default the built-in one)")
	bindNote(fs, &n.Note)
	return c
}

func (k *bookCommand) newAddPowder() *cobra.Command {
	var n work.NewPowder
	c := command(&cobra.Command{
		Use:   "powder NAME",
		Short: "Add a powder",
		Long: `Adds a powder by its name in the drawer, with what the drawer says of it. A
powder that is in no drawer needs --source.`,
		Example: "  tawny book add powder 'pale gold'\n  tawny book add powder 'old silver' --family silver --source guessed --note 'from the attic'",
		Args:    oneName("a name"),
	}, func(c *cobra.Command, args []string) (*work.BookAdded, error) {
		n.Name = args[0]
		return k.book.AddPowder(c.Context(), n)
	}, (*screen).bookAdded)
	fs := c.Flags()
	fs.StringVar(&n.Family, "family", "", "gold, bronze, silver, interference, oxide and so on (default the drawer's)")
	fs.StringVar(&n.Source, "source", "", "how its colour is known: modelled, guessed, measured or demo (default the drawer's)")
	fs.StringVar(&n.Drawer, "drawer", "", "your drawer, a CSV file (default the built-in one)")
	bindNote(fs, &n.Note)
	return c
}

func (k *bookCommand) newAddSkin() *cobra.Command {
	var n work.NewSkin
	c := command(&cobra.Command{
		Use:   "skin COLOUR",
		Short: "Add a skin to keep by name",
		Long: `Adds a skin: a preset, a colour, a reflectance file, or with client:NAME today's
average of a client's readings.`,
		Example: "  tawny book add skin lab:64.1,11.3,14.4 --name 'house light (demo)'\n  tawny book add skin 'client:Dancer Ada (demo)' --name 'Ada in winter (demo)'",
		Args:    oneName("a skin"),
	}, func(c *cobra.Command, args []string) (*work.BookAdded, error) {
		n.Colour = args[0]
		return k.book.AddSkin(c.Context(), n)
	}, (*screen).bookAdded)
	fs := c.Flags()
	fs.StringVar(&n.Name, "name", "", "what to call it")
	fs.StringVar(&n.Client, "client", "", "whose it is")
	fs.StringVar(&n.How, "how", "", "reading, average, photo, sliders, hex or preset (default by the skin)")
	bindNote(fs, &n.Note)
	return c
}

func (k *bookCommand) newAddPhoto() *cobra.Command {
	var n work.NewPhoto
	c := command(&cobra.Command{
		Use:   "photo FILE",
		Short: "Add a picture of a skin, a blend, a batch or a lot",
		Long: `Adds a JPEG or PNG of at most 12 MB, as it is, with all it says of itself: a
camera may have written the place and time into it.`,
		Example: "  tawny book add photo arm.jpg --client 'Dancer Ada (demo)' --place 'inner forearm'\n  tawny book add photo jar.png --batch 3",
		Args:    oneName("a file"),
	}, func(c *cobra.Command, args []string) (*work.BookAdded, error) {
		n.File = args[0]
		return k.book.AddPhoto(c.Context(), n)
	}, (*screen).bookAdded)
	fs := c.Flags()
	fs.StringVar(&n.Client, "client", "", "of whom it is")
	fs.StringVar(&n.Lot, "lot", "", "of which lot, by the number on the bag")
	fs.StringVar(&n.Powder, "powder", "", "the lot's powder, where two powders have the number")
	fs.Int64Var(&n.BatchID, "batch", 0, "of which batch")
	fs.Int64Var(&n.BlendID, "blend", 0, "of which blend")
	fs.StringVar(&n.Place, "place", "", "where on the body")
	fs.StringVar(&n.TakenOn, "on", "", "the day it was taken (default today)")
	bindNote(fs, &n.Note)
	return c
}
