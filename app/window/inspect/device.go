package inspect

import (
	"fmt"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

const group = "Looked at"

// addActions adds what can be done with the device that is looked at.
func (i *Inspector) addActions() {
	isDevice := func() bool { return i.room.Session.Selection().Kind == session.Device }
	note := func(health model.Health) func() {
		return func() { i.note(health) }
	}
	for _, action := range []keys.Action{
		{Name: "Note the device as failed, today", Group: group, Key: keys.CtrlShift(fyne.KeyF), Do: note(model.HealthFailed), Able: isDevice},
		{Name: "Note the device as well", Group: group, Key: keys.CtrlShift(fyne.KeyW), Do: note(model.HealthOK), Able: isDevice},
		{Name: "Note the device as replaced, now", Group: group, Key: keys.CtrlShift(fyne.KeyH), Do: i.noteReplaced, Able: isDevice},
		{Name: "Note that nobody knows", Group: group, Key: keys.CtrlShift(fyne.KeyU), Do: note(model.HealthUnknown), Able: isDevice},
		{Name: "Take the probe that would settle it", Group: group, Key: keys.CtrlShift(fyne.KeyT), Do: i.takeSettling, Able: func() bool { return i.settling() != nil }},
	} {
		i.room.Keys.Add(action)
	}
}

func (i *Inspector) note(health model.Health) {
	if selection := i.room.Session.Selection(); selection.Kind == session.Device {
		at := i.room.Session.Now().Truncate(time.Second)
		if before, _ := i.room.Session.Machine().Device(selection.Name); before.Health == health {
			return // its time stays
		}
		i.room.Session.SetHealth(selection.Name, health, at)
	}
}

func (i *Inspector) noteReplaced() {
	if selection := i.room.Session.Selection(); selection.Kind == session.Device {
		i.room.Session.NoteReplaced(selection.Name)
	}
}

func (i *Inspector) askUpstream(device string) {
	i.room.Session.AskUpstream(device, func(found session.Upstream) {
		if i.shown.Kind != session.Device || i.shown.Name != found.Device {
			return
		}
		i.upstream = found
		i.highlight()
		i.show()
	})
}

// highlight brings every upstream path of the device out on the chart.
func (i *Inspector) highlight() {
	if i.upstream.Paths == nil {
		return
	}
	lit := session.Highlight{What: "upstream of " + i.upstream.Device, Devices: []string{i.upstream.Device}}
	for _, path := range i.upstream.Paths.Paths {
		lit.Strands = append(lit.Strands, session.Strand{Kind: string(path.Kind), Terminals: path.Through, Wires: path.Wires})
	}
	i.room.Session.SetHighlight(lit)
}

func (i *Inspector) showDevice(ref string) {
	machine := i.room.Session.Machine()
	device, there := machine.Device(ref)
	if !there {
		i.say(fmt.Sprintf("%s is not on the map any more.", ref))
		return
	}
	i.title(session.Naming(machine, ref), facts(device))
	i.showHealth(device)
	i.showConcerns(ref)
	switch {
	case i.upstream.Device != ref:
		i.say("Looking for every way upstream ...")
	case i.upstream.Err != nil:
		i.signed(look.SignUndecided, i.upstream.Err.Error(), false)
	default:
		i.showSuspects()
		i.showPaths()
	}
	i.showPhotos(ref, "")
}

// facts is one line about a device.
func facts(d model.Device) string {
	words := []string{strings.ReplaceAll(string(d.Kind), "-", " ")}
	if d.Zone != "" {
		words = append(words, d.Zone)
	}
	if d.LoadAmps.Known {
		words = append(words, "draws "+d.LoadAmps.String()+" A")
	}
	if d.LimitAmps.Known {
		words = append(words, "limit "+d.LimitAmps.String()+" A")
	}
	return strings.Join(words, ", ")
}

var healthWords = []struct {
	health model.Health
	word   string
	key    string
}{{model.HealthFailed, "Failed", "F"}, {model.HealthOK, "Well", "W"}, {model.HealthUnknown, "Not known", "U"}}

func (i *Inspector) showHealth(d model.Device) {
	row := container.New(&look.Flow{Gap: 4})
	for _, words := range healthWords {
		press := look.NewPress(words.word, "", func() { i.note(words.health) })
		press.Chosen = d.Health == words.health || d.Health == "" && words.health == model.HealthUnknown
		row.Add(press)
	}
	row.Add(look.NewPress("Replaced", "", i.noteReplaced))
	i.add(row)
	for _, event := range i.room.Session.Machine().History(d.Ref) {
		i.say(event.String())
	}
	if d.Health != model.HealthFailed {
		return
	}
	when := i.field()
	when.SetPlaceHolder("when, as in 2026-05-04")
	if !d.FailedAt.IsZero() {
		when.SetText(d.FailedAt.Format(time.DateOnly))
	}
	wrong := look.BadProse("")
	wrong.Hide()
	when.OnSubmitted = func(text string) {
		at, err := readWhen(text)
		if err != nil {
			wrong.Set(err.Error(), look.Now().Bad)
			wrong.Show()
			return
		}
		when.Taken()
		i.room.Session.SetHealth(d.Ref, model.HealthFailed, at)
	}
	i.add(container.NewBorder(nil, nil, container.NewHBox(look.Inset(4, look.SignFailed.Image(look.Now().Size(theme.SizeNameText)*1.4)), container.NewCenter(look.Line("FAILED", look.Now().Bad, theme.SizeNameText, fyne.TextStyle{Bold: true}))), nil, when), wrong)
}

// readWhen reads a day, or a time as a file has it; nothing is a time that
// nobody knows.
func readWhen(text string) (time.Time, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return time.Time{}, nil
	}
	for _, form := range []string{time.DateOnly, time.RFC3339} {
		if at, err := time.Parse(form, text); err == nil && at.Year() >= 1970 {
			return at, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is no day; write it as in 2026-05-04, or nothing if nobody knows", text)
}

// showConcerns lists the findings that name the device.
func (i *Inspector) showConcerns(ref string) {
	view := i.room.Session.View()
	shown := 0
	for at, finding := range view.Report.Findings {
		if !concerns(finding, ref) {
			continue
		}
		if shown++; shown == 1 {
			i.heading("Findings here")
		}
		if shown > 4 {
			i.say("and more, under " + "Findings (F3).")
			break
		}
		i.link(finding.Headline, session.Selection{Kind: session.Finding, Finding: at})
	}
}

func concerns(f faults.Finding, ref string) bool {
	for _, device := range f.Devices {
		if device == ref {
			return true
		}
	}
	for _, terminal := range f.Terminals {
		if device, _, _ := strings.Cut(terminal, ":"); device == ref {
			return true
		}
	}
	return false
}

// pathMost is how many ways of one kind are listed; the chart shows all of them.
const pathMost = 4

var pathTitles = map[graphs.PathKind]string{
	graphs.PathFeed: "Feed", graphs.PathReturn: "Return", graphs.PathEarth: "Earth", graphs.PathMains: "Mains side", graphs.PathSignal: "Signal",
}

func (i *Inspector) showPaths() {
	machine, paths := i.room.Session.Machine(), i.upstream.Paths
	if len(paths.Paths) == 0 {
		i.say("No way upstream is on the map: nothing feeds it.")
		return
	}
	for _, kind := range graphs.PathKinds {
		count := 0
		for at, path := range paths.Paths {
			if path.Kind != kind {
				continue
			}
			count++
			if count > pathMost {
				continue
			}
			heading := pathTitles[kind]
			if path.Source != "" {
				heading += ", from " + path.Source
			}
			i.heading(heading)
			if kind == graphs.PathMains && count == 1 {
				i.signed(look.SignWarning, "Plug out, proven dead, ohms only; work there is for licensed people.", false)
			}
			i.walk(session.Walk(machine, path))
			for _, blocked := range i.upstream.Blocked[at] {
				i.signed(look.SignWarning, blocked, false)
			}
		}
		if count > pathMost {
			i.say(fmt.Sprintf("and %d more ways; the chart shows all of them.", count-pathMost))
		}
	}
	if !paths.Complete {
		i.say(fmt.Sprintf("%d more ways are not listed.", paths.Omitted))
	}
}

// walk lists places one below the other, wires set in.
func (i *Inspector) walk(steps []string) {
	t := look.Now()
	column := container.New(look.Tight{})
	for _, step := range steps {
		colour := t.Ink
		if strings.HasPrefix(step, " ") {
			colour = t.Soft
		}
		column.Add(look.Line(step, colour, theme.SizeNameText, fyne.TextStyle{}))
	}
	i.add(column)
}

func ruleTitle(name string) string {
	for _, rule := range faults.Rules {
		if rule.Name == name {
			return rule.Title
		}
	}
	return name
}
