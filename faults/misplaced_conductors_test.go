package faults

import (
	"fmt"
	"strings"
	"testing"

	"bellout/model"
)

// plugOf is a controller whose n outputs go over a plug to the lamps of n
// stations, each with a wire on either face of the plug.
func plugOf(n int) string {
	var text, pins, outs strings.Builder
	for k := 1; k <= n; k++ {
		fmt.Fprintf(&pins, "%d pass, %da pass, ", k, k)
		fmt.Fprintf(&outs, "O%d signal, ", k)
		fmt.Fprintf(&text, "device S%d sensor : X signal\nlink J1 %d %da solid\nwire A%d U1:O%d J1:%d\nwire B%d J1:%da S%d:X\n", k, k, k, k, k, k, k, k, k)
	}
	return fmt.Sprintf("device U1 controller : %s\ndevice J1 connector : %s\n", strings.TrimSuffix(outs.String(), ", "), strings.TrimSuffix(pins.String(), ", ")) + text.String()
}

// pinned moves the wires A1 to An of plugOf to other pins; 0: the wire is off.
func pinned(n int, to func(k int) int) []string {
	var lines []string
	for k := 1; k <= n; k++ {
		switch pin := to(k); {
		case pin == 0:
			lines = append(lines, fmt.Sprintf("drop A%d", k))
		default:
			lines = append(lines, fmt.Sprintf("wire A%d U1:O%d J1:%d", k, k, pin))
		}
	}
	return lines
}

// rung is a probe of each output to each of the named sensors.
func rung(pairs ...[2]int) string {
	probes := make([]string, len(pairs))
	for i, pair := range pairs {
		probes[i] = fmt.Sprintf("U1:O%d S%d:X", pair[0], pair[1])
	}
	return strings.Join(probes, "; ")
}

func mirror(n int) func(int) int { return func(k int) int { return n + 1 - k } }

func shift(n, step int, round bool) func(int) int {
	return func(k int) int {
		switch to := k + step; {
		case to >= 1 && to <= n:
			return to
		case !round:
			return 0
		case to < 1:
			return n
		default:
			return 1
		}
	}
}

// straight rings every line pin for pin, across rings where each lands.
func straight(n int) (pairs [][2]int) {
	for k := 1; k <= n; k++ {
		pairs = append(pairs, [2]int{k, k})
	}
	return pairs
}

func across(n int, to func(int) int) (pairs [][2]int) {
	for k := 1; k <= n; k++ {
		if to(k) > 0 {
			pairs = append(pairs, [2]int{k, to(k)})
		}
	}
	return pairs
}

