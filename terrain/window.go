package terrain

// Window is a stretch of cells: Col0 ≤ col < Col1, Row0 ≤ row < Row1. It may
// reach beyond the raster.
type Window struct{ Col0, Row0, Col1, Row1 int }

// Cols and Rows are the window's size.
func (w Window) Cols() int { return w.Col1 - w.Col0 }

func (w Window) Rows() int { return w.Row1 - w.Row0 }

// Empty reports whether the window holds no cell.
func (w Window) Empty() bool { return w.Col1 <= w.Col0 || w.Row1 <= w.Row0 }

// In is the part of w that lies in v.
func (w Window) In(v Window) Window {
	return NewWindow(max(w.Col0, v.Col0), max(w.Row0, v.Row0), min(w.Col1, v.Col1), min(w.Row1, v.Row1))
}

// Moved shifts a window.
func (w Window) Moved(cols, rows int) Window {
	return NewWindow(w.Col0+cols, w.Row0+rows, w.Col1+cols, w.Row1+rows)
}

// Grown is a window with n more cells on every side.
func (w Window) Grown(n int) Window {
	return NewWindow(w.Col0-n, w.Row0-n, w.Col1+n, w.Row1+n)
}

// NewWindow is the window from one corner, north-west, to another, south-east.
func NewWindow(col0, row0, col1, row1 int) Window { return Window{col0, row0, col1, row1} }

// Middle is the middle of a window, at most so many cells along each side.
func (w Window) Middle(most int) Window {
	if over := w.Cols() - most; over > 0 {
		w.Col0, w.Col1 = w.Col0+over/2, w.Col0+over/2+most
	}
	if over := w.Rows() - most; over > 0 {
		w.Row0, w.Row1 = w.Row0+over/2, w.Row0+over/2+most
	}
	return w
}
