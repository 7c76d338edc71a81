package sample

import (
	"math"
	"math/rand/v2"
	"time"

	"bellout/model"
)

// chain is a way over metal from its first terminal: wires, blocks, fuses and
// mated pins, one after another.
type chain []step

type step struct {
	at   model.TerminalRef
	ohms float64 // from the chain's first terminal
	wire string  // that leads here; empty: a link
}

func (c chain) end() model.TerminalRef { return c[len(c)-1].at }

// then returns the chain led on to another terminal; the receiver can still be
// led elsewhere.
func (c chain) then(to model.TerminalRef, over laid) chain {
	last := c[len(c)-1]
	return append(c[:len(c):len(c)], step{at: to, ohms: last.ohms + over.ohms, wire: over.wire})
}

// last returns the ohms of the last step.
func (c chain) last() float64 { return c[len(c)-1].ohms - c[len(c)-2].ohms }

// apart are two terminals under a condition that keeps the rest of the machine
// away from them.
type apart struct {
	plus, minus  model.TerminalRef
	ohms         float64 // between them; unused where nothing joins them
	plug, lifted string  // what is unplugged, or the wire that hangs free
}

func (a apart) conditions() model.Conditions {
	if a.plug != "" {
		return model.NewConditions(model.Condition{Kind: model.Unplugged, Device: a.plug})
	}
	return model.NewConditions(model.Condition{Kind: model.Lifted, Wire: a.lifted})
}

// survey is what can be measured on a machine, gathered while it is built.
type survey struct {
	metal       []chain
	loads       []apart             // a resistance between the two
	silent      []apart             // nothing between the two that a meter sees
	supplies    []model.TerminalRef // rails that only electronics load
	powers      []model.TerminalRef // other rails
	earth, star []model.TerminalRef
}

// conditionsWanted is about how many different conditions the readings have.
const conditionsWanted = 20

const leadOhms = 0.2 // the default of the setting lead_ohm

// readings takes that many.
func (b *builder) readings(count int, all *survey) {
	loads := fewConditions(b.random, all.loads, conditionsWanted/2)
	silent := fewConditions(b.random, all.silent, conditionsWanted/2-1)
	next := 0
	for range count {
		switch pick := b.random.IntN(20); {
		case pick < 13:
			way := all.metal[next%len(all.metal)]
			from, to := 0, len(way)-1
			if next >= len(all.metal) { // every way has been read from end to end
				from = b.random.IntN(len(way) - 1)
				to = from + 1 + b.random.IntN(len(way)-1-from)
			}
			next++
			b.joined(way[from].at, way[to].at, way[to].ohms-way[from].ohms, nil)
		case pick < 16:
			b.separation(all)
		case pick < 18:
			load := loads[b.random.IntN(len(loads))]
			b.reading(load.plus, load.minus, b.shown(load.ohms), load.conditions())
		default:
			pair := silent[b.random.IntN(len(silent))]
			b.nothing(pair.plus, pair.minus, pair.conditions())
		}
	}
}

// fewConditions returns the pairs of a few conditions, drawn by chance.
func fewConditions(random *rand.Rand, all []apart, wanted int) []apart {
	var order []string
	pairs := map[string][]apart{}
	for _, pair := range all {
		key := pair.conditions().String()
		if pairs[key] == nil {
			order = append(order, key)
		}
		pairs[key] = append(pairs[key], pair)
	}
	random.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	var some []apart
	for _, key := range order[:min(wanted, len(order))] {
		some = append(some, pairs[key]...)
	}
	return some
}

// separation reads between two nets that nothing joins but electronics.
func (b *builder) separation(all *survey) {
	rail := all.supplies[b.random.IntN(len(all.supplies))]
	other := all.star[b.random.IntN(len(all.star))]
	switch b.random.IntN(4) {
	case 0:
		other = all.earth[b.random.IntN(len(all.earth))]
	case 1:
		other = all.powers[b.random.IntN(len(all.powers))]
	case 2:
		if second := all.supplies[b.random.IntN(len(all.supplies))]; second != rail {
			other = second
		}
	}
	b.nothing(rail, other, nil)
}

func (b *builder) joined(red, black model.TerminalRef, ohms float64, conditions model.Conditions) {
	value := model.Value{Kind: model.ShowsBeep}
	if b.random.IntN(3) == 0 {
		value = b.shown(ohms)
	}
	b.reading(red, black, value, conditions)
}

func (b *builder) nothing(red, black model.TerminalRef, conditions model.Conditions) {
	value := model.Value{Kind: model.ShowsSilent}
	if b.random.IntN(3) == 0 {
		value = model.Value{Kind: model.ShowsOL}
	}
	b.reading(red, black, value, conditions)
}

// shown is what a hand meter's display makes of that many ohms: the leads in
// series, half a percent of error, a step of 0.01 or of four digits.
func (b *builder) shown(ohms float64) model.Value {
	value := (ohms + leadOhms) * (1 + 0.005*(2*b.random.Float64()-1))
	step := math.Max(0.01, math.Pow(10, math.Floor(math.Log10(value))-3))
	value = math.Round(math.Round(value/step)*step*1e6) / 1e6
	return model.Value{Kind: model.ShowsNumber, Number: value}
}

func (b *builder) reading(red, black model.TerminalRef, value model.Value, conditions model.Conditions) {
	b.taken++
	b.add(model.Reading{
		Number: b.taken, At: b.started.Add(time.Duration(b.taken) * 20 * time.Second), Red: red, Black: black,
		Mode: value.DefaultMode(), Value: value, Conditions: conditions, Meter: "hand meter",
	})
}
