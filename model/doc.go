// Package model says what a machine is: devices and their terminals, the links
// inside a device, the wires between devices, the returns that are meant to be
// common, the readings taken at the bench, and the edits that change any of it.
//
// Words, as the trade uses them:
//
//   - terminal: one point a probe can touch, written DEVICE:MARK (G1:+).
//   - link: a conduction path inside one device, between two of its terminals.
//   - wire: one conductor between two terminals.
//   - bond: a permission for two returns to be common; it conducts nothing.
//   - reading: one touch of the meter; it is never changed, only struck out.
//   - edit: a set of changes that hold together, with a way back.
//
// The package knows no graph, no rule, no file and no clock.
package model
