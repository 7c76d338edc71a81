package changes

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// Replacement is what a person needs who takes a device out and puts another one
// in: what joins where before it comes out, and what to check, terminal by
// terminal, before and after the other one is mated.
type Replacement struct {
	Device string `json:"device"`
	Title  string `json:"title"`
	Kind   string `json:"kind"`
	Zone   string `json:"zone"`
	Note   string `json:"note"`
	// Cautions go before everything else. Never empty.
	Cautions []string `json:"cautions"`
	// Joints are the terminals in reading order, one row a wire, one row for a
	// terminal without any. Never nil.
	Joints []Joint `json:"joints"`
	// Steps are the checks in the order in which they are made. Never nil.
	Steps []Step `json:"steps"`
}

// Joint is one wire at one terminal of the device, or a terminal that has none.
type Joint struct {
	Terminal string         `json:"terminal"` // DEVICE:TERMINAL
	Role     string         `json:"role"`
	Net      string         `json:"net"`
	NetKind  string         `json:"net_kind"`
	Volts    model.Optional `json:"expect_v"` // with the machine on; not known of mains, and where the map does not fix it
	Against  string         `json:"against"`  // where the black tip is for that; empty where volts are not known
	Wire     string         `json:"wire"`     // empty: no wire
	Colour   string         `json:"colour"`
	Gauge    string         `json:"gauge"`
	Cable    string         `json:"cable"`
	Other    string         `json:"other_end"` // DEVICE:TERMINAL
	At       string         `json:"other_at"`  // what that device is, and where
}

// Replace makes the sheet of a device of a judged machine. Error: there is no such
// device; the error names near ones.
func Replace(known *faults.Diagnosis, ref string) (*Replacement, error) {
	b := known.Analysis()
	device, there := b.Machine.Device(ref)
	if !there {
		_, err := faults.Trace(b.Machine, ref) // its error names those near
		return nil, err
	}
	r := &replacing{known: known, bench: b, m: b.Machine, device: device, unplugged: model.NewConditions(model.Condition{Kind: model.Unplugged, Device: ref})}
	r.gather()
	return &Replacement{
		Device: device.Ref, Title: device.Title, Kind: string(device.Kind), Zone: device.Zone, Note: device.Note,
		Cautions: r.cautions(), Joints: r.joints(), Steps: r.steps(),
	}, nil
}

// replacing is what the sheet is made from.
type replacing struct {
	known     *faults.Diagnosis
	bench     *faults.Analysis
	m         *model.Machine
	device    model.Device
	unplugged model.Conditions
	terminals []model.Terminal                   // of the device, in reading order
	wires     map[model.TerminalRef][]model.Wire // in the machine, by terminal of the device
}

func (r *replacing) gather() {
	r.wires = map[model.TerminalRef][]model.Wire{}
	for _, t := range r.m.Terminals {
		if t.Device == r.device.Ref {
			r.terminals = append(r.terminals, t)
		}
	}
	slices.SortFunc(r.terminals, func(a, b model.Terminal) int { return model.Compare(a.Mark, b.Mark) })
	for _, w := range r.m.Wires {
		if w.Removed {
			continue
		}
		for _, ref := range []model.TerminalRef{w.From, w.To} {
			if ref.Device == r.device.Ref {
				r.wires[ref] = append(r.wires[ref], w)
			}
		}
	}
	for _, list := range r.wires {
		slices.SortFunc(list, func(a, b model.Wire) int { return model.Compare(a.Name, b.Name) })
	}
}

func (r *replacing) net(ref model.TerminalRef) *graphs.Net {
	at, _ := r.m.TerminalIndex(ref)
	return r.bench.AsDrawn.Nets().Net(at)
}

// mains says whether a terminal belongs to the mains side: line, neutral or
// earth, by itself or by its net.
func (r *replacing) mains(ref model.TerminalRef) bool {
	t, _ := r.m.Terminal(ref)
	switch t.Role {
	case model.RoleLine, model.RoleNeutral, model.RoleEarth:
		return true
	}
	net := r.net(ref)
	if net.Kind == graphs.NetEarth || net.Kind.Mains() {
		return true
	}
	return slices.ContainsFunc(net.Terminals, func(at int) bool {
		role := r.m.Terminals[at].Role
		return role == model.RoleLine || role == model.RoleNeutral
	})
}

func (r *replacing) joints() []Joint {
	list := []Joint{}
	for _, t := range r.terminals {
		net := r.net(t.Ref())
		row := Joint{Terminal: t.Ref().String(), Role: string(t.Role), Net: net.Name, NetKind: string(net.Kind)}
		if volts, black, known := r.running(t, nil); known {
			row.Volts, row.Against = model.Known(model.RoundMeter(volts)), black.String()
		}
		if len(r.wires[t.Ref()]) == 0 {
			list = append(list, row)
		}
		for _, w := range r.wires[t.Ref()] {
			row.Wire, row.Colour, row.Gauge, row.Cable = w.Name, string(w.Colour), w.Gauge.String(), w.Cable
			far := farEnd(w, t.Ref())
			row.Other, row.At = far.String(), r.whereIs(far.Device)
			list = append(list, row)
		}
	}
	return list
}

