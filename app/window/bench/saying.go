package bench

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults/judge"
	"bellout/model"
)

// saidKind says what the line under the fields is.
type saidKind int

const (
	saidNothing saidKind = iota // the hint of the moment takes its place
	saidHint
	saidWrong
	saidCaution
)

// saying is the line under the fields: what Enter does, or what is wrong.
type saying struct {
	widget.BaseWidget
	kind saidKind
	own  bool // a hint that nobody asked for
	size sizes
	head *look.Paragraph // what was understood of what is typed
	text *look.Paragraph
	sign *canvas.Image
	body *fyne.Container
}

func newSaying(size sizes) *saying {
	s := &saying{size: size, text: look.NewParagraph("", size.small, look.Now().Soft, fyne.TextStyle{})}
	s.sign = look.SignRefused.Image(size.small * 1.3)
	s.head = look.NewParagraph("", size.head*1.3, look.Now().Ink, fyne.TextStyle{Bold: true})
	s.head.Hide()
	s.body = container.New(&look.Rows{Gap: 2}, s.head, container.New(&look.Leading{Gap: 7, Down: 1}, s.sign, s.text))
	s.ExtendBaseWidget(s)
	return s
}

// Resize passes the width on, so that the text wraps before anybody asks how
// high it is.
func (s *saying) Resize(size fyne.Size) {
	s.BaseWidget.Resize(size)
	s.body.Resize(size)
}

// MinSize is that of the text.
func (s *saying) MinSize() fyne.Size { return s.body.MinSize() }

// CreateRenderer draws the sign and the text.
func (s *saying) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(s.body) }

// take shows what was understood of what is typed; it says whether anything is
// different.
func (s *saying) take(now taking) bool {
	if s.head.Text() == now.words {
		return false
	}
	t := look.Now()
	ink := color.Color(t.Ink)
	if now.asks || now.live {
		ink = t.Warn
	}
	s.head.Set(now.words, ink)
	s.head.Hidden = now.words == ""
	return true
}

// set changes the line; it says whether anything is different.
func (s *saying) set(kind saidKind, own bool, text string) bool {
	if s.kind == kind && s.own == own && s.text.Text() == text {
		return false
	}
	t := look.Now()
	s.kind, s.own = kind, own
	mark, size, ink := look.SignFirst, s.size.small, color.Color(t.Soft)
	switch kind {
	case saidWrong:
		mark, size, ink = look.SignRefused, s.size.text, t.Bad
	case saidCaution:
		mark, ink = look.SignWarning, t.Warn
	}
	s.sign.Resource = mark.Resource(t.Palette)
	s.text.SetIn(text, size, ink)
	s.sign.Refresh()
	return true
}

// say puts a line under the fields; nothing brings the hint of the moment back.
func (p *panel) say(kind saidKind, text string) {
	if kind == saidNothing {
		p.hint(p.bench.touch())
		return
	}
	now := p.bench.taking()
	if now.words == text { // said once
		now = taking{}
	}
	taken := p.said.take(now)
	if p.said.set(kind, false, text) || taken {
		p.layAgain()
	}
}

// hint says what Enter does now.
func (p *panel) hint(now touch) {
	kind, text := p.bench.hintText(now)
	taken := p.said.take(p.bench.taking())
	if p.said.set(kind, true, text) || taken {
		p.layAgain()
	}
}

// hintAgain brings the hint of the moment up to date, where one is shown: what
// Enter does goes by where the caret is.
func (p *panel) hintAgain() {
	if p.said.kind == saidNothing || p.said.own {
		p.hint(p.bench.touch())
	}
}

// atValue is true where Enter goes to the value.
func (b *Bench) atValue() bool {
	if b.room.Canvas == nil || b.panel == nil {
		return true
	}
	canvas := b.room.Canvas()
	return canvas == nil || canvas.Focused() == nil || canvas.Focused() == b.panel.value
}

// whatEnterStores says what Enter does with a value that can be read.
func (b *Bench) whatEnterStores(now touch) string {
	switch {
	case b.refused() != "":
		return "Nothing can be stored in this file."
	case b.desk.Tip(session.Red) == (model.TerminalRef{}) || b.desk.Tip(session.Black) == (model.TerminalRef{}):
		if now.stage == proposed {
			return "F6 notes the tips where the probe is proposed; then Enter stores it."
		}
		return "Write where the other tip is; then Enter stores it."
	case now.stage == proposed:
		return "F6 notes the tips where the probe is proposed; Enter asks before it stores one more of the old place."
	}
	return "Enter stores it."
}

func (b *Bench) hintText(now touch) (saidKind, string) {
	for _, failed := range b.draft.failed {
		if failed != "" {
			return saidWrong, failed
		}
	}
	const usual = "b beep · s silent · OL · 12.5 · 4.7k · 1M · 11.98 V; then rising or falling, and a note."
	typed := strings.TrimSpace(b.draft.value)
	if typed != "" {
		entry, err := b.desk.ReadEntry(typed)
		switch {
		case err != nil:
			if _, there := b.exact(typed); there {
				if _, sure := b.tipFor(); !sure {
					return saidHint, "Ctrl L puts the red tip there, Ctrl K the black one."
				}
				return saidHint, "Enter puts the tip there; then what the meter shows."
			}
			return saidHint, usual
		case entry.Mode.Volts() && b.onMains(now):
			return saidCaution, judge.MainsCaution
		case entry.Mode.Volts():
			return saidCaution, b.whatEnterStores(now) + " " + cautionLive
		}
		return saidHint, b.whatEnterStores(now)
	}
	if b.room.Canvas != nil && b.panel != nil && b.room.Canvas() != nil && b.room.Canvas().Focused() == b.panel.readings {
		return saidHint, "In the list: the arrows choose a reading, Enter strikes it out; Ctrl M goes back to SHOWS."
	}
	if b.offersAgain(now) && b.draft.at != atRed {
		return saidHint, "Enter makes the same touch again, with firm tips; F6 takes the next probe."
	}
	switch now.stage {
	case noMachine:
		return saidHint, "Probes are logged here once there is a machine."
	case proposed:
		if b.refused() != "" {
			return saidHint, "Read only. You can still type where tips are, to look up expected values."
		}
		if !b.atValue() {
			return saidHint, "F6: use the suggested probe. Or type where this tip is."
		}
		return saidHint, "Press Enter to use this probe, or type your own two points."
	case byHand:
		if !now.whole() {
			return saidHint, "Write where the other tip is: a name, or words of its title, zone or wire."
		}
	case thinking, nothing:
		return saidHint, "Write where your tips are: a name, or words of its title, zone or wire; then what the meter shows."
	}
	return saidHint, usual
}
