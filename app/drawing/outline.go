package drawing

import (
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Verb is one step of an outline.
type Verb uint8

// The steps: Move begins a closed contour and takes one point, Straight leads to
// one point, Curve bends by a first point towards a second.
const (
	Move Verb = iota
	Straight
	Curve
)

// Step leads from the point before it. Points are in parts of the type's size,
// from the glyph's origin on the base line, y downward.
type Step struct {
	Verb Verb
	A, B Point // B for Curve only
}

// outlines keeps every outline that was asked for: a document has a few hundred.
var outlines = struct {
	sync.RWMutex
	kept   map[outlineKey][]Step
	buffer sfnt.Buffer // under the writers' lock
}{kept: map[outlineKey][]Step{}}

type outlineKey struct {
	face Face
	r    rune
}

// maxOutlines bounds what is kept, should a text hold every character there is.
const maxOutlines = 20000

// Outline returns the contours of a character in a face, to be filled where they
// wind around; empty for a blank. The box and number of a stand-in is an outline
// like any other. The slice belongs to the package: read it only. It may be
// called from several goroutines.
func Outline(r rune, face Face) []Step {
	key := outlineKey{sound(face), r}
	outlines.RLock()
	steps, known := outlines.kept[key]
	outlines.RUnlock()
	if known {
		return steps
	}
	glyph := Look(r, face)
	outlines.Lock()
	defer outlines.Unlock()
	if len(outlines.kept) >= maxOutlines {
		clear(outlines.kept)
	}
	steps = trace(glyph, r, sound(face))
	outlines.kept[key] = steps
	return steps
}

func trace(glyph Glyph, r rune, face Face) []Step {
	t := &typefaces[face]
	switch glyph.Source {
	case Own:
		return contours(t.own, glyph)
	case Fallback:
		return contours(t.other, glyph)
	case StandIn:
		return standIn(r, glyph.Advance)
	}
	return nil
}

// contours reads a glyph's outline out of a typeface. A glyph that cannot be read
// is drawn as nothing: the embedded files are known good, a test reads them all.
func contours(file *sfnt.Font, glyph Glyph) []Step {
	segments, err := file.LoadGlyph(&outlines.buffer, sfnt.GlyphIndex(glyph.Index), fixed.I(ems), nil)
	if err != nil {
		return nil
	}
	at := func(p fixed.Point26_6) Point {
		const unit = 64 * ems
		return Point{float64(p.X)/unit + float64(glyph.Shift), float64(p.Y) / unit}
	}
	steps := make([]Step, 0, len(segments))
	var pen Point
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			pen = at(s.Args[0])
			steps = append(steps, Step{Verb: Move, A: pen})
		case sfnt.SegmentOpLineTo:
			pen = at(s.Args[0])
			steps = append(steps, Step{Verb: Straight, A: pen})
		case sfnt.SegmentOpQuadTo:
			pen = at(s.Args[1])
			steps = append(steps, Step{Verb: Curve, A: at(s.Args[0]), B: pen})
		case sfnt.SegmentOpCubeTo: // TrueType outlines have none; its chord, then
			pen = at(s.Args[2])
			steps = append(steps, Step{Verb: Straight, A: pen})
		}
	}
	return steps
}

// Heights of type in parts of its size: those of the regular face, for who
// centres a line of text in a box.
var (
	CapHeight = sync.OnceValue(func() float64 { return metric(func(m font.Metrics) fixed.Int26_6 { return m.CapHeight }) })
	XHeight   = sync.OnceValue(func() float64 { return metric(func(m font.Metrics) fixed.Int26_6 { return m.XHeight }) })
)

func metric(of func(font.Metrics) fixed.Int26_6) float64 {
	readTypefaces()
	var buffer sfnt.Buffer
	metrics, err := typefaces[Regular].own.Metrics(&buffer, fixed.I(ems), font.HintingNone)
	if err != nil {
		return 0.7 // common practice
	}
	return math.Abs(float64(of(metrics))) / (64 * ems)
}

// Quarter is how far the control points of a cubic curve lie from its ends, in
// radii, where the curve stands for a quarter of a circle: 4/3 (sqrt(2) - 1), off
// by less than 3 in 10,000 (from memory).
const Quarter = 0.5522847498
