package compare

import "bellout/model"

// Devices is what became of the devices.
type Devices struct {
	Added   []model.Device
	Removed []model.Device
	// Replaced devices have the same reference and are another part, or were
	// put right: the kind is another one, or what had failed is well.
	Replaced []Pair[model.Device]
	Changed  []Pair[model.Device]
}

// Empty says whether nothing differs.
func (d Devices) Empty() bool {
	return len(d.Added)+len(d.Removed)+len(d.Replaced)+len(d.Changed) == 0
}

func devicesOf(rows Rows[model.Device]) Devices {
	d := Devices{Added: rows.Added, Removed: rows.Removed, Replaced: []Pair[model.Device]{}, Changed: []Pair[model.Device]{}}
	for _, pair := range rows.Changed {
		if pair.Before.Kind != pair.After.Kind || pair.Before.Health == model.HealthFailed && pair.After.Health == model.HealthOK {
			d.Replaced = append(d.Replaced, pair)
		} else {
			d.Changed = append(d.Changed, pair)
		}
	}
	return d
}
