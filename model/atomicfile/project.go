package atomicfile

import (
	"encoding/binary"
	"errors"
	"io"
	"os"
)

// ApplicationID marks an SQLite file as a Bellout project: "Belt" in ASCII.
const ApplicationID = 0x42656C74

// The magic, and where an SQLite file says whose it is (sqlite.org/fileformat2.html,
// section 1.3).
const (
	sqliteMagic    = "SQLite format 3\x00"
	offApplication = 68
)

// IsProject says whether a file is a Bellout project, by its own bytes. It must
// not be asked of a project that this process has open: closing a file takes
// away the locks that SQLite has on it.
func IsProject(path string) (bool, error) {
	file, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer file.Close() //nolint:errcheck // read only
	var header [offApplication + 4]byte
	if _, err := io.ReadFull(file, header[:]); errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return false, nil
	} else if err != nil {
		return false, err
	}
	return string(header[:len(sqliteMagic)]) == sqliteMagic && binary.BigEndian.Uint32(header[offApplication:]) == ApplicationID, nil
}
