// Package page is the local page: the whole job, skin to card and sheet, in a
// browser on the maker's own machine.
//
// What she has chosen is written in the address and posted as a job's request
// document; the answer is the job's result document, so what the page shows is
// what the commands print. The page lends its jobs only the files that were sent
// in, so no request reaches the disk. Between requests the server holds only the
// drawer, the open book and, for a while, those files.
//
// A moving slider asks for two things: the flat look of the powders so far,
// worked out anew in a few milliseconds, and its picture. Once it rests the
// whole drawer is searched. Searches and exports run one at a time, so that a
// processor is left for the sliders, and end when their page moves on.
//
// Who is let in is decided in one place, [guard]: only the addresses the
// server was given as Host and Origin, a session had for a key that works once,
// and a token for everything that is not a plain view. Other accounts of the
// machine reach the port too, so the session is asked for there as on the
// network.
package page
