// Package assets holds what the program carries with it: the demo machine and
// the tables of numbers by which it judges. All of it is data that can be read
// and edited without Go.
package assets
