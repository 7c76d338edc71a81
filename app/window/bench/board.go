package bench

import (
	"fmt"
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"bellout/app/desk"
	"bellout/app/window/look"
	"bellout/faults/judge"
	"bellout/model"
)

// boarder makes what is read above the fields, in one arrangement's sizes.
type boarder struct {
	bench *Bench
	size  sizes
}

func (d boarder) prose(text string, colour color.Color) *prose {
	return newProse(text, d.size.text, colour, fyne.TextStyle{})
}

func (d boarder) small(text string, colour color.Color) *prose {
	return newProse(text, d.size.small, colour, fyne.TextStyle{})
}

// signed puts a sign before a text.
func (d boarder) signed(s sign, colour color.NRGBA, text *prose) fyne.CanvasObject {
	high := text.size * 1.25
	return container.New(&leading{gap: text.size * 0.5, down: 1}, s.picture(colour, high), text)
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
		title = "TIPS NOTED"
	case byHand:
		title, more = "YOUR OWN TOUCH", ""
	case thinking:
		title, more, colour = "NEXT PROBE", "is being worked out; any two terminals can be written meanwhile", t.Soft
	case nothing:
		title, colour = "NO PROBE LEFT", t.Soft
	}
	if p := now.proposal; p != nil && p.Probe != nil {
		_, purpose := goalWords(p.Goal)
		more = purpose + "; " + gainWords(p)
	}
	head := newProse(title, d.size.head, colour, fyne.TextStyle{Bold: true})
	objects := []fyne.CanvasObject{head}
	if more != "" {
		objects[0] = container.New(&leading{gap: d.size.head * 0.7}, sideText(title, d.size.head, colour), newProse(more, d.size.small, t.Soft, fyne.TextStyle{}))
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

// before lists what to do to the machine first, and what to mind.
func (d boarder) before(now touch) []fyne.CanvasObject {
	t := look.Now()
	var objects []fyne.CanvasObject
	if p := now.proposal; p != nil && p.Probe != nil {
		noted := d.bench.desk.Conditions()
		if now.stage == proposed {
			for _, condition := range noted {
				if !holds(p.Probe.Conditions, condition) {
					objects = append(objects, d.signed(signBefore, t.Accent, newProse("Put back: "+backWords(condition)+".", d.size.text, t.Ink, fyne.TextStyle{Bold: true})))
				}
			}
		}
		for _, step := range p.Prepare {
			objects = append(objects, d.signed(signBefore, t.Accent, newProse(capital(step)+".", d.size.text, t.Ink, fyne.TextStyle{Bold: true})))
		}
		if p.Caution != "" {
			objects = append(objects, d.signed(signCaution, t.Warn, d.small(p.Caution, t.Warn)))
		}
		return objects
	}
	if now.stage != byHand {
		return nil
	}
	caution := "Plug out and in sight, capacitors discharged, 0 V measured between the two first."
	switch {
	case d.bench.onMains(now):
		caution = judge.MainsCaution
	case now.mode == model.ModeVoltsDC || now.mode == model.ModeVoltsAC:
		caution = cautionLive
	}
	return append(objects, d.signed(signCaution, t.Warn, d.small(caution, t.Warn)))
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
	var objects []fyne.CanvasObject
	for tip, ref := range now.tips {
		text, where, ink := ref.String(), d.bench.place(ref).Where(), color.Color(t.Ink)
		if ref == (model.TerminalRef{}) {
			text, where, ink = "nowhere yet", "", t.Soft
			if now.stage != byHand {
				continue
			}
		}
		if now.stage == proposed && d.bench.desk.Tip(desk.Tip(tip)) == ref {
			where = "stays where it is · " + where
		}
		objects = append(objects, container.New(&tipRow{d.size},
			newProbeTip(desk.Tip(tip), float32(int(d.size.ref*0.74))),
			newFitted(text, d.size.ref, ink, fyne.TextStyle{Monospace: true, Bold: true}),
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
	label := d.small("A good machine shows", t.Soft)
	if now.mode == model.ModeVoltsAC {
		return []fyne.CanvasObject{label, d.prose("The map says nothing of alternating volts.", t.Soft)}
	}
	if d.bench.expectedFor == "" {
		return []fyne.CanvasObject{label, newFitted("…", d.size.word, t.Soft, fyne.TextStyle{Bold: true}), d.small("being worked out", t.Soft)}
	}
	if d.bench.expectErr != nil {
		return []fyne.CanvasObject{label, d.prose(d.bench.expectErr.Error(), t.Bad)}
	}
	words, sure := shows(d.bench.expected)
	colour := color.Color(t.Ink)
	if !sure {
		colour = t.Warn
	}
	return []fyne.CanvasObject{label, newFitted(words, d.size.word, colour, fyne.TextStyle{Bold: true}), d.prose(throughWords(d.bench.expected), t.Ink)}
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
		objects = append(objects, container.New(&rows{gap: 0},
			newProse(answer.Shows+":", d.size.text, t.Ink, fyne.TextStyle{Bold: true}), d.prose(answer.Means+".", t.Ink)))
	}
	return objects
}

// answer says what the last reading means, in a frame: heavy round one that
// contradicts the map.
func (d boarder) answer() fyne.CanvasObject {
	t := look.Now()
	outcome := d.bench.desk.Outcome()
	if typed := d.bench.draft.waiting; typed != "" {
		return framed(t.Line, 1, t.Raised, d.size, d.signed(signWaiting, t.Soft, d.prose("Storing "+typed+" …", t.Soft)))
	}
	if outcome == nil {
		return nil
	}
	m := meaningOf(outcome.Outcome)
	lines := container.New(&rows{gap: 2},
		newFitted(m.word, d.size.word, m.colour, fyne.TextStyle{Bold: true}),
		d.small(fmt.Sprintf("reading %d · %s", outcome.Reading.Number, touchWords(outcome.Reading)), t.Soft),
		d.prose(outcome.Message, t.Ink))
	if outcome.Wire != "" {
		lines.Add(newProse("Wire "+outcome.Wire+" is on the map now.", d.size.text, t.Ink, fyne.TextStyle{Bold: true}))
	}
	if at, there := d.bench.findingOfOutcome(); there {
		finding := d.bench.desk.View().Report.Findings[at]
		about := strings.Join(append(append([]string{}, finding.Wires...), finding.Terminals...), ", ")
		lines.Add(newProse(fmt.Sprintf("Finding: %s at %s", finding.Rule, about), d.size.text, m.colour, fyne.TextStyle{Bold: true}))
		to := look.NewPress("To the finding", "Ctrl J", d.bench.toFinding)
		to.Primary = outcome.Outcome == judge.Contradicts
		lines.Add(container.NewHBox(to))
	}
	body := container.New(&leading{gap: d.size.text * 0.8, down: 2}, m.sign.picture(m.colour, d.size.word*1.55), lines)
	if outcome.Outcome == judge.Contradicts {
		return framed(t.Bad, 4, t.Raised, d.size, body)
	}
	return framed(t.Line, 1, t.Raised, d.size, body)
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
	return framed(t.Accent, 1.5, t.Raised, d.size, d.signed(signBefore, t.Accent, newProse(why, d.size.text*1.1, t.Ink, fyne.TextStyle{Bold: true})))
}
