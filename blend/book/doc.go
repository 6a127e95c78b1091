// Package book is the record a maker keeps: powders and the lots they came in,
// colours read, powders fitted, skins, blends, batches with their weights as
// actually weighed, corrections, photos and clients, in one SQLite file.
//
// # What is promised
//
//   - A write that returned without error is on the disk: each is one
//     transaction, begun with the write lock and committed with a full sync.
//   - Two programs may use the book at once. One waits for the other.
//   - A file that is damaged, made by a newer tawny, or no book at all is
//     reported and left as it was.
//   - What is exported and imported into an empty book is the same book, ids
//     and all: exporting that again gives the same bytes.
//   - A client who is forgotten is gone from the file and its write-ahead log.
//     Exports leave clients out unless asked, and say so.
//
// # Conventions
//
// Ids count from 1 within each table and are never given twice; 0 in a field
// that refers to another record means none. Days are RFC 3339 full dates
// (2026-05-31), the maker's own day; RecordedAt is an RFC 3339 time in UTC, to
// the second. Colours are L*a*b* under D65 and the 2° observer. Reflectances
// are 36 factors, 380 to 730 nm by 10. A field's JSON name is its column's
// name and carries its unit. Each blend and batch keeps both the columns one
// can search by and the whole result, as JSON the book does not look into.
package book
