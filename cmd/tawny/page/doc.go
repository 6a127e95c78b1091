// Package page is the local page: the whole job, skin to card and sheet, in a
// browser on the maker's own machine.
//
// The page holds no state between requests. What she has chosen is written in
// the address, comes with every request, and is read by [parseState], which
// takes nothing that could name a file. The jobs are those of package work, so
// what the page shows is what the commands print.
//
// Who is let in is decided in one place, [guard]: only the addresses the
// server was given as Host and Origin, a token for everything that is not a
// plain view, and, for a phone on the same network, a key that works once.
package page
