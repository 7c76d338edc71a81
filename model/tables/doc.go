// Package tables reads a machine from a folder of CSV files and writes it
// back: one file a noun, one list of columns a file, and in each column what
// reads the cell beside what prints it, so that the two undo each other and a
// spreadsheet can use the same columns.
//
// Start reading at Content (what a folder said), ReadFolder and WriteFolder.
// The CSV dialect is in scanner.go.
package tables
