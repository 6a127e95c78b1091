// Package page is the local page: the whole job, skin to card and sheet, in a
// browser on the maker's own machine.
//
// What she has chosen is written in the address and posted as a job's request
// document; the answer is the job's result document, so what the page shows is
// what the commands print. The page lends its jobs no files, so no request
// reaches the disk. Between requests the server holds only the drawer, the open
// book and, for a while, the photos being measured.
//
// A moving slider asks for two things: the flat look of the powders so far,
// worked out anew in a few milliseconds, and its picture. Once it rests the
// whole drawer is searched. Searches and exports run one at a time, so that a
// processor is left for the sliders, and end when their page moves on.
//
// Who is let in is decided in one place, [guard]: only the addresses the
// server was given as Host and Origin, a token for everything that is not a
// plain view, and, for a phone on the same network, a key that works once.
package page
