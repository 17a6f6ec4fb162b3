// Package setting names, in messages, what a person may set.
//
// A message whose cure is a setting calls it by its key, such as elevation-crs. What people
// know it by only the program knows that they use: a command line says so with [CallThem],
// and its flags stand in every message, also in those that come from another process or out
// of a file, where an error is text and nothing else.
package setting

var called = func(key string) string { return key }

// CallThem has settings called what words returns for their keys. It is called once, before
// anything else of this module, and in every process of a program alike.
func CallThem(words func(key string) string) { called = words }

// Name is what a setting is called: its key, where nobody has said otherwise.
func Name(key string) string { return called(key) }
