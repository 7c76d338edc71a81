package findings

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/assets/lantern"
)

// at puts the findings of the demo machine into a window without a display, over a
// desk whose jobs are done at once.
func at(t *testing.T) (*Place, *session.Session) {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.New(false, look.Near))
	d := session.New(session.Options{})
	d.Open(lantern.File(t), func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	window := test.NewTempWindow(t, nil)
	p := New(&room.Room{
		Session: d, Keys: &keys.Map{}, Canvas: window.Canvas, Memory: map[string]any{},
		Show: func(string) {}, Touch: func(do func()) { do() },
		Listen: func(f func(session.Changed)) { d.Listen(f) },
	})
	window.SetContent(p.Object())
	return p, d
}

// What is looked at lies whole in the part of the list that is seen, whoever chose
// it, and also after the column beside the list opened and made its cards narrower.
func TestTheFindingLookedAtIsInSight(t *testing.T) {
	p, d := at(t)
	p.object.Resize(fyne.NewSize(900, 700))
	inSight := func(when string) {
		t.Helper()
		c := p.items[p.chosen()].card
		top, bottom := c.Position().Y, c.Position().Y+c.Size().Height
		if from, to := p.scroll.Offset.Y, p.scroll.Offset.Y+p.scroll.Size().Height; top < from || bottom > to {
			t.Errorf("%s: the card lies at %.0f to %.0f; %.0f to %.0f is seen", when, top, bottom, from, to)
		}
	}
	for _, finding := range []int{len(d.View().Report.Findings) - 1, 0, 4} {
		d.Select(session.Selection{Kind: session.Finding, Finding: finding})
		inSight("chosen elsewhere")
		p.object.Resize(fyne.NewSize(480, 700))
		inSight("beside the column")
		p.object.Resize(fyne.NewSize(900, 700))
		inSight("without it")
	}
	p.Sleep()
	d.Select(session.Selection{Kind: session.Finding, Finding: len(d.View().Report.Findings) - 1})
	p.Object()
	p.Focus()
	inSight("chosen while the list was not seen")
}
