// Package job holds what tawny does. A [Job] is a request document and a result
// document: the request is fields in groups (field.go, groups.go), each declared
// once, with rules across them (Field.Not, Group.Check); from these come the flags, the
// grouped help, the completion, the checks, the request's JSON and what the page
// posts. A face, the command line or the page, fills a [Doc], lends an [Env] and
// shows the [Result]. A job reads only the files its Env lends it.
package job
