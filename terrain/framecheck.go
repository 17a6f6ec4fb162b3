package terrain

import "errors"

// Check returns why a frame cannot be used: none, or one that nobody made. One of
// [NewFrame] can be.
func (f *Frame) Check() error {
	if f == nil || len(f.metric) == 0 {
		return errors.New("there is no frame, which says where cells lie; make one with NewFrame")
	}
	return nil
}
