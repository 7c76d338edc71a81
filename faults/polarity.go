package faults

// polarity says how a load sits between the nets of Apart.
type polarity uint8

const (
	forward   polarity = iota // as far as the nets tell
	reversed                  // the feed on a return, the return on a rail
	belowZero                 // the feed on a return, the return on a rail that lies as far below as the load wants
)

// polarityOf looks at one load. A load for +12 V between 0 V and a rail of
// -12 V is fed rightly, whatever its terminals are called.
func (b *Bench) polarityOf(load int) polarity {
	l := b.Parts.Loads[load]
	if !b.OnReturn(l.Feed) || b.OnRail(l.Feed) {
		return forward
	}
	for _, t := range l.Returns {
		if b.OnReturn(t) {
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
