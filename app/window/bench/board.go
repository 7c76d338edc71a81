package bench

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults/judge"
	"bellout/model"
)

// boarder makes what is read above the fields, in one arrangement's sizes.
type boarder struct {
	bench *Bench
	size  sizes
	brief int  // 0: everything; from 1 on, what was answered gives way to the next touch
	past  bool // the next touch has begun: what the last one meant is brief now
}

func (d boarder) prose(text string, colour color.Color) *look.Paragraph {
	return look.NewParagraph(text, d.size.text, colour, fyne.TextStyle{})
}

func (d boarder) small(text string, colour color.Color) *look.Paragraph {
	return look.NewParagraph(text, d.size.small, colour, fyne.TextStyle{})
}

// signed puts a sign before a text.
func (d boarder) signed(s look.Sign, text *look.Paragraph) fyne.CanvasObject {
	size := text.TypeSize()
	return container.New(&look.Leading{Gap: size * 0.5, Down: 1}, s.Image(size*1.25), text)
}

// heading says how far this touch is, and what it is for.
func (d boarder) heading(now touch) []fyne.CanvasObject {
	t := look.Now()
	var title, more string
	colour := t.Accent
	switch now.stage {
	case proposed:
		title = "NEXT PROBE"
	case taken:
		title = "WHAT DOES IT SHOW?"
	case byHand:
		title, more = "YOUR OWN PROBE", ""
	case thinking:
		title, more, colour = "NEXT PROBE", "is being worked out; any two terminals can be written meanwhile", t.Soft
	case nothing:
		title, colour = "NO PROBE LEFT", t.Soft
		if now.proposal != nil && now.proposal.Live {
			title, colour = "HANDS OFF", t.Bad
		}
	}
	if p := now.proposal; p != nil && p.Probe != nil {
		_, purpose := goalWords(p.Goal)
		more = purpose + "; " + gainWords(p)
	}
	head := look.NewParagraph(title, d.size.head, colour, fyne.TextStyle{Bold: true})
	objects := []fyne.CanvasObject{head}
	if more != "" {
		objects[0] = container.New(&look.Leading{Gap: d.size.head * 0.7}, sideText(title, d.size.head, colour), look.NewParagraph(more, d.size.small, t.Soft, fyne.TextStyle{}))
	}
	if now.stage == nothing && now.proposal != nil {
		objects = append(objects, d.prose(now.proposal.Why, t.Ink))
	}
	return objects
}

// sideText is a line of bold type whose least width is its own.
func sideText(text string, size float32, colour color.Color) *canvas.Text {
	line := canvas.NewText(text, colour)
	line.TextSize, line.TextStyle = size, fyne.TextStyle{Bold: true}
	return line
}

// before lists what to do to the machine first.
func (d boarder) before(now touch) []fyne.CanvasObject {
	t := look.Now()
	var objects []fyne.CanvasObject
	if p := now.proposal; p != nil && p.Probe != nil {
		for _, condition := range append(append(model.Conditions{}, d.bench.desk.Conditions()...), d.bench.desk.ToPutBack()...) {
			if !holds(p.Probe.Conditions, condition) {
				objects = append(objects, d.signed(look.SignFirst, look.NewParagraph("Put back: "+backWords(condition)+".", d.size.text, t.Ink, fyne.TextStyle{Bold: true})))
			}
		}
		for _, step := range p.Prepare {
			objects = append(objects, d.signed(look.SignFirst, look.NewParagraph(capital(step)+".", d.size.text, t.Ink, fyne.TextStyle{Bold: true})))
		}
	}
	if now.stage == byHand {
		for _, step := range d.bench.toTakeOut(now) {
			objects = append(objects, d.signed(look.SignFirst, look.NewParagraph(capital(step)+".", d.size.text, t.Ink, fyne.TextStyle{Bold: true})))
		}
	}
	return objects
}

// cautions say what to mind at this touch.
func (d boarder) cautions(now touch) []fyne.CanvasObject {
	t := look.Now()
	if p := now.proposal; p != nil && p.Probe != nil {
		if p.Caution == "" {
			return nil
		}
		return []fyne.CanvasObject{d.signed(look.SignWarning, d.small(p.Caution, t.Warn))}
	}
	if now.stage != byHand {
		return nil
	}
	caution := "Plug out and in sight, capacitors discharged, 0 V measured between the two first."
	switch {
	case d.bench.onMains(now):
		caution = judge.MainsCaution
	case now.mode.Volts():
		caution = cautionLive
	}
	caution = strings.TrimSpace(caution + " " + d.bench.stayingWords(now))
	return []fyne.CanvasObject{d.signed(look.SignWarning, d.small(caution, t.Warn))}
}

