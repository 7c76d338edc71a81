package faults

import (
	"testing"

	"bellout/model"
)

// onlySwapped demands that the one finding of a machine is swapped.
func onlySwapped(t *testing.T, m *model.Machine) Finding {
	t.Helper()
	list := Check(m).Findings
	if len(list) != 1 || list[0].Rule != "swapped" || list[0].Severity != Fault {
		t.Fatalf("got %d findings, want one swapped: %s", len(list), briefs(list))
	}
	return list[0]
}

func TestLineAndNeutralChangedOverIsOneFinding(t *testing.T) {
	m := build(t, `
		device X1 mains-inlet limit=10 : L line, N neutral, PE earth
		device G1 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
		device E1 lamp load=0.5 : + feed 24, - return
		wire WL X1:L G1:N gauge=1.5mm2 length=1
		wire WN X1:N G1:L gauge=1.5mm2 length=1
		wire WPE X1:PE G1:PE gauge=1.5mm2 length=1
		wire W1 G1:+ E1:+ gauge=1.5mm2 length=1
		wire W2 E1:- G1:- gauge=1.5mm2 length=1`)
	f := onlySwapped(t, m)
	starts(t, "wires", f.Wires, "WN", "WL")
	starts(t, "terminals", f.Terminals, "G1:L", "G1:N")
	says(t, f.Message, "G1:L and G1:N are swapped at G1")
	says(t, f.Advice, "plug", "never probe it live", "ohms", "licensed person")
}

// A second supply that hangs on the first one's terminals is wrong with it: one
// exchange at the inlet's wires explains both.
func TestLineAndNeutralChangedOverBeforeAChain(t *testing.T) {
	m := build(t, `
		device X1 mains-inlet limit=10 : L line, N neutral, PE earth
		device G1 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
		device G2 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
		wire WL X1:L G1:N gauge=1.5mm2 length=1
		wire WN X1:N G1:L gauge=1.5mm2 length=1
		wire WPE X1:PE G1:PE gauge=1.5mm2 length=1
		wire VL G1:L G2:L gauge=1.5mm2 length=1
		wire VN G1:N G2:N gauge=1.5mm2 length=1
		wire VPE G1:PE G2:PE gauge=1.5mm2 length=1`)
	f := onlySwapped(t, m)
	if len(f.Wires) != 2 {
		t.Errorf("wires %v, want two", f.Wires)
	}
}

// A wire from line to neutral is a short and no exchange.
func TestOneMainsCrossingIsAShort(t *testing.T) {
	m := build(t, `
		device X1 mains-inlet limit=10 : L line, N neutral, PE earth
		device G1 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
		wire WL X1:L G1:L gauge=1.5mm2 length=1
		wire WN X1:N G1:N gauge=1.5mm2 length=1
		wire WPE X1:PE G1:PE gauge=1.5mm2 length=1
		wire WX G1:L G1:N gauge=1.5mm2 length=1`)
	one(t, m, "short")
	silent(t, m, "swapped")
}

const bothSigns = `
	device G1 supply limit=1 : + rail 12, 0 return, - rail -12
	device A1 amplifier load=0.3 : + feed 12, 0 return, - feed -12
	device A2 amplifier load=0.2 : + feed 12, 0 return, - feed -12
	wire W1 G1:+ A1:+ gauge=AWG18 length=0.5
	wire W2 G1:0 A1:0 gauge=AWG18 length=0.5
	wire W3 G1:- A1:- gauge=AWG18 length=0.5
	wire W5 G1:0 A2:0 gauge=AWG18 length=0.5
`

func TestFeedsOfOppositeSignChangedOver(t *testing.T) {
	f := onlySwapped(t, build(t, bothSigns, "wire W4 G1:- A2:+ gauge=AWG18 length=0.5\nwire W6 G1:+ A2:- gauge=AWG18 length=0.5"))
	starts(t, "wires", f.Wires, "W4", "W6")
	starts(t, "terminals", f.Terminals, "A2:+", "A2:-")
	says(t, f.Message, "are swapped", "-12 V", "12 V")
	one(t, build(t, bothSigns, "wire W4 G1:+ A2:+ gauge=AWG18 length=0.5\nwire W6 G1:+ A2:- gauge=AWG18 length=0.5"), "over-voltage")
}

