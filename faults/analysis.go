package faults

import (
	"sync"

	"bellout/graphs"
	"bellout/model"
)

// Analysis is everything that rules look at. It is made once for a machine and
// not changed while rules read it. Cost: linear in terminals, wires and links,
// and once more for each net that has to be cut apart.
type Analysis struct {
	Machine  *model.Machine
	Settings model.Settings
	Parts    *graphs.Parts
	// AsDrawn is the circuit at rest as the map draws it.
	AsDrawn *graphs.Circuit
	// AsIntended is Drawn without the culprits: the elements that join nets which
	// must not be joined. Every rule but those that name the culprits judges
	// this one.
	AsIntended *graphs.Circuit
	// NetBridges say what Apart leaves out of Drawn, and why.
	NetBridges []NetBridge
	// Grounds are the 0 V sides of the supplies, one for each section that has a
	// rail.
	Grounds []Ground

	groundOfSection        map[section]int
	groundOfSupply         []int // by place in Parts.Supplies
	groundAt               []int // by terminal: the ground whose return it is, or -1
	rectifiers             []rectifier
	rectifierOf            map[int]int // by AC terminal: place in rectifiers
	rectified              []int       // the minus terminals of bridges that stand on a supply's ground
	suppliesAt             [][]int
	groundsAt              [][]int
	loadsAt                map[int][]int // by terminal: loads that have it as feed or return
	kept                   *graphs.LeftInPlace
	stays                  *Staying
	permitted              *permissions
	standing               map[int]int // by supply: the root of the permissions of the returns that stand on its rail
	under                  map[int]int // by root of the permissions: the supply whose rail those returns stand on, see findStacks
	reach                  *reach
	common                 []int32         // by terminal, see findCommon
	wiredDevices           map[string]bool // a wire reaches them
	deadFeeds, deadReturns []disconnectedLoads
	unearthedIslands       [][]int      // earth terminals that do not reach the inlet, by net
	earthed                map[int]bool // nets that reach the inlet's earth
	loadsOfDevice          map[string][]int

	onOnce sync.Once
	on     switchedOn    // see On
	strays strays        // see findStrays
	ailing reportedLoads // see Ailing

	// explained holds, by rule, the findings that the readings call for.
	explained map[string][]Finding
	// evidence is what the readings say.
	evidence *evidence
}

// NewAnalysis lays out a machine for the rules.
func NewAnalysis(m *model.Machine) *Analysis {
	b := layOut(m)
	b.explainReadings()
	return b
}

// explainReadings works out what the readings call for.
func (b *Analysis) explainReadings() {
	b.evidence = newEvidence(b)
	b.explained = b.evidence.findings()
}

// layOutSteps is how often layOutInSteps tells that it is a step further.
const layOutSteps = 6

// layOut prepares what the map alone says.
func layOut(m *model.Machine) *Analysis { return layOutInSteps(m, func() {}) }

// layOutInSteps is layOut that calls step after each of its steps.
func layOutInSteps(m *model.Machine, step func()) *Analysis {
	drawn := graphs.NewCircuit(m, nil)
	b := &Analysis{Machine: m, Settings: m.Settings(), Parts: graphs.FindParts(m), AsDrawn: drawn, AsIntended: drawn}
	b.kept = drawn.LeftInPlace()
	step()
	b.findGrounds()
	b.loadsAt = map[int][]int{}
	b.loadsOfDevice = map[string][]int{}
	for at, load := range b.Parts.Loads {
		b.loadsOfDevice[load.Device] = append(b.loadsOfDevice[load.Device], at)
		b.loadsAt[load.Feed] = append(b.loadsAt[load.Feed], at)
		for _, t := range load.Returns {
			b.loadsAt[t] = append(b.loadsAt[t], at)
		}
	}
	b.reach = findReach(b, drawn, nil)
	if b.findRectifiers(); len(b.rectifiers) > 0 {
		b.groundRectifiers()
		b.reach = findReach(b, drawn, nil)
	}
	step()
	b.permitted = readPermissions(b)
	b.findStacks()
	step()
	b.separateNets()
	b.placeSupplies()
	step()
	if len(b.NetBridges) > 0 {
		b.reach = findReach(b, b.AsIntended, b.culprits())
	}
	b.noteWired()
	b.common = b.findCommon()
	step()
	b.stays = findStaying(drawn, b.kept)
	b.findLost()
	step()
	return b
}

// findLost finds what hangs in the air, and which of it a misplaced wire
// explains.
func (b *Analysis) findLost() {
	b.deadFeeds = b.findDead(b.feedsLost(), way{})
	b.deadReturns = b.findDead(b.returnsLost(), way{grounds: true})
	b.findUnearthed()
	b.matchMissent()
}