func holds(list model.Conditions, condition model.Condition) bool {
	for _, other := range list {
		if other.String() == condition.String() {
			return true
		}
	}
	return false
}

func capital(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// tips say where each tip goes.
func (d boarder) tips(now touch) []fyne.CanvasObject {
	t := look.Now()
	drawn := float32(0.74) // the probe, in parts of the reference
	if d.brief == mostBrief {
		d.size.ref *= 0.8
		drawn = 0.35 // side by side the room is for the reference
	}
	var objects []fyne.CanvasObject
	for tip, ref := range now.tips {
		text, where, ink := ref.String(), d.bench.place(ref).Where(), color.Color(t.Ink)
		if ref == (model.TerminalRef{}) {
			text, where, ink = "nowhere yet", "", t.Soft
			if now.stage != byHand {
				continue
			}
		}
		if now.failed[tip] {
			text, where, ink = d.bench.draft.leads[tip], "not found; type another point", t.Bad
		} else if typed := d.bench.draft.completed[tip]; typed != "" && now.stage != proposed {
			where = "completed from “" + typed + "” · " + where
		}
		if now.stage == proposed && d.bench.desk.Tip(session.Tip(tip)) == ref {
			where = "stays there · " + where
		}
		if d.brief == mostBrief {
			where = ""
		}
		objects = append(objects, container.New(&tipRow{d.size},
			newProbeTip(session.Tip(tip), float32(int(d.size.ref*drawn))),
			look.NewFitted(text, d.size.ref, ink, fyne.TextStyle{Monospace: true, Bold: true}),
			d.small(where, t.Soft)))
	}
	return objects
}

// good says what a good machine shows there, and through what.
func (d boarder) good(now touch) []fyne.CanvasObject {
	t := look.Now()
	if !now.whole() || now.stage == thinking || now.stage == nothing {
		return nil
	}
	label := d.small("Expect", t.Soft)
	if now.mode == model.ModeVoltsAC {
		return []fyne.CanvasObject{label, d.prose("No expected value. Under about 1 % of the rail is usual.", t.Soft)}
	}
	if d.bench.expectedFor == "" {
		return []fyne.CanvasObject{label, look.NewFitted("…", d.size.word, t.Soft, fyne.TextStyle{Bold: true}), d.small("being worked out", t.Soft)}
	}
	if d.bench.expectErr != nil {
		return []fyne.CanvasObject{label, d.prose(d.bench.expectErr.Error(), t.Bad)}
	}
	words, sure := shows(d.bench.expected)
	colour := color.Color(t.Ink)
	if !sure {
		colour = t.Warn
	}
	return []fyne.CanvasObject{label, look.NewFitted(words, d.size.word, colour, fyne.TextStyle{Bold: true}), d.prose(d.bench.throughWords(d.bench.expected), t.Ink)}
}

// reason says why this probe, and what each answer would mean.
func (d boarder) reason(now touch) []fyne.CanvasObject {
	t := look.Now()
	p := now.proposal
	if p == nil || p.Probe == nil {
		return nil
	}
	objects := []fyne.CanvasObject{d.small("Why", t.Soft), d.prose(p.Reason, t.Ink)}
	for _, answer := range p.Answers {
		objects = append(objects, container.New(&look.Rows{Gap: 0},
			look.NewParagraph(answer.Shows+":", d.size.text, t.Ink, fyne.TextStyle{Bold: true}), d.prose(answer.Means+".", t.Ink)))
	}
	return objects
}

// framed puts a frame round an object.
func framed(line color.Color, width float32, ground color.Color, size sizes, inside fyne.CanvasObject) fyne.CanvasObject {
	frame := canvas.NewRectangle(ground)
	frame.StrokeColor, frame.StrokeWidth, frame.CornerRadius = line, width, 4
	by := size.text*0.4 + width
	return container.New(&stacked{}, frame, container.New(layout.NewCustomPaddedLayout(by, by, by+2, by+2), inside))
}

// stacked is the toolkit's stack, but passes a width down before it asks for the
// height.
type stacked struct{}

func (stacked) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, object := range objects {
		object.Resize(size)
		object.Move(fyne.NewPos(0, 0))
	}
}

func (stacked) MinSize(objects []fyne.CanvasObject) fyne.Size {
	least := fyne.NewSize(0, 0)
	for _, object := range objects {
		least = least.Max(object.MinSize())
	}
	return least
}

// blocked says why nothing can be logged, and what to do about it.
func (d boarder) blocked(why string) fyne.CanvasObject {
	t := look.Now()
	return framed(t.Accent, 1.5, t.Raised, d.size, d.signed(look.SignFirst, look.NewParagraph(why, d.size.text*1.1, t.Ink, fyne.TextStyle{Bold: true})))
}
