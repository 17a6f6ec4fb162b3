package page

import (
	"reflect"
	"unsafe"
)

// bytesOf is how much memory is reached from some values: every array, once, however it is
// reached, as large as it was allocated. What functions hold is not seen. Nothing of it may be
// changed meanwhile.
func bytesOf(roots ...any) int64 {
	w := &weighing{seen: map[visited]bool{}}
	for _, r := range roots {
		w.within(reflect.ValueOf(r))
	}
	return w.bytes
}

type weighing struct {
	bytes int64
	seen  map[visited]bool
}

// visited is memory that was counted: as an array of one type it may begin where as
// another it does too.
type visited struct {
	at unsafe.Pointer
	of reflect.Type
}

func (w *weighing) first(v reflect.Value) bool {
	at := visited{v.UnsafePointer(), v.Type()}
	if at.at == nil || w.seen[at] {
		return false
	}
	w.seen[at] = true
	return true
}

// within counts what a value points to; its own bytes are those of what it lies in.
func (w *weighing) within(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if w.first(v) {
			w.bytes += int64(v.Type().Elem().Size())
			w.within(v.Elem())
		}
	case reflect.Slice:
		if w.first(v) {
			w.bytes += int64(v.Cap()) * int64(v.Type().Elem().Size())
			w.each(v)
		}
	case reflect.Array:
		w.each(v)
	case reflect.String:
		w.bytes += int64(v.Len())
	case reflect.Interface:
		if !v.IsNil() {
			w.bytes += int64(v.Elem().Type().Size())
			w.within(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			w.within(v.Field(i))
		}
	case reflect.Map:
		if w.first(v) {
			w.pairs(v)
		}
	}
}

func (w *weighing) each(v reflect.Value) {
	if !points(v.Type().Elem()) {
		return
	}
	for i := range v.Len() {
		w.within(v.Index(i))
	}
}

func (w *weighing) pairs(v reflect.Value) {
	pair := int64(v.Type().Key().Size() + v.Type().Elem().Size())
	w.bytes += 2 * pair * int64(v.Len()) // tables are half full at worst
	for i := v.MapRange(); i.Next(); {
		w.within(i.Key())
		w.within(i.Value())
	}
}

// points reports whether values of a type may point to others.
func points(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.String, reflect.Interface, reflect.Map:
		return true
	case reflect.Array:
		return points(t.Elem())
	case reflect.Struct:
		for i := range t.NumField() {
			if points(t.Field(i).Type) {
				return true
			}
		}
	}
	return false
}
