package diagnosis

import (
	"bellout/assets"
	"bellout/graphs"
	"bellout/model"
)

// onTheWay is the part of a test current between two points from which on an
// element is on their way. Judgement.
const onTheWay = 0.1

// Sizes that stand for a range: a joint's ohms, and what a supply gives, as a
// share of its volts.
var (
	highOhms    = []float64{0.5, 2, 8, 32, 128}
	lowShares   = []float64{0.1, 0.3, 0.5, 0.65, 0.75, 0.82, 0.88}
	highShares  = []float64{1.13, 1.2, 1.3, 1.5, 2, 3}
	partFactors = []float64{0.25, 0.5, 2, 4}
	ripples     = []float64{0.02, 0.04, 0.08, 0.16, 0.3}
)

// proposer gathers hypotheses, each place once.
type proposer struct {
	l      *Live
	priors assets.Priors
	seen   map[string]bool
	list   []Hypothesis
	loops  map[[2]int]bool // pairs that were looked at
}

func (p *proposer) add(h Hypothesis) {
	if h.key = h.Key(); h.Prior > 0 && !p.seen[h.key] {
		p.seen[h.key] = true
		h.id = len(p.list) + 1
		p.list = append(p.list, h)
	}
}

func (p *proposer) sized(kind Kind, at int, element int, prior float64, sizes []float64) {
	for _, size := range sizes {
		h := newHypothesis(kind, prior/float64(len(sizes)))
		h.At, h.Element, h.Size = at, element, size
		p.add(h)
	}
}

// mostDepth is how many supplies upstream of each other are looked at.
const mostDepth = 4

// between proposes what may change the volts between two terminals: everything
// that a test current between them runs through, with every output on, and what
// hangs on the supplies that it meets.
func (p *proposer) between(red, black int, conditions model.Conditions, depth int) {
	if red == black || depth > mostDepth || p.loops[[2]int{red, black}] {
		return
	}
	p.loops[[2]int{red, black}] = true
	shares := p.l.Run(p.allDriven(conditions)).Shares(red, black)
	for id := range p.l.Circuit.Elements {
		if shares.Element(id) >= onTheWay {
			p.element(id)
		}
	}
	for at, driver := range p.l.net.Parts.Drivers {
		if shares.Driver(at) >= onTheWay {
			for _, kind := range []Kind{StuckOn, StuckOff} {
				h := newHypothesis(kind, p.priors.Of("output-"+string(kind)))
				h.At = driver.Drive
				if kind == StuckOn && len(driver.Returns) > 0 {
					h.To = driver.Returns[0]
				}
				p.add(h)
			}
		}
	}
	for at := range p.l.net.Parts.Supplies {
		if shares.Supply(at) >= onTheWay {
			p.supply(at, conditions, depth)
		}
	}
}

// allDriven adds every output to some conditions.
func (p *proposer) allDriven(conditions model.Conditions) model.Conditions {
	list := append(model.Conditions{}, conditions...)
	for _, driver := range p.l.net.Parts.Drivers {
		ref := p.l.Circuit.Ref(driver.Drive)
		list = append(list, model.Condition{Kind: model.Driven, Device: ref.Device, From: ref.Mark})
	}
	return model.NewConditions(list...)
}

func (p *proposer) element(id int) {
	e := p.l.Circuit.Elements[id]
	open := newHypothesis(ElementOpen, 0)
	open.Element = id
	high := 0.0
	switch e.Kind {
	case graphs.Wire:
		open.Prior = p.priors.Of("wire-open") + 2*p.priors.Of("wire-end-loose")
		high = 2 * p.priors.Of("wire-end-high")
	case graphs.Fuse:
		open.Prior, high = p.priors.Of("fuse-open")+2*p.priors.Of("contact-open"), 2*p.priors.Of("contact-high")
	case graphs.Contact:
		open.Prior, high = p.priors.Of("switch-open"), p.priors.Of("contact-high")
		welded := newHypothesis(ElementClose, p.priors.Of("contact-welded"))
		welded.Element = id
		p.add(welded)
	case graphs.Resistance:
		open.Prior = p.priors.Of("load-open")
		short := newHypothesis(PartShort, p.priors.Of("part-short"))
		short.Element = id
		p.add(short)
		p.sized(PartValue, -1, id, p.priors.Of("part-value"), partFactors)
	case graphs.Diode:
		for _, kind := range []Kind{DiodeOpen, DiodeShort, DiodeTurned} {
			h := newHypothesis(kind, p.priors.Of(string(kind)))
			h.Element = id
			p.add(h)
		}
		return
	case graphs.Clip, graphs.Joined:
		return
	default:
		open.Prior, high = p.priors.Of("contact-open"), p.priors.Of("contact-high")
	}
	p.add(open)
	if high > 0 {
		p.sized(ElementHigh, -1, id, high, highOhms)
	}
}

