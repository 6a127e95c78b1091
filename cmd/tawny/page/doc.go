// Package page is the local page: the whole job, skin to card and sheet, in a
// browser on the maker's own machine.
//
// What she has chosen is written in the address, comes with every request, and
// is read by [parseState], which takes nothing that could name a file. Between
// requests the server holds only the drawer, the open book and, for a while,
// the photos being measured. The jobs are those of package work, so what the
// page shows is what the commands print.
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
