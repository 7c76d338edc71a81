package graphs

import (
	"bellout/graphs/kit"
	"bellout/model"
)

// MainsReach says, by terminal, what line or neutral gets to: along metal, through
// fuses, and through contacts in any position. What an open switch parts from the
// plug is on the mains all the same.
func (c *Circuit) MainsReach() []bool {
	joined := kit.NewSets[int32](len(c.Machine.Terminals))
	for _, e := range c.Elements {
		if e.Walks() {
			joined.Union(int32(e.A), int32(e.B))
		}
	}
	pole := map[int32]bool{}
	for t, terminal := range c.Machine.Terminals {
		if terminal.Role == model.RoleLine || terminal.Role == model.RoleNeutral {
			pole[joined.Find(int32(t))] = true
		}
	}
	reached := make([]bool, len(joined))
	for t := range reached {
		reached[t] = pole[joined.Find(int32(t))]
	}
	return reached
}
