package assets

import (
	"embed"
	"io/fs"
)

//go:embed demo/as-found/*.csv demo/as-repaired/*.csv
var demo embed.FS

// The states in which the demo machine comes.
const (
	AsFound    = "as-found"
	AsRepaired = "as-repaired"
)

// DemoStates lists them, the one to begin with first.
var DemoStates = []string{AsFound, AsRepaired}

// Demo returns the CSV files of Lantern Lock in one of DemoStates; of another
// state it returns a folder without any.
//
// The demo machine is a travelling museum exhibit: a working canal lock on two
// tables, with an upper and a lower basin, paddles, gates, culvert valves,
// pumps, lanterns and sound, which visitors run from a desk. Four supplies of
// 24, 12, 36 and 5 V meet with their returns at one star (X20), where 0 V is
// joined to earth once; the audio supply (G5) floats on purpose. What stands
// in the gate house, on 36, 12 and 5 V, shares one way home through pin 12 of
// plug J7.
//
// demo/as-found is the machine as it was opened: three devices of the gate
// house had failed within two months. Besides, a wire (W228) joins +36 V to
// +24 V, a strap (W229) joins the audio return to the others, the return of
// the right-hand light strip (W130) is open and a loom in the lower basin is
// pinched; the last two show in the readings only. A coil that beeps, a
// capacitor that climbs, a strip that reads open and the intended bond to earth
// look like faults and are none. demo/as-repaired is the same machine after the
// repair, with the readings of the day after.
//
// Both are folders of CSV in the form that an export writes, which is also what
// anybody would write by hand.
func Demo(state string) fs.FS {
	folder, err := fs.Sub(demo, "demo/"+state)
	if err != nil {
		return demo // an invalid path: it holds no table at its top
	}
	return folder
}
