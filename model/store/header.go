package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"bellout/model/atomicfile"
)

// ApplicationID marks an SQLite file as a Bellout project.
const ApplicationID = atomicfile.ApplicationID

// headerSize and the offsets are those of the SQLite file format
// (sqlite.org/fileformat2.html, section 1.3).
const (
	headerSize      = 100
	headerMagic     = "SQLite format 3\x00"
	offPageSize     = 16
	offReadFormat   = 19
	offChange       = 24
	offPageCount    = 28
	offUserVersion  = 60
	offApplication  = 68
	offValidFor     = 92
	walHeaderSize   = 32
	walSuffix       = "-wal"
	shmSuffix       = "-shm"
	rollbackSuffix  = "-journal"
	minPageSize     = 512
	pageSizeOf65536 = 1 // how the format writes 65536 in two bytes
	formatWAL       = 2 // the read format of a file that a write-ahead log may belong to
)

// look is what can be told of a project file by reading it, without SQLite:
// SQLite would create files beside it, and would roll a foreign one back.
type look struct {
	size     int64
	modified time.Time
	version  int   // of the schema, as the header has it
	changed  int64 // SQLite's count of changes
	pages    int64 // as the header has them
	pageSize int64

	// Versions of before kept what they wrote in a write-ahead log.
	keepsLog  bool
	walSize   int64 // 0: no write-ahead log, or an empty one
	walHeader [walHeaderSize]byte

	// The rollback journal: another program is writing, or one ended while it wrote.
	rollbackSize     int64
	rollbackModified time.Time
}

// lookAt reads the header of a file and says what speaks against it. The path is
// one without links: what lies beside the file lies beside the file itself.
func lookAt(path string) (look, error) {
	stat, err := os.Stat(path)
	if err != nil {
		return look{}, fileError(path, err)
	}
	if stat.IsDir() {
		return look{}, &Error{Kind: ErrFolder, Path: path, Problem: "this is a folder", Mend: "name the .bellout file in it"}
	}
	if !stat.Mode().IsRegular() {
		return look{}, &Error{Kind: ErrNotProject, Path: path, Problem: "this is no ordinary file", Mend: "name a .bellout file"}
	}
	if stat.Size() == 0 {
		return look{}, &Error{Kind: ErrEmpty, Path: path, Problem: "the file is empty", Mend: "delete it, or go on with a backup of it"}
	}
	file, err := os.Open(path)
	if err != nil {
		return look{}, fileError(path, err)
	}
	defer file.Close() //nolint:errcheck // read only
	var header [headerSize]byte
	if _, err := io.ReadFull(file, header[:]); err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return look{}, fileError(path, err)
	}
	seen := look{size: stat.Size(), modified: stat.ModTime()}
	if err := seen.besides(path); err != nil {
		return look{}, err
	}
	return seen, seen.judge(path, header[:])
}

// besides looks at the files that SQLite keeps next to the project.
func (l *look) besides(path string) error {
	if rollback, err := os.Stat(path + rollbackSuffix); err == nil {
		l.rollbackSize, l.rollbackModified = rollback.Size(), rollback.ModTime()
	}
	wal, err := os.Open(path + walSuffix)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fileError(path+walSuffix, err)
	}
	defer wal.Close() //nolint:errcheck // read only
	stat, err := wal.Stat()
	if err != nil {
		return fileError(path+walSuffix, err)
	}
	l.walSize = stat.Size()
	if _, err := io.ReadFull(wal, l.walHeader[:]); err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return fileError(path+walSuffix, err)
	}
	return nil
}

func (l *look) judge(path string, header []byte) error {
	if string(header[:len(headerMagic)]) != headerMagic {
		return &Error{Kind: ErrNotProject, Path: path, Problem: "this is no Bellout project", Mend: "name a .bellout file, or import a CSV folder into a new one"}
	}
	if l.size < headerSize {
		return damaged(path, fmt.Sprintf("only %d bytes are left of the file", l.size), nil)
	}
	number := func(at int) int64 { return int64(binary.BigEndian.Uint32(header[at:])) }
	if id := number(offApplication); id != ApplicationID {
		return &Error{Kind: ErrNotProject, Path: path, Problem: "this SQLite file belongs to another program", Mend: "name a .bellout file"}
	}
	l.version = int(number(offUserVersion))
	if err := checkVersion(path, l.version); err != nil {
		return err
	}
	l.pageSize = int64(binary.BigEndian.Uint16(header[offPageSize:]))
	if l.pageSize == pageSizeOf65536 {
		l.pageSize = 65536
	}
	if l.pageSize < minPageSize || l.pageSize&(l.pageSize-1) != 0 {
		return damaged(path, "the file's header is damaged", nil)
	}
	l.keepsLog = header[offReadFormat] == formatWAL
	if l.walSize > 0 && !l.keepsLog {
		return leftover(path + walSuffix)
	}
	// After a crash pages may still wait in the write-ahead log, or the file may
	// have to be rolled back.
	l.changed, l.pages = number(offChange), number(offPageCount)
	if whole := l.pages * l.pageSize; l.walSize == 0 && l.rollbackSize == 0 && l.changed == number(offValidFor) && l.size < whole {
		return damaged(path, fmt.Sprintf("the file is cut short: %d bytes of %d are left", l.size, whole), nil)
	}
	return nil
}

// leftover refuses to open a project beside which lies what belongs to another
// file of that name: SQLite would play it into this one.
func leftover(path string) error {
	return &Error{Kind: ErrLeftover, Path: path, Problem: "this is left over from an earlier file of that name",
		Mend: "move it away, then open the project again"}
}

func checkVersion(path string, version int) error {
	switch {
	case version > len(migrations):
		return &Error{Kind: ErrNewer, Path: path,
			Problem: fmt.Sprintf("the file has version %d, this Bellout knows up to %d", version, len(migrations)),
			Mend:    "open it with a newer Bellout"}
	case version < 1:
		return damaged(path, "the file has no version", nil)
	}
	return nil
}
