package raster

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode"

	"github.com/airbusgeo/godal"
)

// ErrNotHeights says that a raster holds something else than heights: slope, a shaded
// picture, heights of growth. Read as ground, it would be mapped in silence.
var ErrNotHeights = errors.New("it holds no heights of ground")

const (
	cureName = "give the elevation it was made from; if it does hold heights, call the file something else"
	// A unit would not do: what is derived from heights over a vertical CRS reads as
	// metres too.
	cureTitle = "give the elevation it was made from; if it does hold heights, say so in the file (gdal_edit.py -mo TITLE=elevation FILE)"
)

// checkHeights refuses a raster whose header says that it holds no heights. The band's
// unit must have been read.
func (r *Raster) checkHeights() error {
	if isAngle(r.unitText) {
		return fmt.Errorf("%w: its unit is %q, as of a slope; give the elevation it was made from", ErrNotHeights, r.unitText)
	}
	for _, text := range r.words() {
		if what := measureIn(text); what != "" {
			return fmt.Errorf("%w: it says of itself %q, which is %s; %s", ErrNotHeights, shorten(text), what, "give the elevation it was made from")
		}
	}
	if what := measureNamed(path.Base(strings.ReplaceAll(r.Source.Path, "\\", "/"))); what != "" {
		return fmt.Errorf("%w: by its name it is %s; %s", ErrNotHeights, what, cureName)
	}
	const int8 = 14 // GDT_Int8, since GDAL 3.7
	if t := r.band.Structure().DataType; (t == godal.Byte || t == int8) && !r.saysHeights() {
		return fmt.Errorf("%w: its values are of 8 bits, as those of shaded relief and classes are; %s", ErrNotHeights, cureTitle)
	}
	return nil
}

// saysHeights reports whether a raster speaks of heights of ground in so many words.
func (r *Raster) saysHeights() bool {
	return slices.ContainsFunc(r.words(), func(text string) bool {
		return measureIn(text) == "" && slices.ContainsFunc(wordsOf(text), func(w string) bool { return slices.Contains(heightWords, w) })
	})
}

// isAngle reports whether a unit is one of slope or direction.
func isAngle(unit string) bool {
	u := strings.ToLower(strings.Trim(unit, " ()[]."))
	for _, angle := range []string{"percent", "pct", "%", "degree", "deg", "°", "radian", "rad", "gradian", "permil", "‰", "rise/run", "m/m", "slope"} {
		if u == angle || u == angle+"s" || strings.HasPrefix(u, angle+" ") || strings.HasSuffix(u, " "+angle) {
			return true
		}
	}
	return false
}

// words are the texts in which a raster says what it holds.
func (r *Raster) words() []string {
	out := []string{r.band.Description()}
	for _, tags := range []map[string]string{r.band.Metadatas(), r.ds.Metadatas()} {
		var keys []string
		for k := range tags {
			low := strings.ToLower(k)
			for _, part := range []string{"description", "title", "long_name", "standard_name", "layer_name"} {
				if strings.Contains(low, part) {
					keys = append(keys, k)
					break
				}
			}
		}
		slices.Sort(keys)
		for _, k := range keys {
			out = append(out, tags[k])
		}
	}
	return out
}

// measures are words for what is derived from heights, as they stand in names.
var measures = map[string]string{
	"slope": "a slope", "slopes": "a slope", "aspect": "an aspect", "aspects": "an aspect",
	"hillshade": "shaded relief", "hillshd": "shaded relief", "hillsh": "shaded relief", "shaded": "shaded relief", "shadedrelief": "shaded relief",
	"ruggedness": "ruggedness", "roughness": "roughness", "tri": "a ruggedness index (TRI)", "tpi": "a position index (TPI)",
	"curvature": "a curvature", "twi": "a wetness index", "chm": "heights of growth", "canopy": "heights of growth",
	"ndsm": "heights of growth", "ndhm": "heights of growth", "hag": "heights above the ground",
}

// anywhere are those of them that are told in the middle of a longer word.
var anywhere = []string{"hillshade", "shadedrelief", "ruggedness", "roughness", "curvature", "canopyheight"}

// heightWords are words for heights of ground: text that begins with one speaks of them.
var heightWords = []string{"elevation", "elev", "dem", "dtm", "heights", "altitude", "terrain", "earth", "ground"}

// besidePlaces are words that make a place's name of the one beside them.
var besidePlaces = []string{"county", "counties", "co", "city", "cities", "state", "valley", "lake", "lakes", "river", "rivers", "creek", "north", "south", "east", "west", "western", "eastern"}

// measureIn finds what a text says that a raster holds; "" where it says nothing, or
// speaks of heights first.
func measureIn(text string) string {
	for _, w := range wordsOf(text) {
		if slices.Contains(heightWords, w) {
			return ""
		}
		if what := measureOf(w); what != "" {
			return what
		}
	}
	return ""
}

// measureNamed finds what a file's name says that it holds, such as dem_slope.tif; ""
// where it says nothing, or what it says may be a place: north_slope, tri_county.
func measureNamed(base string) string {
	words := wordsOf(strings.TrimSuffix(base, path.Ext(base)))
	for i, w := range words {
		what := measureOf(w)
		if what == "" || i > 0 && slices.Contains(besidePlaces, words[i-1]) || i+1 < len(words) && slices.Contains(besidePlaces, words[i+1]) {
			continue
		}
		return what
	}
	return ""
}

func measureOf(word string) string {
	if what := measures[word]; what != "" {
		return what
	}
	for _, m := range anywhere {
		if strings.Contains(word, m) {
			if what := measures[m]; what != "" {
				return what
			}
			return "heights of growth"
		}
	}
	return ""
}

// wordsOf parts a text or a name into its words in small letters: at what is no letter,
// and where a capital follows a small one.
func wordsOf(text string) []string {
	var spaced strings.Builder
	small := false
	for _, c := range text {
		if small && unicode.IsUpper(c) {
			spaced.WriteByte(' ')
		}
		small = unicode.IsLower(c)
		spaced.WriteRune(unicode.ToLower(c))
	}
	return strings.FieldsFunc(spaced.String(), func(c rune) bool { return !unicode.IsLetter(c) })
}
