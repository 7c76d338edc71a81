package bench

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bellout/app/window/look"
	"bellout/faults/judge"
)

// answer says what the last reading means, in a frame: heavy round one that
// contradicts the map.
func (d boarder) answer() fyne.CanvasObject {
	t := look.Now()
	outcome := d.bench.desk.Outcome()
	if typed := d.bench.draft.waiting; typed != "" {
		return framed(t.Line, 1, t.Raised, d.size, d.signed(look.SignWaiting, d.prose("Storing "+typed+" …", t.Soft)))
	}
	if outcome == nil {
		return nil
	}
	m := d.bench.meaning()
	against := outcome.Outcome == judge.Contradicts
	what := d.small(fmt.Sprintf("reading %d · %s", outcome.Reading.Number, touchWords(outcome.Reading)), t.Soft)
	lines := container.New(&look.Rows{Gap: 2}, container.New(&look.Beside{Gap: d.size.text * 0.8, Down: d.size.word * 0.36, Least: d.size.small * 8}, sideText(m.word, d.size.word, m.colour()), what))
	at, there := d.bench.findingOfOutcome()
	if against { // what to do comes first, then why
		lines.Add(d.todo(at, there, m.colour()))
	}
	if m.word == tellsLittle && d.brief < 2 {
		lines.Add(d.small("It fits, and so would nearly every other reading here: it proves nothing.", t.Ink))
	}
	if d.size.alone {
		lines.Add(d.prose(outcome.Message, t.Ink))
	} else if !d.past && d.brief < 1 {
		lines.Add(d.small(outcome.Message, t.Ink))
	}
	if outcome.Leaves != "" { // in few words, and what the touch was made for: it stands however little room there is
		lines.Add(d.small(outcome.Leaves, t.Ink))
	}
	if outcome.Wire != "" {
		lines.Add(look.NewParagraph("Wire "+outcome.Wire+" is on the map now.", d.size.text, t.Ink, fyne.TextStyle{Bold: true}))
	}
	if there && !against && d.brief < 1 && !d.past {
		lines.Add(d.small("Ctrl J: "+d.findingWords(at), t.Accent))
	}
	body := container.New(&look.Leading{Gap: d.size.text * 0.8, Down: 1}, m.sign.Image(d.size.word*1.5), lines)
	if against {
		return framed(t.Bad, 4, t.Raised, d.size, body)
	}
	return framed(t.Line, 1, t.Raised, d.size, body)
}

// banner is an answer in one line, where there is room for no more above the
// tips; all of it then stands below.
func (d boarder) banner() fyne.CanvasObject {
	m := d.bench.meaning()
	word := look.NewParagraph(m.word, d.size.text, m.colour(), fyne.TextStyle{Bold: true})
	if d.bench.contradicted() {
		words := m.word + "; Ctrl J looks at it"
		if d.bench.offersAgain(d.bench.touch()) {
			words = m.word + "; Enter: same touch again"
		}
		word.Set(words, m.colour())
		return framed(look.Now().Bad, 3, look.Now().Raised, d.size, d.signed(m.sign, word))
	}
	return d.signed(m.sign, word)
}

// findingWords name a finding of the last reading.
func (d boarder) findingWords(at int) string {
	return d.bench.desk.View().Report.Findings[at].Headline
}

// todo says what to do about a reading that contradicts the map: go to its
// finding, or, where none explains it, make sure of it.
func (d boarder) todo(at int, there bool, colour color.Color) fyne.CanvasObject {
	b := d.bench
	words, key, to := "Finding", "Ctrl J", b.toFinding
	text := ""
	if there {
		text = d.findingWords(at)
	} else if text = "Repeat it with firm tips"; b.offersAgain(b.touch()) {
		words, key, to = "Measure again", "Enter", b.act(b.again)
		text += "; nothing explains it yet"
	} else {
		words = "Look at it"
	}
	press := look.NewPress(words, key, to)
	press.Primary, press.Type = true, d.size.text
	return container.New(&look.Rows{Gap: 4}, look.NewParagraph(text, d.size.text, colour, fyne.TextStyle{Bold: true}), container.NewHBox(press))
}

// late is what an answer says, where there was no room for it above. Once the
// next touch has begun it is gone: it would be read as meant for that.
func (d boarder) late() []fyne.CanvasObject {
	outcome := d.bench.desk.Outcome()
	if outcome == nil || d.past || d.brief < 1 {
		return nil
	}
	t := look.Now()
	return []fyne.CanvasObject{d.small(fmt.Sprintf("What reading %d said, %s", outcome.Reading.Number, touchWords(outcome.Reading)), t.Soft), d.small(outcome.Message, t.Ink)}
}
