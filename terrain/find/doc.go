// Package find knows the services from which elevation may be had: a list of them, built in or the user's own, and how each is asked
// which rasters lie somewhere.
package find
