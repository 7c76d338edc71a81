package graphs

import (
	"math"

	"bellout/model"
)

// ConditionChanges returns what the conditions change in this circuit, so that
// readings taken under many conditions are judged without a circuit for each:
// c.OhmsIf(a, b, c.ConditionChanges(conditions)) equals
// c.Under(conditions).Ohms(a, b), and likewise PredictIf. Each element stands
// once; conditions that change nothing give none. Cost: the links that the
// conditions name.
func (c *Circuit) ConditionChanges(conditions model.Conditions) []ElementChange {
	changes := []ElementChange{}
	at := map[int]int{}
	set := func(id int, ohms float64) {
		if place, set := at[id]; set {
			changes[place].Ohms = ohms
			return
		}
		at[id] = len(changes)
		changes = append(changes, ElementChange{Element: id, Ohms: ohms})
	}
	for _, condition := range conditions {
		switch condition.Kind {
		case model.Lifted:
			if row, found := c.Machine.WireIndex(condition.Wire); found {
				set(row, math.Inf(1))
			}
		case model.Unplugged:
			for _, row := range c.linksOf(condition.Device) {
				set(c.LinkElement(int(row)), math.Inf(1))
			}
		case model.ContactOpen, model.ContactClosed:
			row, found := c.linkMeant(condition)
			if !found {
				continue
			}
			id := c.LinkElement(row)
			e := &c.Elements[id]
			switch {
			case condition.Kind == model.ContactOpen:
				set(id, math.Inf(1))
			case e.Kind.Metal() || e.Kind == Resistance:
				set(id, e.Ohms)
			}
		case model.Clipped:
			refs := condition.ClippedRefs()
			for i := 1; i < len(refs); i++ {
				a, foundA := c.Machine.TerminalIndex(refs[0])
				b, foundB := c.Machine.TerminalIndex(refs[i])
				if foundA && foundB && a != b {
					changes = append(changes, ElementChange{Element: -1, A: a, B: b})
				}
			}
		}
	}
	kept := changes[:0]
	for _, change := range changes {
		if change.Element >= 0 && math.IsInf(change.Ohms, 1) && !c.Elements[change.Element].Present {
			continue
		}
		if change.Element >= 0 && c.Elements[change.Element].Present && change.Ohms == c.Elements[change.Element].Ohms {
			continue
		}
		kept = append(kept, change)
	}
	return kept
}
