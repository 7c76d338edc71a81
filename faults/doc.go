// Package faults says what is wrong with a machine: one file a rule, the
// explanation of readings, and how much of the map is proven. It knows no
// window, no command and no file.
package faults
