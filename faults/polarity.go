package faults

import "slices"

// polarity says how a load sits between the nets of Apart.
type polarity uint8

const (
	forward   polarity = iota // as far as the nets tell
	reversed                  // the feed on a return, the return on a rail
	belowZero                 // the feed on a return, the return on a rail, and that is the way round that the load wants
)

// polarityOf looks at one load. A load for +12 V between 0 V and a rail of
// -12 V is fed rightly, whatever its terminals are called, and so is one for
// -12 V below the middle of two supplies in series.
func (b *Analysis) polarityOf(load int) polarity {
	l := b.Parts.Loads[load]
	if !b.OnReturn(l.Feed) || b.OnRail(l.Feed) {
		return forward
	}
	for _, t := range l.Returns {
		if b.OnReturn(t) && !b.hangsBelow(l.Feed, t) {
			return forward
		}
	}
	found := forward
	for _, t := range l.Returns {
		for _, supply := range b.SuppliesAt(b.NetOf(t)) {
			volts := b.Parts.Supplies[supply].Volts
			if volts.Known && l.Volts.Known && volts.Value*l.Volts.Value < 0 {
				return belowZero
			}
			found = reversed
		}
	}
	return found
}

// hangsBelow says whether a feed stands on the return of a supply whose rail holds
// the load's return.
func (b *Analysis) hangsBelow(feed, back int) bool {
	return slices.ContainsFunc(b.SuppliesAt(b.NetOf(back)), func(supply int) bool {
		return slices.Contains(b.groundsAt[b.NetOf(feed)], b.groundOfSupply[supply])
	})
}
