package scripts

import (
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

// Run is letters side by side that are drawn alike.
type Run struct {
	Words    string  // in the order in which they are read
	Leftward bool    // they run from right to left
	Plain    bool    // left to the caller: their width is not set, and they have no glyphs
	Width    float64 // in parts of the letters' size
	face     *typeface
	placed   []placed
}

// placed is a glyph of a font in its place.
type placed struct {
	glyph font.GID
	at    Point
}

// Glyphs are the outlines of a run, from its left end.
func (r Run) Glyphs() []Glyph {
	if r.face == nil {
		return nil
	}
	r.face.Lock()
	defer r.face.Unlock()
	var out []Glyph
	for _, p := range r.placed {
		if outline, ok := r.face.face.GlyphDataOutline(p.glyph); ok && len(outline.Segments) > 0 {
			out = append(out, glyphOf(outline, r.face.em, p.at))
		}
	}
	return out
}

// run is a stretch of a line of one font, script and direction.
type run struct {
	start, end int
	level      int
	face       *typeface
	script     language.Script
}

// Set sets a line of letters that are known (see [Letters]); what is not is left out. Runs
// come in the order in which they stand, from the left.
func Set(words string, plain func(rune) bool) []Run {
	line := []rune(words)
	runs := stretches(line, plain)
	fromLeft(runs)
	out := make([]Run, len(runs))
	for i, r := range runs {
		out[i] = Run{Words: string(line[r.start:r.end]), Leftward: r.level%2 == 1, Plain: r.face == nil, face: r.face}
		if r.face != nil {
			out[i].Width, out[i].placed = r.shaped(line)
		}
	}
	return out
}

// stretches cuts a line where its font, script or direction changes.
func stretches(line []rune, plain func(rune) bool) []run {
	level := levels(line)
	var out []run
	for _, l := range letters(line, plain) {
		if !l.known {
			continue
		}
		r := run{l.start, l.start + len(l.runes), level[l.start], l.face, l.script}
		var last *run
		if len(out) > 0 {
			last = &out[len(out)-1]
		}
		if r.face == nil && r.level%2 == 1 {
			// The caller's letters run to the right alone: brackets would not be turned.
			var before *typeface
			if last != nil {
				before = last.face
			}
			r.face = faceFor(letter{runes: l.runes, script: language.Common}, before)
		}
		if last == nil || last.end != r.start || last.level != r.level || last.face != r.face {
			out = append(out, r)
			continue
		}
		switch {
		case r.script == language.Common || r.script == last.script || r.face == nil:
			last.end = r.end
		case last.script == language.Common:
			last.end, last.script = r.end, r.script
		default:
			out = append(out, r)
		}
	}
	return out
}

// shaped is how wide a stretch is, and its glyphs.
func (r run) shaped(line []rune) (width float64, glyphs []placed) {
	r.face.Lock()
	defer r.face.Unlock()
	b := r.shape(line)
	em := r.face.em
	for i, g := range b.Info {
		p := b.Pos[i]
		if g.Glyph != 0 { // an empty box
			glyphs = append(glyphs, placed{g.Glyph, Point{width + float64(p.XOffset)/em, -float64(p.YOffset) / em}})
		}
		width += float64(p.XAdvance) / em
	}
	return width, glyphs
}

// shape chooses and places the glyphs of a stretch, in units of its font. What stands
// around it decides how its ends join. The buffer is the font's.
func (r run) shape(line []rune) *harfbuzz.Buffer {
	b := r.face.buffer
	b.Clear()
	b.AddRunes(line, r.start, r.end-r.start)
	b.Props = harfbuzz.SegmentProperties{Language: "en", Script: r.script, Direction: harfbuzz.LeftToRight}
	if r.level%2 == 1 {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	b.Shape(r.face.shaper, nil)
	return b
}
