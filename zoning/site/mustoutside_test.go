package site_test

// must is a value that comes without an error.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