func farEnd(w model.Wire, near model.TerminalRef) model.TerminalRef {
	if w.From == near {
		return w.To
	}
	return w.From
}

func (r *replacing) whereIs(ref string) string {
	d, _ := r.m.Device(ref)
	if strings.Contains(d.Title, d.Zone) { // "plug, gate house" says both
		return d.Title
	}
	return strings.Trim(d.Title+", "+d.Zone, ", ")
}

// running returns what the machine shows at a terminal when it is on, and where
// the black tip is; not known of the mains side, of what the map does not fix, and
// of signals and drives, which come and go.
func (r *replacing) running(t model.Terminal, conditions model.Conditions) (volts float64, black model.TerminalRef, known bool) {
	if r.mains(t.Ref()) {
		return 0, black, false
	}
	switch kind := r.net(t.Ref()).Kind; {
	case kind != graphs.NetRail && t.Role != model.RoleFeed && t.Role != model.RoleRail:
		return 0, black, false
	case kind == graphs.NetDrive:
		return 0, black, false
	}
	red := t.Ref()
	if len(conditions) > 0 { // the device is out: the tip is on the wire, which is one with its other end
		wires := r.wires[red]
		if len(wires) == 0 {
			return 0, black, false
		}
		red = farEnd(wires[0], red)
	}
	black, found := r.black(t, len(conditions) > 0)
	if !found || black == red || r.mains(black) || r.mains(red) {
		return 0, black, false
	}
	x, err := faults.Expect(r.m, red, black, model.ModeVoltsDC, conditions)
	if err != nil || !x.Known {
		return 0, black, false
	}
	return x.Volts.Value, black, true
}

// black returns where the black tip goes for volts at a terminal: the return of
// the same section, or that of the supply that feeds it; out: its other end, the
// device being away.
func (r *replacing) black(t model.Terminal, out bool) (model.TerminalRef, bool) {
	for _, other := range r.terminals {
		if other.Role != model.RoleReturn || other.Section != t.Section || r.net(other.Ref()).Kind != graphs.NetReturn {
			continue
		}
		if !out {
			return other.Ref(), true
		}
		if wires := r.wires[other.Ref()]; len(wires) > 0 {
			return farEnd(wires[0], other.Ref()), true
		}
	}
	at, _ := r.m.TerminalIndex(t.Ref())
	net := r.bench.Net(at) // a crossing joins rails that have returns of their own
	for _, supply := range r.bench.Parts.Supplies {
		if slices.Contains(net.Terminals, supply.Rail) && len(supply.Returns) > 0 {
			ref := r.m.Terminals[supply.Returns[0]].Ref()
			if ref.Device != r.device.Ref || !out {
				return ref, true
			}
		}
	}
	return model.TerminalRef{}, false
}

// replacedMark begins the note of a device that was replaced.
const replacedMark = "replaced "

// ErrReplaced says that a device was noted as replaced before.
var ErrReplaced = errors.New("noted as replaced already")

// NoteReplaced returns the edit that notes a device as replaced at a time: the part
// that is in now is well, and its note says when it came. The death of the one
// before, where it was noted as failed, stays with its date and note in the history.
// Errors: no such device; ErrReplaced where that is noted and the device is well, as
// after the same command twice.
func NoteReplaced(m *model.Machine, ref string, at time.Time) (model.Edit, error) {
	before, there := m.Device(ref)
	if !there {
		return model.Edit{}, fmt.Errorf("no device %q on the map", ref)
	}
	mark, rest, _ := strings.Cut(before.Note, ";")
	when, marked := strings.CutPrefix(mark, replacedMark)
	if before.Health == model.HealthOK && marked {
		return model.Edit{}, fmt.Errorf("%s was %w on %s; if the new one failed too, note its health as failed first", ref, ErrReplaced, when)
	}
	at = at.Truncate(time.Second)
	edit := model.Edit{What: ref + " was replaced"}
	add := func(e model.Event) {
		said, known := e.Note, func() bool { return m.Row(model.TableHistory, e.ID()) != nil }
		if !e.At.IsZero() && known() {
			return // somebody wrote it down already
		}
		for n := 2; known(); n++ { // another death of no known date
			e.Note = strings.TrimSpace(fmt.Sprintf("%s (part %d)", said, n))
		}
		edit.Changes = append(edit.Changes, model.Change{After: e})
	}
	after := before
	if marked { // what came with an earlier part is in the history
		after.Note = strings.TrimSpace(rest)
	}
	if before.Health == model.HealthFailed {
		add(model.Event{At: before.FailedAt, Device: ref, Word: model.EventFailed, Note: after.Note})
		after.Note = ""
	}
	add(model.Event{At: at, Device: ref, Word: model.EventReplaced})
	after.Health, after.FailedAt = model.HealthOK, time.Time{}
	after.Note = strings.TrimSuffix(replacedMark+at.Format("2006-01-02 15:04")+"; "+after.Note, "; ")
	edit.Changes = append(edit.Changes, model.Change{Before: before, After: after})
	return edit, nil
}

// wasReplaced says whether a device was noted as replaced between two states.
func wasReplaced(before, after model.Device) bool {
	return before.Note != after.Note && strings.HasPrefix(after.Note, replacedMark)
}