func TestAPlugPinnedWrongIsOneFinding(t *testing.T) {
	for _, c := range []struct {
		id, name string
		pins     int
		truth    func(int) int
		pairs    [][2]int
		says     string
	}{
		{"F10", "3 pins mirrored, all rung", 3, mirror(3), append(straight(3), across(3, mirror(3))...), "J1 is mirrored: its 3 wired pins"},
		{"F10", "4 pins mirrored, all rung", 4, mirror(4), append(straight(4), across(4, mirror(4))...), "J1 is mirrored: its 4 wired pins"},
		{"F10", "8 pins mirrored, all rung", 8, mirror(8), append(straight(8), across(8, mirror(8))...), "J1 is mirrored: its 8 wired pins"},
		{"F10", "8 pins mirrored, only where they land", 8, mirror(8), across(8, mirror(8)), "J1 is mirrored"},
		{"F10", "8 pins mirrored, pins 1 and n and one in the middle", 8, mirror(8), [][2]int{{1, 1}, {1, 8}, {8, 1}, {4, 5}}, "J1 is mirrored"},
		{"F10", "8 pins mirrored, three silent and two found", 8, mirror(8), [][2]int{{1, 1}, {2, 2}, {3, 3}, {2, 7}, {3, 6}}, "J1 is mirrored"},
		{"F10", "5 pins mirrored, the middle one stays", 5, mirror(5), [][2]int{{1, 5}, {3, 3}, {4, 2}}, "J1 is mirrored"},
		{"F09", "3 pins shifted, all rung", 3, shift(3, 1, false), append(straight(3), across(3, shift(3, 1, false))...), "J1 is shifted by one over 3 wired pins"},
		{"F09", "4 pins shifted up", 4, shift(4, 1, false), append(straight(4), across(4, shift(4, 1, false))...), "hangs free"},
		{"F09", "4 pins shifted down", 4, shift(4, -1, false), append(straight(4), across(4, shift(4, -1, false))...), "J1 is shifted by one over 4 wired pins"},
		{"F09", "8 pins shifted, the last on the first", 8, shift(8, 1, true), append(straight(8), across(8, shift(8, 1, true))...), "J1 is shifted by one over 8 wired pins"},
		{"F09", "8 pins shifted, two far-apart pins", 8, shift(8, 1, false), [][2]int{{1, 1}, {1, 2}, {7, 8}}, "J1 is shifted by one over 8 wired pins"},
		{"F09", "8 pins shifted, only silence and one landing", 8, shift(8, 1, false), [][2]int{{1, 1}, {3, 3}, {6, 6}, {3, 4}}, "J1 is shifted by one"},
	} {
		t.Run(c.id+" "+c.name, func(t *testing.T) {
			m := build(t, plugOf(c.pins))
			truth := change(t, build(t, plugOf(c.pins)), pinned(c.pins, c.truth)...)
			measure(t, m, truth, rung(c.pairs...))
			found := called(m)
			if len(found) != 1 || found[0].Rule != nameSwapped || !strings.Contains(found[0].Message, c.says) || found[0].Devices[0] != "J1" {
				t.Fatalf("got %s\nwant one finding swapped: %s", told(found), c.says)
			}
			for k := 1; k <= c.pins; k++ {
				a, b := fmt.Sprintf("A%d", k), fmt.Sprintf("B%d", k)
				if c.truth(k) != k && !has(found[0].Wires, a) && !has(found[0].Wires, b) {
					t.Errorf("neither %s nor %s is among the wires %v", a, b, found[0].Wires)
				}
			}
			if !strings.Contains(found[0].Advice, "probe ") {
				t.Errorf("the advice names no probe: %s", found[0].Advice)
			}
		})
	}
}

// Faults that have nothing to do with each other are no pattern, however near
// they lie.
func TestTwoFaultsOnOnePlugAreNoPattern(t *testing.T) {
	swaps := func(k int) int { return [...]int{0, 2, 1, 4, 3, 5, 6, 7, 8}[k] }
	for _, c := range []struct {
		name   string
		truth  []string
		probes string
		want   []string
	}{
		{"two pairs changed over", pinned(8, swaps), rung(append(straight(8), across(8, swaps)...)...), []string{"swapped", "swapped"}},
		{"one pair changed over, all else proven", pinned(4, func(k int) int { return [...]int{0, 4, 2, 3, 1}[k] }),
			rung([2]int{1, 1}, [2]int{4, 4}, [2]int{1, 4}, [2]int{4, 1}, [2]int{2, 2}, [2]int{3, 3}), []string{"swapped"}},
		{"one line open, two others touching", []string{"drop A1", "wire X S4:X S5:X"},
			rung(append(straight(8), [2]int{4, 5}, [2]int{5, 4}, [2]int{1, 2})...), []string{"short", "open"}},
		{"two lines open", []string{"drop A1", "drop A3"}, rung(straight(8)...), []string{"open", "open"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			pins := 8
			if len(c.truth) == 4 {
				pins = 4
			}
			m := build(t, plugOf(pins))
			measure(t, m, change(t, build(t, plugOf(pins)), c.truth...), c.probes)
			found := called(m)
			if len(found) != len(c.want) {
				t.Fatalf("got %s\nwant %v", told(found), c.want)
			}
			for i, f := range found {
				if f.Rule != c.want[i] || strings.Contains(f.Message, "mirrored:") || strings.Contains(f.Message, "is shifted by one") {
					t.Errorf("got %s\nwant %v, and no pattern", told(found), c.want)
				}
			}
		})
	}
}

