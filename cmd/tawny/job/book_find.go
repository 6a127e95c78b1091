package job

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"tawny/blend/book"
	"tawny/colour"
)

// findClient looks a client up by name or id.
func findClient(ctx context.Context, b *book.Book, name string) (book.Client, error) {
	c, err := book.Named[book.Client](ctx, b, name)
	if !errors.Is(err, book.ErrNotFound) {
		return c, err
	}
	all, err := book.All[book.Client](ctx, b)
	if err != nil {
		return c, err
	}
	if len(all) == 0 {
		return c, of("client", inputf("the book has no client %q and none at all; 'tawny book add client NAME' adds one", name))
	}
	var names []string
	for _, c := range all {
		names = append(names, c.Name)
	}
	near := colour.NearBy(name, names)
	if near != "" {
		near = fmt.Sprintf(" the nearest is %q, and", near)
	} // no other's name is told to one who did not nearly write it
	return c, of("client", inputf("the book has no client %q;%s 'tawny book list clients' lists those that are; 'tawny book add client NAME' adds one", name, near))
}

// findPowder looks a powder up by name or id.
func findPowder(ctx context.Context, b *book.Book, name string) (book.Powder, error) {
	p, err := book.Named[book.Powder](ctx, b, name)
	if errors.Is(err, book.ErrNotFound) {
		err = fmt.Errorf("powder %q is %w; 'tawny book list powders' lists those that are", name, book.ErrNotFound)
	}
	return p, err
}

// findLot looks a lot up by the number on the bag, of a powder where two
// powders have lots of one number.
func findLot(ctx context.Context, b *book.Book, number, powder string) (book.LotStock, error) {
	stock, err := b.Stock(ctx)
	if err != nil {
		return book.LotStock{}, err
	}
	var found []book.LotStock
	var of []string
	for _, l := range stock {
		if strings.EqualFold(l.Lot, number) && (powder == "" || strings.EqualFold(l.PowderName, powder)) {
			found, of = append(found, l), append(of, l.PowderName)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		whose := ""
		if powder != "" {
			whose = " of " + powder
		}
		return book.LotStock{}, fmt.Errorf("lot %q%s is %w; 'tawny book stock' lists those that are", number, whose, book.ErrNotFound)
	}
	return book.LotStock{}, inputf("lot %q is of %s; name the powder with {powder}", number, strings.Join(of, " and of "))
}

// recordID reads an id, with or without a # before it.
func recordID(text string) (int64, bool) {
	id, err := strconv.ParseInt(strings.TrimPrefix(text, "#"), 10, 64)
	return id, err == nil && id > 0
}

// batchID is the number of a batch that is named by it or by its code.
func batchID(ctx context.Context, b *book.Book, text string) (int64, error) {
	id, ok := recordID(text)
	if ok && (id < numbered || strings.HasPrefix(text, "#")) {
		return id, nil
	}
	if of, err := b.OfCode(ctx, text); err != nil || of != 0 {
		return of, err
	}
	if ok {
		return id, nil
	}
	return 0, inputf("batch %q; its number in the book or its code is accepted, as 'tawny book list batches' shows them", text)
}

// RecordID reads the number of a record.
func RecordID(kind, text string) (int64, error) {
	id, ok := recordID(text)
	if !ok {
		return 0, inputf("%s %q; its number in the book is accepted, as 'tawny book list' shows it", kind, text)
	}
	return id, nil
}
