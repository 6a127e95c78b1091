// Package work does tawny's jobs: one request and one result for each, in
// words and numbers a form or a command line can fill in. A result is what
// --json prints. The commands and the page call the same functions, so that
// they can never disagree.
package job