func TestAWireOnTheNeighbouringPlaceIsTheCulprit(t *testing.T) {
	const blocks = `
		device G1 supply limit=10 : + rail 24, - return
		device G2 supply limit=5 : + rail 12, - return
		device TB1 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass, 5 pass, 6 pass
		device E1 solenoid load=1 : + feed 24, - return
		device E2 solenoid load=1 : + feed 12, - return
		wire W1 G1:+ TB1:1
		wire W2 TB1:1 E1:+
		wire W3 G2:+ TB1:2
		wire W4 TB1:2 E2:+
		wire W5 G1:- TB1:3
		wire W6 TB1:3 E1:-
		wire W7 G2:- TB1:4
		wire W8 TB1:4 E2:-
	`
	for _, c := range []struct{ name, truth, probes, want, wire string }{
		{"a rail on another", "wire W1 G1:+ TB1:2", "G1:+ TB1:1; G1:+ TB1:2; TB1:1 E1:+", "rail-cross", "W1"},
		{"a rail on a return", "wire W3 G2:+ TB1:3", "G2:+ TB1:2; G2:+ TB1:3; TB1:2 E2:+", "short", "W3"},
		{"a return on another", "wire W5 G1:- TB1:4", "G1:- TB1:3; G1:- TB1:4; TB1:3 E1:-", "mixed-ground", "W5"},
		{"a load's feed on the next rail joins nothing", "wire W2 TB1:2 E1:+", "TB1:1 E1:+; TB1:2 E1:+; G1:+ TB1:1", "open", "W2"},
		{"the other end of a chain", "wire W7 G2:- TB1:3", "G2:- E2:-; G2:- E1:-; E2:- TB1:4", "mixed-ground", "W7"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := build(t, blocks)
			measure(t, m, change(t, build(t, blocks), c.truth), c.probes)
			found := called(m)
			if len(found) != 1 || found[0].Rule != c.want || len(found[0].Wires) == 0 || found[0].Wires[0] != c.wire {
				t.Errorf("got %s\nwant one finding %s that names %s first", told(found), c.want, c.wire)
			}
		})
	}
}

// A crossing that the map draws and a reading refutes: the wire drawn across is
// the culprit, not a joint of the rails' own wires.
func TestARefutedCrossingBlamesTheWireAcross(t *testing.T) {
	const rails = `
		device G1 supply limit=10 : + rail 24, - return
		device G2 supply limit=5 : + rail 12, - return
		device TB1 terminal-block : 1 pass, 2 pass
		device TB2 terminal-block : 1 pass, 2 pass
		link TB1 1 2 solid
		link TB2 1 2 solid
		device E1 solenoid load=1 : + feed 24, - return
		device E2 solenoid load=1 : + feed 12, - return
		wire W1 G1:+ TB1:1
		wire W2 G2:+ TB2:1
		wire W3 TB1:1 E1:+
		wire W4 TB2:1 E2:+
		wire W5 E1:- G1:-
		wire W6 E2:- G2:-
		wire WX TB1:2 TB2:2
	`
	if found := Check(build(t, rails)).Findings; len(found) != 1 || found[0].Rule != nameRailCross || found[0].Wires[0] != "WX" {
		t.Fatalf("the map alone: %s, want one rail-cross by WX", told(found))
	}
	found := Check(read(t, build(t, rails), "G1:+ G2:+ OL")).Findings
	if len(found) != 1 || found[0].Rule != nameOpen || found[0].Wires[0] != "WX" || found[0].Confidence < 0.5 {
		t.Errorf("got %s, want one open that names WX first", told(found))
	}
	// another cause is named where readings say so
	found = called(read(t, build(t, rails), "G1:+ G2:+ OL", "TB1:1 TB2:1 beep", "G1:+ TB1:1 silent"))
	if len(found) != 2 || !has(found[0].Wires[:1], "W1") && !has(found[1].Wires[:1], "W1") {
		t.Errorf("got %s, want W1 open beside the crossing", told(found))
	}
}

// called returns the findings that readings call for.
func called(m *model.Machine) []Finding {
	var list []Finding
	for _, f := range Check(m).Findings {
		if len(f.Readings) > 0 {
			list = append(list, f)
		}
	}
	return list
}

func told(list []Finding) string {
	var text strings.Builder
	for _, f := range list {
		fmt.Fprintf(&text, "\n%s %.2f wires %v terminals %v: %s\n  %s", f.Rule, f.Confidence, f.Wires, f.Terminals, f.Message, f.Advice)
	}
	return text.String()
}

func has(list []string, want string) bool {
	for _, s := range list {
		if s == want {
			return true
		}
	}
	return false
}
