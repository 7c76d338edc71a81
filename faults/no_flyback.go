package faults

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

var ruleNoFlyback = Rule{
	Name:  "no-flyback",
	Title: "A driven coil with no diode across it",
	Why: "A coil that is switched off keeps its current going and lifts the volts at the output until something breaks down; outputs die of it " +
		"one after another, months apart. The rule looks at the resistance link of every solenoid, relay and motor with an end on a driver's output, " +
		"and asks for a diode link across the same two nets, or one in the driver from its output to the rail that feeds the coil, " +
		"with the cathode on the positive side. A motor between the two outputs of a bridge is left out: there the bridge itself has to carry the current.",
	Check: checkNoFlyback,
}

// coil is the winding between two nets that a driver switches.
type coil struct {
	link   model.Link
	a, b   int // terminals at its ends
	driver int // place in Parts.Drivers: the output at one end
	drive  int // that end
	other  int // the end that is not switched
}

func checkNoFlyback(b *Analysis) []Finding {
	w := newWiring(b)
	coils := w.drivenCoils()
	if len(coils) == 0 {
		return nil
	}
	diodes := w.diodesByNet()
	var bare []coil
	backwards := map[string]int{} // by link: the diode that is fitted the wrong way round
	for _, one := range coils {
		suppressed, wrong := w.suppressed(one, diodes)
		if !suppressed {
			bare = append(bare, one)
			if wrong >= 0 {
				backwards[one.link.ID()] = wrong
			}
		}
	}
	byDriver := map[string][]string{} // the bare coils of a device
	for _, one := range bare {
		device := b.Parts.Drivers[one.driver].Device
		byDriver[device] = append(byDriver[device], one.link.Device)
	}
	var findings []Finding
	for _, one := range bare {
		wrong, found := backwards[one.link.ID()]
		if !found {
			wrong = -1
		}
		findings = append(findings, w.flybackFinding(one, wrong, byDriver[b.Parts.Drivers[one.driver].Device]))
	}
	return findings
}

// drivenCoils lists the coils with an end on a driver's output, sorted; several
// windings of one device between the same two nets are one.
func (w *wiring) drivenCoils() []coil {
	type span struct {
		device string
		a, b   int
	}
	seen := map[span]bool{}
	var coils []coil
	for row, link := range w.b.Machine.Links {
		if link.Kind != model.LinkResistance {
			continue
		}
		switch w.b.kindOf(link.Device) {
		case model.KindSolenoid, model.KindRelay, model.KindMotor:
		default:
			continue
		}
		e := w.c.Elements[w.c.LinkElement(row)]
		a, b := w.net(e.A), w.net(e.B)
		onA, onB := w.drives[a], w.drives[b]
		if a == b || len(onA)+len(onB) == 0 || seen[span{link.Device, min(a, b), max(a, b)}] {
			continue
		}
		one := coil{link: link, a: e.A, b: e.B, drive: e.A, other: e.B}
		if len(onA) > 0 && len(onB) > 0 && w.bridge(onA) && w.bridge(onB) {
			continue
		}
		if len(onA) == 0 {
			one.drive, one.other = e.B, e.A
			onA = onB
		}
		one.driver = slices.MinFunc(onA, func(x, y int) int {
			return model.CompareRefs(w.c.Ref(w.b.Parts.Drivers[x].Drive), w.c.Ref(w.b.Parts.Drivers[y].Drive))
		})
		seen[span{link.Device, min(a, b), max(a, b)}] = true
		coils = append(coils, one)
	}
	slices.SortFunc(coils, func(x, y coil) int {
		return cmp.Or(model.CompareRefs(x.link.FromRef(), y.link.FromRef()), model.CompareRefs(x.link.ToRef(), y.link.ToRef()))
	})
	return coils
}

// bridge says whether outputs can both sink and source.
func (w *wiring) bridge(drivers []int) bool {
	return slices.ContainsFunc(drivers, func(i int) bool {
		return len(w.b.Parts.Drivers[i].Feeds) > 0 && len(w.b.Parts.Drivers[i].Returns) > 0
	})
}

// diodesByNet lists the diode elements that have an end in each net.
func (w *wiring) diodesByNet() map[int][]int {
	diodes := map[int][]int{}
	for id, e := range w.c.Elements {
		if e.Kind == graphs.Diode && e.Present {
			addOnce(diodes, w.net(e.A), id)
			addOnce(diodes, w.net(e.B), id)
		}
	}
	return diodes
}

