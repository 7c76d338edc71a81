package faults

import "sync"

// reportedLoads are the loads, by place in Parts.Loads, of which another rule says
// already that they hang wrong. What that does to volts elsewhere follows from
// it: one cause, one finding.
type reportedLoads struct {
	once  sync.Once
	loads map[int]bool
	// low are those that only get too few volts; what copper eats of the rest is
	// a matter of its own.
	low map[int]bool
}

// Reported says whether a load stands on the wrong volts, is reversed, has no feed
// or no return, or lies on a way from rail to rail. Cost: once, that of those
// rules.
func (b *Analysis) Reported(load int) bool { return b.findReported().loads[load] || b.ailing.low[load] }

// ailingLoads lists them, by place in Parts.Loads.
func (b *Analysis) ailingLoads() []int {
	var list []int
	for i := range b.Parts.Loads {
		if b.Reported(i) {
			list = append(list, i)
		}
	}
	return list
}

// ailsBeyondLow is the same, but for loads whose only ill is too few volts.
func (b *Analysis) ailsBeyondLow(load int) bool { return b.findReported().loads[load] }

func (b *Analysis) findReported() *reportedLoads {
	a := &b.ailing
	a.once.Do(func() {
		a.loads, a.low = map[int]bool{}, map[int]bool{}
		strays := b.findStrays()
		for _, group := range strays.above {
			for _, f := range group.feeds {
				a.loads[f.load] = true
			}
		}
		for _, group := range strays.below {
			for _, f := range group.feeds {
				a.low[f.load] = true
			}
		}
		for _, lists := range [2][]disconnectedLoads{b.deadFeeds, b.deadReturns} {
			for _, group := range lists {
				for _, load := range group.loads {
					a.loads[load] = true
				}
			}
		}
		for load := range b.Parts.Loads {
			if b.polarityOf(load) == reversed {
				a.loads[load] = true
			}
		}
		passages := b.passages()
		for _, s := range b.sneaks(passages) {
			for _, p := range s.passages {
				if p.load >= 0 {
					a.loads[p.load] = true
				}
			}
			for _, net := range s.nets {
				if len(b.suppliesAt[net]) > 0 {
					continue
				}
				for _, p := range passages[net] { // whatever else meets there
					if p.load >= 0 {
						a.loads[p.load] = true
					}
				}
			}
		}
	})
	return a
}
