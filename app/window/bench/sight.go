package bench

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bellout/app/window/look"
)

// How brief the board is: from where on what was answered is one line, from where
// on the tips stand before everything but that and an alarm, and where they are
// side by side, without what is beside them on the machine.
const (
	briefLine = 3
	briefTips = 4
	mostBrief = 5
)

// fillBoard puts what is read together: an alarm, then what was answered, since
// that is what the eye comes back for, then the touch, then the reasons. What
// was answered is shortened until both tips are in sight.
func (p *panel) fillBoard(now touch) {
	p.brief = 0
	if p.tight {
		p.brief = 1
	}
	for {
		upper, aside, seen := p.boardObjects(now)
		if p.brief < mostBrief && p.boardSize.Height > 0 {
			high := -p.size.text * 0.5
			for _, object := range upper[:seen] {
				high += look.HeightAt(object, p.boardSize.Width) + p.size.text*0.5
			}
			if high > p.boardSize.Height {
				p.brief++
				continue
			}
		}
		p.upper.Objects, p.aside.Objects = upper, aside
		return
	}
}

// boardObjects returns what is read, and how many of upper must be in sight.
func (p *panel) boardObjects(now touch) (upper, aside []fyne.CanvasObject, seen int) {
	d := boarder{bench: p.bench, size: p.size, brief: p.brief, past: now.stage == taken || now.stage == byHand}
	for _, why := range []string{p.bench.blocked(), p.bench.refused()} {
		if why != "" && p.brief < 2 {
			upper = append(upper, d.blocked(why))
		}
	}
	if alarm := d.alarm(now); alarm != nil {
		upper = append(upper, alarm)
	}
	answer := d.answer()
	switch {
	case answer == nil || p.size.alone || d.told(now):
	case p.brief < briefLine, p.bench.draft.waiting != "", p.bench.desk.Outcome() == nil:
		upper = append(upper, answer)
	default:
		upper = append(upper, d.banner())
	}
	if answer != nil && p.size.alone {
		aside = append(aside, answer)
	}
	if now.stage == noMachine {
		return upper, aside, len(upper)
	}
	if p.size.alone && answer == nil {
		larger := d // nothing was answered yet: the room is for what to mind, and why
		larger.size.text, larger.size.small = d.size.text*1.2, d.size.small*1.25
		steps, cautions := d.before(now), larger.cautions(now)
		aside = append(append(aside, cautions...), larger.reason(now)...)
		upper = append(upper, container.New(&look.Rows{Gap: 3}, append(d.heading(now), steps...)...))
	} else {
		upper = append(upper, container.New(&look.Rows{Gap: 3}, append(append(d.heading(now), d.before(now)...), d.cautions(now)...)...))
	}
	tips := container.New(&look.Rows{Gap: 4}, d.tips(now)...)
	if p.brief == mostBrief && len(tips.Objects) == 2 {
		tips = container.New(&look.Shares{Gap: p.size.text * 0.6, Parts: []float32{1, 1}}, tips.Objects...)
	}
	if p.brief >= briefTips {
		upper = append(upper[:len(upper)-1], tips, upper[len(upper)-1])
	} else {
		upper = append(upper, tips)
	}
	seen = len(upper)
	upper = append(upper, container.New(&look.Rows{Gap: 1}, d.good(now)...))
	if p.brief < 2 {
		seen++
	}
	if p.size.alone {
		if answer != nil {
			aside = append(aside, d.reason(now)...)
		}
		return upper, aside, seen
	}
	if answer != nil && (p.brief >= briefLine || d.told(now)) {
		upper = append(upper, answer)
	}
	return append(append(upper, d.late()...), d.reason(now)...), aside, seen
}
