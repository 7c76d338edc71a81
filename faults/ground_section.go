package faults

// Ground is the 0 V side of the supplies in one section of a device. Its
// returns are one node in the running machine, linked in the map or not.
type Ground struct {
	Device   string
	Section  string
	Returns  []int // terminals; empty where none is mapped
	Supplies []int // places in Parts.Supplies
}

// section names a galvanically separate part of a device.
type section struct{ device, name string }

func (b *Analysis) section(terminal int) section {
	t := b.Machine.Terminals[terminal]
	return section{t.Device, t.Section}
}

func (b *Analysis) findGrounds() {
	b.groundOfSection = map[section]int{}
	b.groundOfSupply = make([]int, len(b.Parts.Supplies))
	b.groundAt = make([]int, len(b.Machine.Terminals))
	for t := range b.groundAt {
		b.groundAt[t] = -1
	}
	for at, supply := range b.Parts.Supplies {
		key := b.section(supply.Rail)
		place, known := b.groundOfSection[key]
		if !known {
			place = len(b.Grounds)
			b.groundOfSection[key] = place
			b.Grounds = append(b.Grounds, Ground{Device: key.device, Section: key.name, Returns: supply.Returns})
			for _, t := range supply.Returns {
				b.groundAt[t] = place
			}
		}
		b.groundOfSupply[at] = place
		b.Grounds[place].Supplies = append(b.Grounds[place].Supplies, at)
	}
}