// placeSupplies notes which supplies have their rail or their return in which
// net of Apart.
func (b *Analysis) placeSupplies() {
	nets := b.AsIntended.Nets()
	b.suppliesAt = make([][]int, len(nets.List))
	b.groundsAt = make([][]int, len(nets.List))
	for at, supply := range b.Parts.Supplies {
		net := nets.Of[supply.Rail]
		b.suppliesAt[net] = append(b.suppliesAt[net], at)
	}
	for at, ground := range b.Grounds {
		for _, t := range ground.Returns {
			net := nets.Of[t]
			if known := b.groundsAt[net]; len(known) == 0 || known[len(known)-1] != at {
				b.groundsAt[net] = append(b.groundsAt[net], at)
			}
		}
	}
	for _, t := range b.rectified {
		net := nets.Of[t]
		b.groundsAt[net] = mergeSorted(b.groundsAt[net], []int{b.groundAt[t]})
	}
	b.acrossShunts(b.AsIntended, func(from, to int) {
		b.suppliesAt[to] = mergeSorted(b.suppliesAt[to], b.suppliesAt[from])
		b.groundsAt[to] = mergeSorted(b.groundsAt[to], b.groundsAt[from])
	})
}

// culprits are the elements that Apart leaves out of Drawn.
func (b *Analysis) culprits() map[int]bool {
	out := map[int]bool{}
	for _, crossing := range b.NetBridges {
		for _, id := range crossing.Elements {
			out[id] = true
		}
	}
	return out
}

// LeftInPlace tells what nothing opens for a test: earth and the mains side.
func (b *Analysis) LeftInPlace() *graphs.LeftInPlace { return b.kept }

// Staying tells what is live with the mains plug out.
func (b *Analysis) Staying() *Staying { return b.stays }

// NetOf returns the place of a terminal's net in Apart.Nets().List.
func (b *Analysis) NetOf(terminal int) int { return b.AsIntended.Nets().Of[terminal] }

// Net returns a terminal's net, the culprits taken out.
func (b *Analysis) Net(terminal int) *graphs.Net { return &b.AsIntended.Nets().List[b.NetOf(terminal)] }

// SuppliesAt returns the supplies, by place in Parts.Supplies, that have their
// rail in a net of Apart; none: it is no rail net.
func (b *Analysis) SuppliesAt(net int) []int { return b.suppliesAt[net] }

// OnRail says whether a terminal sits on a rail net of Apart.
func (b *Analysis) OnRail(terminal int) bool { return len(b.suppliesAt[b.NetOf(terminal)]) > 0 }

// OnReturn says whether a terminal sits on a return net of Apart.
func (b *Analysis) OnReturn(terminal int) bool { return len(b.groundsAt[b.NetOf(terminal)]) > 0 }

// Feeding returns the supplies, by place in Parts.Supplies, whose rail can reach
// a load's feed: through wires, intact links, contacts in any position, diodes
// the way they conduct, series resistors and sourcing drivers. Sorted; empty:
// the feed is dead. The load is named by its place in Parts.Loads.
func (b *Analysis) Feeding(load int) []int {
	l := b.Parts.Loads[load]
	return b.overInputs(l.Feed, func(t int) []int { return b.reach.supplies(t, l.Volts.Or(0) < 0) })
}

// Returning returns the grounds that any of a load's returns can reach, as
// Feeding does for feeds, through sinking drivers too. What goes in by one AC
// terminal of a bridge comes back by the others.
func (b *Analysis) Returning(load int) []int {
	l := b.Parts.Loads[load]
	if _, rectified := b.rectifierOf[l.Feed]; rectified {
		return mergeSorted(b.overInputs(l.Feed, func(t int) []int { return b.reach.grounds(t, false) }), b.windings(l.Feed))
	}
	var found []int
	for _, t := range l.Returns {
		found = mergeSorted(found, b.reach.grounds(t, l.Volts.Or(0) < 0))
	}
	return found
}

// loadsOf returns the loads of a device.
func (b *Analysis) loadsOf(device string) []int { return b.loadsOfDevice[device] }

// kindOf returns a device's kind, other for an unknown word.
func (b *Analysis) kindOf(device string) model.DeviceKind {
	return kindOf(b.Machine, device)
}

func (b *Analysis) role(terminal int) model.Role { return b.Machine.Terminals[terminal].Role }

func (b *Analysis) device(terminal int) string { return b.Machine.Terminals[terminal].Device }

func (b *Analysis) name(terminal int) string { return b.AsDrawn.Ref(terminal).String() }
