package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

var ruleFloatingGround = Rule{
	Name:  "floating-ground",
	Title: "A signal between devices whose returns have no common point",
	Why: "A signal is volts between its wire and 0 V, so the two devices need the same 0 V. Where their returns meet nowhere, the " +
		"signal works by chance, or not, and its current finds a way through whatever else joins the two. One deliberate link " +
		"beside the signal mends it, or an isolator that is drawn as two sections.",
	Check: checkFloatingGround,
}

// talker is a device at one end of a signal, with a return that its signals
// count against.
type talker struct {
	terminal int // its signal
	zero     int // a return of the same section, or of the device where the section has none
}

func checkFloatingGround(b *Analysis) []Finding {
	zeros := b.signalZeros()
	talkers := map[int32][]talker{}
	lines := b.signalLines()
	for t := range b.Machine.Terminals {
		role := b.role(t)
		if role != model.RoleSignal && role != model.RoleDrive {
			continue
		}
		if zero, found := zeros(t); found {
			talkers[lines[t]] = append(talkers[lines[t]], talker{t, zero})
		}
	}
	type pair struct{ one, other int32 }
	groups := map[pair][][2]talker{}
	for _, line := range talkers {
		slices.SortFunc(line, func(x, y talker) int { return b.compareTerminals(x.terminal, y.terminal) })
		for key, ends := range b.partedTalkers(line) {
			p := pair{key[0], key[1]}
			groups[p] = append(groups[p], ends)
		}
	}
	var list []Finding
	for _, ends := range groups {
		slices.SortFunc(ends, func(x, y [2]talker) int { return b.compareTerminals(x[0].terminal, y[0].terminal) })
		list = append(list, b.floating(ends))
	}
	sortFindings(list)
	return append(list, b.explained["floating-ground"]...)
}

// partedTalkers returns, for each two islands of 0 V that talkers of one line
// sit on, one talker of each. A line of nothing but drives is no signal.
func (b *Analysis) partedTalkers(line []talker) map[[2]int32][2]talker {
	first := map[int32]talker{}
	var islands []int32
	signal := false
	for _, end := range line {
		signal = signal || b.role(end.terminal) == model.RoleSignal
		island := b.common[end.zero]
		if _, known := first[island]; !known {
			first[island] = end
			islands = append(islands, island)
		}
	}
	parted := map[[2]int32][2]talker{}
	if !signal {
		return parted
	}
	// Each island against the first only: with k islands, k-1 links mend it.
	for _, island := range islands[1:] {
		one, other := first[islands[0]], first[island]
		if b.device(one.terminal) == b.device(other.terminal) {
			continue
		}
		parted[[2]int32{min(islands[0], island), max(islands[0], island)}] = [2]talker{one, other}
	}
	return parted
}

// signalZeros returns what finds the return that a signal counts against. A
// device that shows no return, or whose return is itself lost (no-return says
// so), is not judged.
func (b *Analysis) signalZeros() func(t int) (int, bool) {
	bySection := map[section]int{}
	byDevice := map[string][]int{}
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role != model.RoleReturn {
			continue
		}
		if known, found := bySection[b.section(t)]; !found || b.compareTerminals(t, known) < 0 {
			bySection[b.section(t)] = t
		}
		byDevice[terminal.Device] = append(byDevice[terminal.Device], t)
	}
	lost := map[section]bool{}
	for _, driver := range b.Parts.Drivers {
		if len(driver.Returns) > 0 && len(b.reach.grounds(driver.Returns[0], false)) == 0 && b.wired(driver.Drive) {
			lost[b.section(driver.Drive)] = true
		}
	}
	return func(t int) (int, bool) {
		zero, found := bySection[b.section(t)]
		if !found {
			// A signal in a section without a return is isolated, or the map does
			// not say against what it counts; one return for the whole device is
			// clear enough where the device names no sections.
			if all := byDevice[b.device(t)]; len(all) == 1 && b.Machine.Terminals[t].Section == "" {
				zero, found = all[0], true
			}
		}
		if !found {
			return 0, false
		}
		for _, load := range b.loadsAt[zero] {
			if b.mapped(load) && len(b.Returning(load)) == 0 {
				return 0, false
			}
		}
		if lost[b.section(zero)] {
			return 0, false
		}
		return zero, true
	}
}

// signalLines numbers the terminals by what a signal runs through: metal, and
// resistors between nets that are neither rail nor return.
func (b *Analysis) signalLines() []int32 {
	nets := b.AsIntended.Nets()
	lines := kit.NewSets[int32](len(nets.List))
	small := func(net int) bool {
		switch nets.List[net].Kind {
		case graphs.NetSignal, graphs.NetDrive, graphs.NetOther:
			return true
		default:
			return false
		}
	}
	for _, e := range b.AsIntended.Elements {
		if from, to := nets.Of[e.A], nets.Of[e.B]; e.Kind == graphs.Resistance && small(from) && small(to) && !b.ofLoad(e) {
			lines.Union(int32(from), int32(to))
		}
	}
	list := make([]int32, len(b.Machine.Terminals))
	for t := range list {
		list[t] = lines.Find(int32(nets.Of[t]))
	}
	return list
}

func (b *Analysis) floating(ends [][2]talker) Finding {
	d := b.draft("floating-ground", Warning)
	var lines []string
	for _, pair := range ends {
		one, other := pair[0], pair[1]
		lines = append(lines, fmt.Sprintf("%s to %s", b.name(one.terminal), b.name(other.terminal)))
		d.blameTerminals(one.terminal, other.terminal)
		_, steps, _ := b.shortest(b.AsIntended, one.terminal,
			func(id int) bool { return b.AsIntended.Elements[id].Joins() }, func(t int) bool { return t == other.terminal })
		for _, id := range steps {
			if b.isWire(id) {
				d.elements(id)
			}
		}
		d.nets(one.terminal, one.zero, other.zero)
	}
	one, other := ends[0][0], ends[0][1]
	message := fmt.Sprintf("The signal %s runs between %s and %s, but the return %s (%s) and the return %s (%s) meet nowhere.",
		judge.ListText(lines, 4), b.device(one.terminal), b.device(other.terminal),
		b.name(one.zero), b.Net(one.zero).Name, b.name(other.zero), b.Net(other.zero).Name)
	d.headed("%s and %s have no common 0 V for their signal", b.device(one.terminal), b.device(other.terminal))
	advice := fmt.Sprintf("USB, screens and the signal lead out: ohms from %s to %s, expected open: that proves it. Then one deliberate "+
		"link beside the signal and a bond in the map, or an isolator. What floats may stand at any volts against the other: plug out before the two are joined.", b.name(one.zero), b.name(other.zero))
	return d.say(1, message, advice)
}