// supply proposes what a supply may do, what may drag it, and what it lives on.
func (p *proposer) supply(at int, conditions model.Conditions, depth int) {
	supply := &p.l.net.Parts.Supplies[at]
	p.sized(SupplyDead, supply.Rail, -1, p.priors.Of("supply-dead"), []float64{0})
	p.sized(SupplyLow, supply.Rail, -1, p.priors.Of("supply-low"), lowShares)
	p.sized(SupplyHigh, supply.Rail, -1, p.priors.Of("supply-high"), highShares)
	for _, id := range p.l.mains[at] {
		p.element(id)
	}
	if _, mains := p.l.mains[at]; mains {
		h := newHypothesis(NoPower, p.priors.Of("no-power"))
		h.At = supply.Rail
		for other := range p.l.mains { // one hypothesis for all of them
			h.At = min(h.At, p.l.net.Parts.Supplies[other].Rail)
		}
		p.add(h)
	}
	p.drags(at)
	for _, input := range p.l.loads[supply.Device] {
		if load := &p.l.net.Parts.Loads[input]; len(load.Returns) > 0 {
			p.between(load.Feed, load.Returns[0], conditions, depth+1)
		}
	}
}

// drags proposes what may short a supply's rail: the input of each device on
// it, and the devices where rail and return lie side by side; by itself, or
// with the fuse before it blown.
func (p *proposer) drags(at int) {
	c, supply := p.l.Circuit, &p.l.net.Parts.Supplies[at]
	if len(supply.Returns) == 0 {
		return
	}
	ways := p.l.ways()
	back := supply.Returns[0]
	for _, load := range p.l.net.Parts.Loads {
		if len(load.Returns) == 0 || load.Device == supply.Device || !ways.Joined(load.Feed, supply.Rail) {
			continue
		}
		p.short(LoadShort, supply.Rail, load.Feed, load.Returns[0], p.priors.Of("input-short"))
	}
	type pair struct{ rail, back int }
	sides := map[string]*pair{}
	var order []string
	for t, terminal := range c.Machine.Terminals {
		onRail, onBack := ways.Joined(t, supply.Rail), ways.Joined(t, back)
		if !onRail && !onBack || onRail && onBack {
			continue
		}
		side := sides[terminal.Device]
		if side == nil {
			side = &pair{-1, -1}
			sides[terminal.Device] = side
			order = append(order, terminal.Device)
		}
		if onRail && (side.rail < 0 || model.CompareRefs(c.Ref(t), c.Ref(side.rail)) < 0) {
			side.rail = t
		}
		if onBack && (side.back < 0 || model.CompareRefs(c.Ref(t), c.Ref(side.back)) < 0) {
			side.back = t
		}
	}
	var both []*pair
	for _, device := range order {
		if side := sides[device]; side.rail >= 0 && side.back >= 0 && device != supply.Device && len(p.l.loads[device]) == 0 {
			both = append(both, side)
		}
	}
	for _, side := range both {
		p.short(Touch, supply.Rail, side.rail, side.back, p.priors.Of("short")/float64(len(both)))
	}
}

func (p *proposer) short(kind Kind, rail, a, b int, prior float64) {
	h := newHypothesis(kind, prior)
	h.At, h.To, h.Size = a, b, shortedInputOhms
	fuse := -1
	for _, id := range p.l.ways().BridgesBetween(rail, a) {
		if p.l.Circuit.Elements[id].Kind == graphs.Fuse {
			fuse = id
			break
		}
	}
	if fuse < 0 {
		p.add(h)
		return
	}
	held := h
	held.Prior *= 1 - blownByShort
	p.add(held)
	h.Prior *= blownByShort
	h.Blown = fuse
	p.add(h)
}

// blownByShort: a short behind a fuse has mostly blown it. Judgement.
const blownByShort = 0.8

// ripple proposes supplies whose ripple would show between two terminals.
func (p *proposer) ripple(red, black int, conditions model.Conditions) {
	state := p.l.Run(conditions)
	for at, supply := range p.l.net.Parts.Supplies {
		if part := state.Ripple(at, red, black); part > 0.02 || part < -0.02 {
			p.sized(SupplyRipple, supply.Rail, -1, p.priors.Of("supply-ripple"), ripples)
		}
	}
}

// own proposes that a device itself has failed.
func (p *proposer) own(device string) {
	for _, at := range p.l.loads[device] {
		load := &p.l.net.Parts.Loads[at]
		if len(load.Returns) == 0 {
			continue
		}
		h := newHypothesis(LoadOpen, p.priors.Of("device-dead"))
		h.At, h.To = load.Feed, load.Returns[0]
		p.add(h)
	}
}
