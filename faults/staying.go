package faults

import (
	"fmt"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

// StayingSource is something that keeps a machine live with the mains plug out: a
// battery, or a device that gives power and is fed from outside the map, such as a
// computer at the other end of a USB lead. What it could feed is asked no ohms
// before it is taken out.
type StayingSource struct {
	Device  string
	Battery bool

	plus, minus []int             // terminals of its poles
	of          []int32           // by terminal: what current could join, in any position of contacts, not through the source itself
	everywhere  bool              // the map does not say where it leads: it could feed anything
	guard       graphs.Element    // a fuse that parts it from the machine
	guarded     bool              // there is one
	behind      []bool            // by terminal: on the source's side of that fuse
	off         []model.Condition // what takes the source itself off; none: nothing may
	inert       bool              // it has no links: taken off, it leaves all other readings as they are
}

// Staying is all that stays live with the mains plug out. It does not change.
type Staying struct {
	c       *graphs.Circuit // as the map draws it
	kept    *graphs.LeftInPlace
	sources []StayingSource // by name
	plugs   []string        // where there are several: every plug of the mains that has to be out
}

// StayingIn works out from a map what is live with the plug out. Cost: linear, and
// once more for each fuse near a battery.
func StayingIn(m *model.Machine) *Staying {
	c := graphs.NewCircuit(m, nil)
	return findStaying(c, c.LeftInPlace())
}

func findStaying(c *graphs.Circuit, kept *graphs.LeftInPlace) *Staying {
	l := &Staying{c: c, kept: kept}
	terminals := map[string][]int{}
	for t, terminal := range l.c.Machine.Terminals {
		terminals[terminal.Device] = append(terminals[terminal.Device], t)
	}
	l.plugs = l.findPlugs(terminals)
	for _, device := range l.c.Machine.Devices {
		if source, stays := l.stayingSource(device, terminals[device.Ref]); stays {
			l.sources = append(l.sources, source)
		}
	}
	if len(l.sources) == 0 {
		return l
	}
	slices.SortFunc(l.sources, func(x, y StayingSource) int { return model.Compare(x.Device, y.Device) })
	for i := range l.sources {
		s := &l.sources[i]
		web := l.newCurrentWeb(terminals, s.Device)
		s.of = web.labels()
		s.findGuard(l, web)
	}
	return l
}

// stayingSource says whether a device gives power that no mains of the map feeds.
// A supply without a mains side on the map counts as one with a plug of its own,
// see findPlugs.
func (l *Staying) stayingSource(device model.Device, terminals []int) (StayingSource, bool) {
	s := StayingSource{Device: device.Ref, Battery: device.Kind.Known() == model.KindBattery, inert: true}
	for _, t := range terminals {
		switch l.c.Machine.Terminals[t].Role {
		case model.RoleRail:
			s.plus = append(s.plus, t)
		case model.RoleReturn:
			s.minus = append(s.minus, t)
		case model.RoleFeed, model.RoleLine, model.RoleNeutral:
			if !s.Battery {
				return s, false
			}
		}
	}
	kind := device.Kind.Known()
	if !s.Battery && (len(s.plus) == 0 || kind == model.KindSupply || kind == model.KindConverter || slices.ContainsFunc(s.plus, l.metalInside)) {
		return s, false
	}
	if len(s.plus) == 0 {
		s.plus = terminals
	}
	if len(s.minus) == 0 {
		s.minus = terminals
	}
	for _, t := range terminals {
		s.inert = s.inert && !slices.ContainsFunc(l.c.Incident(t), func(id int32) bool { return l.c.Elements[id].Row >= 0 && l.c.Elements[id].Kind != graphs.Wire })
	}
	var leads []model.Condition
	may := true
	for _, pole := range s.plus {
		for _, id := range l.c.Incident(pole) {
			if e := l.c.Elements[id]; e.Kind == graphs.Wire && e.Present {
				leads = append(leads, model.Condition{Kind: model.Lifted, Wire: l.c.Machine.Wires[e.Row].Name})
				may = may && !l.kept.Element(int(id))
			}
		}
	}
	s.everywhere = s.Battery && len(leads) == 0
	switch {
	case !l.kept.Device(device.Ref):
		s.off = []model.Condition{{Kind: model.Unplugged, Device: device.Ref}}
	case may:
		s.off = leads
	}
	return s, true
}

// metalInside says whether the device itself joins the terminal to another.
func (l *Staying) metalInside(terminal int) bool {
	return slices.ContainsFunc(l.c.Incident(terminal), func(id int32) bool {
		e := l.c.Elements[id]
		return e.Kind.MetalInside()
	})
}

func kindOf(m *model.Machine, device string) model.DeviceKind {
	d, _ := m.Device(device)
	return d.Kind.Known()
}

// findPlugs names the mains plugs where there is more than one: inlets that no wire
// joins to another, and supplies to which no wire of the map brings the mains that
// others have.
func (l *Staying) findPlugs(terminals map[string][]int) []string {
	poles := label(l.c, func(_ int, e graphs.Element) bool { return e.Walks() })
	var plugs, own []string
	seen := map[int32]bool{}
	wired := false
	for t, terminal := range l.c.Machine.Terminals {
		if terminal.Role == model.RoleLine && kindOf(l.c.Machine, terminal.Device) == model.KindMainsInlet && !seen[poles[t]] {
			seen[poles[t]] = true
			plugs = append(plugs, terminal.Device)
			wired = wired || slices.ContainsFunc(l.c.Incident(t), func(id int32) bool { return l.c.Elements[id].Present })
		}
	}
	if wired {
		for _, device := range l.c.Machine.Devices {
			if kind := device.Kind.Known(); (kind == model.KindSupply || kind == model.KindConverter) && l.unfed(terminals[device.Ref]) {
				own = append(own, "that of "+device.Ref)
			}
		}
	}
	slices.SortFunc(plugs, model.Compare)
	slices.SortFunc(own, model.Compare)
	if plugs = append(slices.Compact(plugs), own...); len(plugs) < 2 {
		return nil
	}
	return plugs
}

// unfed says whether no wire ends at what a device is fed by, and it gives power.
func (l *Staying) unfed(terminals []int) bool {
	gives := false
	for _, t := range terminals {
		switch l.c.Machine.Terminals[t].Role {
		case model.RoleRail:
			gives = true
		case model.RoleLine, model.RoleFeed:
			if slices.ContainsFunc(l.c.Incident(t), func(id int32) bool {
				e := l.c.Elements[id]
				return e.Kind == graphs.Wire && e.Present
			}) {
				return false
			}
		}
	}
	return gives
}

// currentWeb joins terminals wherever current could go: over wires and links of every
// kind, contacts in any position, and through every device but one source and the
// mains side.
type currentWeb struct {
	b      *Staying
	inside map[int][]int // by terminal: others of its device that current could reach inside
	source string
}

func (l *Staying) newCurrentWeb(terminals map[string][]int, source string) *currentWeb {
	w := &currentWeb{b: l, inside: map[int][]int{}, source: source}
	for device, list := range terminals {
		first := -1
		for _, t := range list {
			switch l.c.Machine.Terminals[t].Role {
			case model.RoleFeed, model.RoleReturn, model.RoleRail, model.RoleDrive, model.RoleSignal:
				switch {
				case device == source:
				case first < 0:
					first = t
				default:
					w.inside[first] = append(w.inside[first], t)
					w.inside[t] = append(w.inside[t], first)
				}
			}
		}
	}
	return w
}

// conducts says whether current could go through an element.
func (w *currentWeb) conducts(e graphs.Element) bool {
	if e.Kind == graphs.Wire {
		return e.Present
	}
	return e.Row >= 0 && w.b.c.Machine.Links[e.Row].Device != w.source
}

func (w *currentWeb) labels() []int32 {
	sets := kit.NewSets[int32](len(w.b.c.Machine.Terminals))
	for _, e := range w.b.c.Elements {
		if w.conducts(e) {
			sets.Union(int32(e.A), int32(e.B))
		}
	}
	for t, others := range w.inside {
		for _, other := range others {
			sets.Union(int32(t), int32(other))
		}
	}
	return sets.Numbers()
}

// from marks what current could reach from some terminals with one element out.
func (w *currentWeb) from(starts []int, without int) []bool {
	seen := make([]bool, len(w.b.c.Machine.Terminals))
	queue := slices.Clone(starts)
	for _, t := range starts {
		seen[t] = true
	}
	for len(queue) > 0 {
		t := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		step := func(far int) {
			if !seen[far] {
				seen[far] = true
				queue = append(queue, far)
			}
		}
		for _, id := range w.b.c.Incident(t) {
			if e := w.b.c.Elements[id]; int(id) != without && w.conducts(e) {
				step(w.b.c.Far(int(id), t))
			}
		}
		for _, far := range w.inside[t] {
			step(far)
		}
	}
	return seen
}

// mostGuards is how many fuses near a pole are tried.
const mostGuards = 8

// findGuard looks for the nearest fuse or breaker that parts one pole from all else.
func (s *StayingSource) findGuard(l *Staying, web *currentWeb) {
	for _, poles := range [2][2][]int{{s.plus, s.minus}, {s.minus, s.plus}} {
		if s.everywhere {
			return
		}
		tried := 0
		seen := map[int]bool{}
		queue := slices.Clone(poles[0])
		for _, t := range queue {
			seen[t] = true
		}
		for len(queue) > 0 && tried < mostGuards {
			t := queue[0]
			queue = queue[1:]
			step := func(far int) {
				if !seen[far] {
					seen[far] = true
					queue = append(queue, far)
				}
			}
			for _, id := range l.c.Incident(t) {
				e := l.c.Elements[id]
				if !web.conducts(e) {
					continue
				}
				breaker := e.Kind == graphs.Contact && kindOf(l.c.Machine, l.c.Machine.Terminals[e.A].Device) == model.KindBreaker
				if (e.Kind == graphs.Fuse || breaker) && !l.kept.Element(int(id)) && tried < mostGuards {
					tried++
					behind := web.from(poles[0], int(id))
					if !slices.ContainsFunc(poles[1], func(t int) bool { return behind[t] }) {
						s.guard, s.guarded, s.behind = e, true, behind
						return
					}
				}
				step(l.c.Far(int(id), t))
			}
			for _, far := range web.inside[t] {
				step(far)
			}
		}
	}
}

// feeds says whether a source could drive current through a meter at some terminals:
// both its poles lead to them.
func (l *Staying) feeds(s *StayingSource, tips []int) bool {
	if s.everywhere {
		return true
	}
	leads := func(poles []int, t int) bool {
		return slices.ContainsFunc(poles, func(pole int) bool { return s.of[pole] == s.of[t] })
	}
	byPlus, byMinus, reached := false, false, 0
	for i, t := range tips {
		plus, minus := leads(s.plus, t), leads(s.minus, t)
		byPlus, byMinus = byPlus || plus, byMinus || minus
		if (plus || minus) && !slices.Contains(tips[:i], t) {
			reached++
		}
	}
	return byPlus && byMinus && reached > 1
}

// guardOpen is the condition that takes out the fuse which parts a source.
func (l *Staying) guardOpen(s *StayingSource) model.Condition {
	link := l.c.Machine.Links[s.guard.Row]
	return model.Condition{Kind: model.ContactOpen, Device: link.Device, From: link.From, To: link.To}
}

// byGuard says whether taking out a source's fuse is enough: none of the tips is on
// its side of that.
func (s *StayingSource) byGuard(tips []int) bool {
	return s.guarded && !slices.ContainsFunc(tips, func(t int) bool { return s.behind[t] })
}

// tipsOf lists what is touched: the two tips, and what conditions clip together.
func (l *Staying) tipsOf(red, black int, conditions model.Conditions) []int {
	tips := []int{red, black}
	for _, condition := range conditions {
		for _, ref := range condition.ClippedRefs() {
			if t, found := l.c.Machine.TerminalIndex(ref); found {
				tips = append(tips, t)
			}
		}
	}
	return tips
}

// TakeOut returns conditions and with them what takes out every source that could
// feed a dead test between two terminals: the fuse that parts it, or the source
// itself where a tip is on its side of that. unmapped: wires are missing on the map,
// so that each source could feed anything, and goes off itself. false: nothing may
// take one out, so there is no such test.
func (l *Staying) TakeOut(red, black int, conditions model.Conditions, unmapped bool) (model.Conditions, bool) {
	if len(l.sources) == 0 {
		return conditions, true
	}
	tips := l.tipsOf(red, black, conditions)
	with := slices.Clone(conditions)
	for i := range l.sources {
		s := &l.sources[i]
		switch {
		case !unmapped && !l.feeds(s, tips):
		case !unmapped && s.byGuard(tips) && !l.heldClosed(s, conditions):
			if !s.isOff(with) {
				with = append(with, l.guardOpen(s))
			}
		case len(s.off) == 0:
			return conditions, false
		default:
			with = append(with, s.off...)
		}
	}
	return model.NewConditions(with...), true
}

// heldClosed says whether conditions keep the fuse in that parts a source.
func (l *Staying) heldClosed(s *StayingSource, conditions model.Conditions) bool {
	closed := l.guardOpen(s)
	closed.Kind = model.ContactClosed
	return slices.Contains(conditions, closed)
}

// isOff says whether conditions take the source itself off.
func (s *StayingSource) isOff(conditions model.Conditions) bool {
	return len(s.off) > 0 && !slices.ContainsFunc(s.off, func(c model.Condition) bool { return !slices.Contains(conditions, c) })
}

// withoutTakeOut leaves out of conditions what only takes out sources that could
// feed a test. all: also that which leaves readings of the source's own parts not as
// they are.
func (l *Staying) withoutTakeOut(red, black int, conditions model.Conditions, all bool) model.Conditions {
	if len(conditions) == 0 || len(l.sources) == 0 {
		return conditions
	}
	tips := l.tipsOf(red, black, conditions)
	return slices.DeleteFunc(slices.Clone(conditions), func(c model.Condition) bool {
		return slices.ContainsFunc(l.sources, func(s StayingSource) bool {
			if s.guarded && c == l.guardOpen(&s) {
				return s.byGuard(tips)
			}
			return slices.Contains(s.off, c) && (all || s.inert && c.Kind == model.Unplugged)
		})
	})
}

// WithoutTakeOut leaves out of a reading's conditions what only takes out sources
// that stay live with the plug out: it is no other state of the wiring.
func (l *Staying) WithoutTakeOut(r model.Reading) model.Conditions {
	red, foundRed := l.c.Machine.TerminalIndex(r.Red)
	black, foundBlack := l.c.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack {
		return r.Conditions
	}
	return l.withoutTakeOut(red, black, r.Conditions, true)
}

// Sources lists what stays live with the mains plug out, by name. The list is not
// to be changed.
func (l *Staying) Sources() []StayingSource { return l.sources }

// Plugs names every mains plug of the machine where there are several.
func (l *Staying) Plugs() []string { return l.plugs }

// Called names a source as a sentence does.
func (s *StayingSource) Called() string {
	if s.Battery {
		return "battery " + s.Device
	}
	return s.Device + " with power of its own"
}

// HowOff says what takes a source out of the machine, whatever is touched.
func (l *Staying) HowOff(s *StayingSource) string {
	var steps []string
	if s.guarded {
		steps = append(steps, l.c.Machine.Links[s.guard.Row].Device+" out")
	}
	return strings.Join(append(steps, s.leadOff()), ", ")
}

// leadOff says how the source itself is taken off.
func (s *StayingSource) leadOff() string {
	switch {
	case len(s.off) == 0:
		return "no step of the map takes it off"
	case s.Battery:
		return "battery lead off"
	default:
		return "its lead unplugged"
	}
}

// Caution names what stays live with the plug out and could feed a test
// between two terminals, with the step that takes it out; empty where nothing does.
// Every plug is named where there are several.
func (l *Staying) Caution(red, black int, conditions model.Conditions, unmapped bool) string {
	return strings.TrimSpace(l.plugsText() + " " + l.sourcesText(l.tipsOf(red, black, conditions), unmapped))
}

func (l *Staying) plugsText() string {
	if len(l.plugs) == 0 {
		return ""
	}
	return fmt.Sprintf("Every plug out: %s.", judge.ListText(l.plugs, len(l.plugs)))
}

func (l *Staying) sourcesText(tips []int, unmapped bool) string {
	var parts []string
	for i := range l.sources {
		s := &l.sources[i]
		if !unmapped && !l.feeds(s, tips) {
			continue
		}
		step := s.leadOff()
		if !unmapped && s.byGuard(tips) { // else the fuse may lie between the tips
			step = l.c.Machine.Links[s.guard.Row].Device + " out"
		}
		name := s.Called()
		if s.Battery {
			name = upperFirst(name)
		}
		parts = append(parts, fmt.Sprintf("%s stays live with the plug out: %s, then 0 V measured.", name, step))
	}
	return strings.Join(parts, " ")
}

// LiveCaution names what feeds a live test between two terminals with the mains plug
// out as well; empty where nothing does.
func (l *Staying) LiveCaution(red, black int) string {
	var names []string
	for i := range l.sources {
		if s := &l.sources[i]; l.feeds(s, []int{red, black}) {
			names = append(names, s.Called())
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("Pulling the plug does not end it: %s can feed this too.", judge.ListText(names, len(names)))
}

// List names all that stays live with the mains plug out, each with the step that
// takes it out; empty where nothing does.
func (l *Staying) List() string {
	var names []string
	for i := range l.sources {
		names = append(names, fmt.Sprintf("%s (%s)", l.sources[i].Called(), l.HowOff(&l.sources[i])))
	}
	if len(names) == 0 {
		return ""
	}
	return judge.ListText(names, len(names))
}

// Everything says what has to be out before the machine is dead: every plug where
// there are several, and what stays live without one; empty where one plug does it.
func (l *Staying) Everything() string {
	text := l.plugsText()
	if list := l.List(); list != "" {
		text += fmt.Sprintf(" Live with the plug out: %s.", list)
	}
	return strings.TrimSpace(text)
}

// Prepare says what hands do for a condition that takes a source off; false
// where it is about something else.
func (l *Staying) Prepare(c model.Condition) (string, bool) {
	for i := range l.sources {
		s := &l.sources[i]
		switch {
		case c.Kind == model.Unplugged && c.Device == s.Device && s.Battery:
			return fmt.Sprintf("take the leads off battery %s, minus first or as its maker says, and insulate its poles: tips go on the leads", s.Device), true
		case c.Kind == model.Unplugged && c.Device == s.Device:
			return fmt.Sprintf("unplug the lead of %s, which has power of its own", s.Device), true
		case s.guarded && c == l.guardOpen(s):
			return fmt.Sprintf("take %s out: %s stays live with the plug out", c.Device, s.Called()), true
		}
	}
	return "", false
}

// withStaying adds to advice that asks for a dead test what stays live with the plug
// out and could feed what the finding names.
func (b *Analysis) withStaying(d *draft, advice string) string {
	if len(b.stays.sources) == 0 || !strings.Contains(advice, "ohm") && !strings.Contains(advice, "robe ") {
		return advice
	}
	var tips []int
	for _, list := range [2][]string{d.first.terminals, d.rest.terminals} {
		for _, name := range list {
			if ref, err := model.ParseTerminalRef(name); err == nil {
				if t, found := b.Machine.TerminalIndex(ref); found {
					tips = append(tips, t)
				}
			}
		}
	}
	return strings.TrimSpace(advice + " " + b.stays.sourcesText(tips, false))
}
