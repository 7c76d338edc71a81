package store

import (
	"bytes"
	"encoding/binary"
	"os"
	"time"
)

// The rollback journal of SQLite (sqlite.org/fileformat2.html, section 3): one or
// more parts, each a header that fills a sector and then records, which are a page
// number, the page as it was, and a checksum.
const (
	rollbackMagic  = "\xd9\xd5\x05\xf9\x20\xa1\x63\xd7"
	rollbackHeader = 28
	offRecords     = 8
	offNonce       = 12
	offPagesBefore = 16
	offSector      = 20
	offPage        = 24
	checksumStep   = 200
)

// settles is how long a file and its journal, which are looked at one after the
// other, may seem to be strangers while another program writes.
const settles = 200 * time.Millisecond

// checkRollback refuses a file beside which lies the journal of another one, as
// where somebody puts a backup in the place of a project that ended half way:
// SQLite would roll the pages of that one into this.
func (f *File) checkRollback(seen look) error {
	deadline := time.Now().Add(settles)
	for seen.rollbackSize > 0 && !fits(f.real+rollbackSuffix, seen) {
		if time.Now().After(deadline) {
			return leftover(f.real + rollbackSuffix)
		}
		time.Sleep(5 * time.Millisecond) // a writer may have come between the two looks
		var err error
		if seen, err = lookAt(f.real); err != nil {
			return err
		}
	}
	return nil
}

// fits says whether a journal was written for a file: the first page that it
// keeps is that of the file, before the change or of the change before it. Where
// it does not keep that page yet, the file has as many pages as it says.
func fits(path string, seen look) bool {
	content, err := os.ReadFile(path)
	if err != nil || len(content) < rollbackHeader || !bytes.HasPrefix(content, []byte(rollbackMagic)) {
		return true // gone, or nothing that SQLite plays back
	}
	number := func(at int) int { return int(binary.BigEndian.Uint32(content[at:])) }
	pages, sector, page := number(offPagesBefore), number(offSector), number(offPage)
	if page != int(seen.pageSize) || sector < rollbackHeader {
		return false
	}
	for at := 0; at+sector <= len(content) && bytes.HasPrefix(content[at:], []byte(rollbackMagic)); at = (at + sector - 1) / sector * sector {
		records, nonce := number(at+offRecords), uint32(number(at+offNonce))
		for at += sector; records > 0 && at+page+8 <= len(content); records-- {
			before := content[at+4 : at+4+page]
			if number(at) == 1 && uint32(number(at+4+page)) == checksum(before, nonce) {
				was := int64(binary.BigEndian.Uint32(before[offChange:]))
				return seen.changed == was || seen.changed == was+1
			}
			at += page + 8
		}
	}
	return int64(pages) == seen.pages
}

func checksum(page []byte, nonce uint32) uint32 {
	for at := len(page) - checksumStep; at > 0; at -= checksumStep {
		nonce += uint32(page[at])
	}
	return nonce
}
