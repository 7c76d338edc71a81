// Package nextprobe proposes the next touch of the meter, and says why.
//
// There are three goals. Verify proves the map with the fewest touches: a beep
// between the ends of a chain proves the chain, so that a net that is a tree
// with L leaves takes ceil(L/2) of them. Locate tells apart what may explain
// surprising readings, by the most expected information for the trouble. Map
// looks for wires that nobody has written down, the likeliest partners first.
//
// A planner keeps nothing that the file does not hold, but what it was asked to
// skip: after a break it goes on where it was. It never proposes volts on the
// mains side; what belongs to the mains is read in ohms, the plug out.
package nextprobe