func TestFeedsOfDifferentVoltsChangedOver(t *testing.T) {
	const twoVolts = `
		device G1 supply limit=1 : 24 rail 24, 5 rail 5, 0 return
		device H1 lamp load=0.1 : + feed 24, - return
		device U1 controller load=0.1 : 5 feed 5, 0 return
		device X1 connector : 1 pass, 2 pass
		device X2 connector : 1 pass, 2 pass
		wire C1 X1:1 X2:1 gauge=AWG18 length=0.5
		wire C2 X1:2 X2:2 gauge=AWG18 length=0.5
		wire W5 H1:- G1:0 gauge=AWG18 length=0.5
		wire W4 G1:24 H1:+ gauge=AWG18 length=0.5
		wire W6 G1:5 U1:5 gauge=AWG18 length=0.5
		wire W7 U1:0 G1:0 gauge=AWG18 length=0.5
	`
	t.Run("at the load", func(t *testing.T) {
		f := onlySwapped(t, build(t, twoVolts, "device A1 driver load=0.3 : VM feed 24, VL feed 5, 0 return\nwire W3 A1:0 G1:0\nwire W1 G1:24 A1:VL gauge=AWG18 length=0.5\nwire W2 G1:5 A1:VM gauge=AWG18 length=0.5"))
		starts(t, "wires", f.Wires, "W1", "W2")
		starts(t, "terminals", f.Terminals, "A1:VL", "A1:VM")
	})
	t.Run("on the way, two devices behind", func(t *testing.T) {
		f := onlySwapped(t, build(t, twoVolts, `
			device A1 driver load=0.3 : VM feed 24, 0 return
			device A2 driver load=0.3 : VL feed 5, 0 return
			wire W3 A1:0 G1:0
			wire W8 A2:0 G1:0 gauge=AWG18 length=0.5
			wire W1 G1:24 X1:1 gauge=AWG18 length=0.5
			wire W2 G1:5 X1:2 gauge=AWG18 length=0.5
			wire W10 X2:1 A2:VL gauge=AWG18 length=0.5
			wire W11 X2:2 A1:VM gauge=AWG18 length=0.5`))
		says(t, f.Message, "A1:VM", "A2:VL", "are swapped")
	})
	t.Run("at the supply, every load wrong", func(t *testing.T) {
		f := onlySwapped(t, build(t, `
			device G1 supply limit=1 : 24 rail 24, 5 rail 5, 0 return
			device H1 lamp load=0.1 : + feed 24, - return
			device H2 lamp load=0.1 : + feed 24, - return
			device U1 controller load=0.1 : 5 feed 5, 0 return
			device U2 controller load=0.1 : 5 feed 5, 0 return
			wire W1 G1:24 U1:5 gauge=AWG18 length=0.5
			wire W2 U1:5 U2:5 gauge=AWG18 length=0.5
			wire W3 G1:5 H1:+ gauge=AWG18 length=0.5
			wire W4 H1:+ H2:+ gauge=AWG18 length=0.5
			wire W5 H1:- G1:0 gauge=AWG18 length=0.5
			wire W6 H2:- G1:0 gauge=AWG18 length=0.5
			wire W7 U1:0 G1:0 gauge=AWG18 length=0.5
			wire W8 U2:0 G1:0 gauge=AWG18 length=0.5`))
		starts(t, "wires", f.Wires, "W3", "W1")
		starts(t, "terminals", f.Terminals, "G1:5", "G1:24")
	})
	t.Run("two loads without a common device are two faults", func(t *testing.T) {
		m := build(t, twoVolts, `
			device A1 driver load=0.3 : VM feed 24, 0 return
			device A2 driver load=0.3 : VL feed 5, 0 return
			wire W3 A1:0 G1:0
			wire W8 A2:0 G1:0 gauge=AWG18 length=0.5
			wire W1 H1:+ A2:VL gauge=AWG18 length=0.5
			wire W2 U1:5 A1:VM gauge=AWG18 length=0.5`)
		silent(t, m, "swapped")
		if len(ruleOf(t, m, "over-voltage")) != 1 || len(ruleOf(t, m, "under-voltage")) != 1 {
			t.Error("want one over-voltage and one under-voltage")
		}
	})
}
