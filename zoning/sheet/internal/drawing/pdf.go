package drawing

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Document says what a PDF is.
type Document struct {
	Title string
	Lang  string    // BCP 47
	Made  time.Time // the caller's: nothing here asks the clock
}

const family = "Go"

// WritePDF writes pages as a PDF 1.x file with the letters of its fonts that it
// uses.
func WritePDF(w io.Writer, d Document, pages []Page) error {
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt"})
	f.SetCatalogSort(true)
	f.SetCreationDate(d.Made)
	f.SetModificationDate(d.Made)
	f.SetTitle(shortLetters(Written(d.Title)), true)
	f.SetLang(d.Lang)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.AddUTF8FontFromBytes(family, "", regular().file)
	f.AddUTF8FontFromBytes(family, "B", bold().file)
	widths := map[int]bool{}
	for _, p := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.Width, Ht: p.Height})
		f.RawWriteStr("1 J 1 j") // round ends and joints
		for _, s := range p.Shapes {
			switch s := s.(type) {
			case Path:
				drawPath(f, p.Height, s)
			case Text:
				drawText(f, p.Height, s)
			case Picture:
				drawPicture(f, s, widths)
			}
		}
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("the PDF cannot be written: %w", err)
	}
	return nil
}

// drawPicture draws a picture. The library puts pictures of one width into the file in no order, so
// that each gets a width of its own: columns beyond its last, which are cut off.
func drawPicture(f *fpdf.Fpdf, p Picture, widths map[int]bool) {
	wide := p.Image.Rect.Dx()
	for widths[wide] {
		wide++
	}
	widths[wide] = true
	box := p.Box
	more := float64(wide-p.Image.Rect.Dx()) / float64(p.Image.Rect.Dx())
	if more > 0 {
		p.Image = widened(p.Image, wide)
		f.ClipRect(box.Left, box.Top, box.Width(), box.Height(), false)
		defer f.ClipEnd()
	}
	name, kind := fmt.Sprint("picture", len(widths)), fpdf.ImageOptions{ImageType: "png"}
	f.RegisterImageOptionsReader(name, kind, bytes.NewReader(p.png()))
	f.ImageOptions(name, box.Left, box.Top, box.Width()*(1+more), box.Height(), false, kind, 0, "")
}

// widened is an image with its last column again, up to a width.
func widened(img *image.Paletted, wide int) *image.Paletted {
	out := image.NewPaletted(image.Rect(0, 0, wide, img.Rect.Dy()), img.Palette)
	for y := range img.Rect.Dy() {
		row, to := img.Pix[y*img.Stride:][:img.Rect.Dx()], out.Pix[y*out.Stride:][:wide]
		for i := copy(to, row); i < wide; i++ {
			to[i] = row[len(row)-1]
		}
	}
	return out
}

// drawText writes a line in the Go fonts, and outlines of what is beyond them under text
// that is not seen, to be found and copied.
func drawText(f *fpdf.Fpdf, height float64, t Text) {
	pieces := t.pieces()
	if pieces == nil {
		plainText(f, t)
	}
	for _, p := range pieces {
		if p.plain {
			plainText(f, p.Text)
			continue
		}
		for _, g := range p.glyphs {
			drawPath(f, height, g)
		}
		hiddenText(f, p)
	}
}

// hiddenText writes letters in the order in which they stand, squeezed to the piece's
// width. It has none beyond U+FFFF, which the library takes for several.
func hiddenText(f *fpdf.Fpdf, p piece) {
	letters := []rune(p.Words)
	if p.leftward {
		slices.Reverse(letters)
	}
	if slices.Max(letters) > 0xFFFF {
		return
	}
	p.Words = string(letters)
	setFont(f, p.Text)
	wide := f.GetStringWidth(p.Words)
	if wide <= 0 {
		return
	}
	f.RawWriteStr(fmt.Sprintf("3 Tr %.1f Tz", 100*p.width/wide))
	f.Text(p.At.X, p.At.Y, p.Words)
	f.RawWriteStr("0 Tr 100 Tz")
}

func plainText(f *fpdf.Fpdf, t Text) {
	setFont(f, t)
	f.Text(t.left(), t.At.Y, Written(t.Words))
}

func setFont(f *fpdf.Fpdf, t Text) {
	style := ""
	if t.Bold {
		style = "B"
	}
	f.SetFont(family, style, t.Size)
	f.SetTextColor(int(t.Colour.R), int(t.Colour.G), int(t.Colour.B))
}

// shortLetters is text with [Missing] for letters beyond U+FFFF: the library takes the bytes
// of a letter for three at most.
func shortLetters(words string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF {
			return Missing
		}
		return r
	}, words)
}

// drawPath writes the operators of PDF 32000-1, 8.5 by itself: the library has
// no path of several lines filled as one.
func drawPath(f *fpdf.Fpdf, height float64, p Path) {
	filled, drawn := p.Fill.Opacity > 0, p.Stroke.Opacity > 0 && p.Width > 0
	opacity := 1.0
	if filled {
		opacity = p.Fill.Opacity
		f.SetFillColor(int(p.Fill.Colour.R), int(p.Fill.Colour.G), int(p.Fill.Colour.B))
	}
	if drawn {
		if !filled {
			opacity = p.Stroke.Opacity
		}
		f.SetDrawColor(int(p.Stroke.Colour.R), int(p.Stroke.Colour.G), int(p.Stroke.Colour.B))
		f.SetLineWidth(p.Width)
		f.SetDashPattern(append([]float64{}, p.Dash...), 0)
	}
	if opacity < 1 {
		f.SetAlpha(opacity, "Normal")
		defer f.SetAlpha(1, "Normal")
	}
	operator := map[[2]bool]string{{true, false}: "f", {false, true}: "S", {true, true}: "B"}[[2]bool{filled, drawn}]
	if operator == "" {
		return
	}
	var b []byte
	steps := p.steps()
	number := func(v float64) {
		b = strconv.AppendFloat(b, math.Round(v*steps)/steps, 'f', -1, 64)
		b = append(b, ' ')
	}
	for _, line := range p.Lines {
		for i, at := range line {
			number(at.X)
			number(height - at.Y)
			if i == 0 {
				b = append(b, "m "...)
			} else {
				b = append(b, "l "...)
			}
		}
		if p.Closed {
			b = append(b, "h "...)
		}
	}
	if len(b) > 0 {
		f.RawWriteStr(string(append(b, operator...)))
	}
}