// suppressed looks for a diode across a coil. wrong is one that is fitted
// backwards, or -1.
func (w *wiring) suppressed(one coil, diodes map[int][]int) (found bool, wrong int) {
	wrong = -1
	drive, other := w.net(one.drive), w.net(one.other)
	positive := w.positiveEnd(one)
	for _, id := range diodes[drive] {
		e := w.c.Elements[id]
		far := w.net(e.A)
		if far == drive {
			far = w.net(e.B)
		}
		if far == drive || !w.sameSide(far, other) {
			continue
		}
		cathodeAtDrive := w.net(e.B) == drive
		switch {
		case positive == 0, cathodeAtDrive == (positive > 0):
			return true, -1
		default:
			wrong = id
		}
	}
	return false, wrong
}

// sameSide says whether a diode's far end serves as the coil's far end: the
// same net, another of the same return, or one that the same rail feeds.
func (w *wiring) sameSide(far, other int) bool {
	if far == other {
		return true
	}
	if len(w.drives[far]) > 0 || len(w.drives[other]) > 0 {
		return false
	}
	if theirs, ours := w.returns[far], w.returns[other]; len(theirs) > 0 || len(ours) > 0 {
		return slices.ContainsFunc(theirs, func(i int) bool { return slices.Contains(ours, i) })
	}
	ours := w.origins(other)
	return slices.ContainsFunc(w.origins(far), func(i int) bool { return slices.Contains(ours, i) })
}

// positiveEnd says which end of a coil is the positive one while it is driven:
// +1 the driver's, -1 the other, 0 when the map does not tell.
func (w *wiring) positiveEnd(one coil) int {
	drive, other := w.net(one.drive), w.net(one.other)
	driver := w.b.Parts.Drivers[one.driver]
	switch {
	case len(w.returns[other]) > 0:
		return signOf(w.voltsOf(drive), +1)
	case len(w.drives[other]) == 0 && len(w.origins(other)) > 0:
		return signOf(w.voltsOf(other), -1)
	}
	switch w.b.role(one.drive) {
	case model.RoleReturn:
		return -1
	case model.RoleFeed:
		return +1
	}
	switch {
	case len(driver.Feeds) == 0 && len(driver.Returns) > 0:
		return -1
	case len(driver.Returns) == 0 && len(driver.Feeds) > 0:
		return +1
	}
	return 0
}

// signOf returns the end for positive volts, the other one for negative.
func signOf(volts float64, end int) int {
	if volts < 0 {
		return -end
	}
	return end
}

func (w *wiring) voltsOf(net int) float64 {
	for _, supply := range w.origins(net) {
		return w.b.Parts.Supplies[supply].Volts.Or(0)
	}
	return 0
}

func (w *wiring) flybackFinding(one coil, wrong int, alike []string) Finding {
	driver := w.b.Parts.Drivers[one.driver]
	d := w.b.draft("no-flyback", Warning).blameTerminals(one.a, one.b).terminals(driver.Drive).devices(driver.Device).nets(one.drive, one.other)
	output := w.ref(driver.Drive)
	var text strings.Builder
	advice := fmt.Sprintf("Power off, %s unplugged: put a 9 V battery through 10 ohm on the coil and read the current both ways round. "+
		"A difference of 20 %% or more is a diode, its forward way the higher reading; equal currents mean none, or an open one. ", w.b.unplugText(one.link.Device))
	if wrong >= 0 {
		e := w.c.Elements[wrong]
		d.elements(wrong).headed("The diode across coil %s is backwards", one.link.Device)
		fmt.Fprintf(&text, "The diode from %s to %s lies across the coil %s backwards: it shorts %s the moment the coil is driven.",
			w.ref(e.A), w.ref(e.B), one.link.Place(), output)
		advice += "If it is backwards, turn it: cathode (the ring) to the positive side. Test the output before it drives again."
	} else {
		d.headed("No diode across coil %s, which %s switches", one.link.Device, output)
		fmt.Fprintf(&text, "No diode lies across the coil %s, which %s switches: every switching off drives that output far beyond its supply.",
			one.link.Place(), output)
		advice += "If there is none, fit one at the coil, cathode (the ring) to the positive side; if there is one, add it to the map as a diode link."
	}
	if device, _ := w.b.Machine.Device(driver.Device); device.Health == model.HealthFailed {
		names := eachOnce(alike)
		fmt.Fprintf(&text, " %s has failed; coils without a diode on its outputs: %s. Fit the diodes before a new driver.", driver.Device, judge.ListText(names, 12))
		d.devices(names...)
	} else if device, _ := w.b.Machine.Device(one.link.Device); device.Health == model.HealthFailed {
		fmt.Fprintf(&text, " %s has failed: test the output %s with it.", one.link.Device, output)
	}
	return d.say(1, text.String(), advice)
}
