// Package table reads and writes the files a maker keeps: `# key: value` lines,
// then one header, then rows, as plain text or as a spreadsheet saves them.
//
// There is one reader for every kind of file: drawers, spectra, lights,
// readings, drawdowns, bases, prices, rules and the book's exports. It takes the
// habits of spreadsheets as they come:
//
//   - commas, semicolons or tabs between cells, as the header has them; with the
//     last two a number may have a decimal comma, which becomes a point;
//   - UTF-8 with or without a byte order mark, UTF-16 with one, and Windows-1252
//     where its letters leave no doubt; anything else is refused, never guessed;
//   - line ends of every system, blank rows, rows of empty cells, empty columns
//     at the end, capitals in the header;
//   - key lines in quotes, with commas in them and empty cells after them.
//
// Text is brought to Unicode's composed form (NFC), and control characters are
// refused: what comes in here can be printed anywhere.
//
// A fault is an [Error]: file, line, field, what is there and what would be
// accepted.
package table
