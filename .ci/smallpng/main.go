// Command smallpng writes a picture as a PNG of few colors, for the README: a page of a sheet in
// less than 200 kB.
//
//	go run ./.ci/smallpng page.png small.png
package main

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"log"
	"os"
	"slices"
)

// Colors are told apart in steps of 5 of 255, and the most frequent are kept.
const (
	step       = 5
	mostColors = 250
)

func main() {
	log.SetFlags(0)
	if len(os.Args) != 3 {
		log.Fatal("smallpng: give a picture and the file to write")
	}
	if err := shrink(os.Args[1], os.Args[2]); err != nil {
		log.Fatal("smallpng: ", err)
	}
}

func shrink(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	img, err := png.Decode(in)
	if err != nil {
		return fmt.Errorf("%s: %w", from, err)
	}
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	defer out.Close()
	e := png.Encoder{CompressionLevel: png.BestCompression}
	if err := e.Encode(out, fewColors(img)); err != nil {
		return err
	}
	return out.Close()
}

// fewColors is an image in its most frequent colors.
func fewColors(img image.Image) *image.Paletted {
	b := img.Bounds()
	count := map[color.RGBA]int{}
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			count[rounded(img.At(x, y))]++
		}
	}
	var all []color.RGBA
	for c := range count {
		all = append(all, c)
	}
	slices.SortFunc(all, func(p, q color.RGBA) int {
		return cmp.Or(cmp.Compare(count[q], count[p]), cmp.Compare(p.R, q.R), cmp.Compare(p.G, q.G), cmp.Compare(p.B, q.B))
	})
	var colors color.Palette
	for _, c := range all[:min(len(all), mostColors)] {
		colors = append(colors, c)
	}
	out := image.NewPaletted(b, colors)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			out.Set(x, y, rounded(img.At(x, y)))
		}
	}
	return out
}

// rounded is a color in steps.
func rounded(c color.Color) color.RGBA {
	r, g, b, _ := c.RGBA()
	f := func(v uint32) uint8 { return uint8(min((int(v>>8)+step/2)/step*step, 255)) }
	return color.RGBA{f(r), f(g), f(b), 0xFF}
}
