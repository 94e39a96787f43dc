package ledger

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
	"io"
	"os"

	"lastroom/jobs/message"
)

// The store's own check reads a file through the memory map, where a damaged page can send it outside
// the file, round in circles or through all memory, and any of these ends the process. So the pages are
// followed first by plain reading, within bounds: layout as in bbolt's internal/common (format 2),
// numbers in the machine's byte order.
const (
	storeMagic   = 0xED0CDAED
	storeVersion = 2
	pageHeader   = 16 // id uint64, kind uint16, count uint16, overflow uint32
	elementSize  = 16 // branch: offset, key size uint32, page uint64; leaf: kind, offset, key, value size uint32
	metaSize     = 64 // magic, version, page size, flags uint32; root, sequence, free list, end, transaction, checksum uint64

	branchPage = 0x01
	leafPage   = 0x02
	freePage   = 0x10
	subBucket  = 0x01 // kind of a leaf's element whose value is a bucket
)

var native = binary.NativeEndian

// pages follows the pages of one store.
type pages struct {
	file io.ReaderAt
	size uint64          // of a page, in bytes
	end  uint64          // pages there are
	used map[uint64]bool // those that were met
	part string          // the bucket whose pages are followed
	bad  []error
}

// checkPages tells, as joined faults, what is wrong with the pages of a file that nobody is writing.
func checkPages(f *os.File) error {
	info, err := f.Stat()
	if err != nil {
		return err
	}
	root, free, p, err := lastMeta(f)
	if err != nil {
		return err
	}
	if want := p.size * p.end; uint64(info.Size()) < want {
		return refuse("ledger.cut", message.Args{"found": info.Size(), "want": want})
	}
	if err := errors.Join(p.follow(root), p.checkFree(free)); err != nil {
		return err
	}
	return errors.Join(p.bad...)
}

// lastMeta reads the two meta pages and takes the later one that is whole.
func lastMeta(f *os.File) (root, free uint64, p *pages, err error) {
	p = &pages{file: f, used: map[uint64]bool{}}
	var last uint64
	for _, size := range []uint64{0, 1 << 9, 1 << 10, 1 << 11, 1 << 12, 1 << 13, 1 << 14, 1 << 15, 1 << 16} {
		m := make([]byte, metaSize)
		if _, err := f.ReadAt(m, int64(size+pageHeader)); err != nil {
			continue // the file ends before
		}
		sum := fnv.New64a()
		sum.Write(m[:metaSize-8])
		if native.Uint32(m) != storeMagic || native.Uint32(m[4:]) != storeVersion || native.Uint64(m[metaSize-8:]) != sum.Sum64() {
			continue
		}
		if size != 0 && uint64(native.Uint32(m[8:])) != size {
			continue // not where the second one lies
		}
		if tx := native.Uint64(m[48:]); p.size == 0 || tx > last {
			last, p.size, root, free, p.end = tx, uint64(native.Uint32(m[8:])), native.Uint64(m[16:]), native.Uint64(m[32:]), native.Uint64(m[40:])
		}
	}
	if p.size < 1<<9 || p.size > 1<<16 || p.end > 1<<48 {
		return 0, 0, nil, refuse("ledger.foreign", message.Args{"file": f.Name()})
	}
	return root, free, p, nil
}

func (p *pages) complain(key string, page uint64) {
	if len(p.bad) < enough {
		p.bad = append(p.bad, refuse(key, message.Args{"page": page, "part": p.part}))
	}
}

// read is the bytes of a page with what overflows from it, nil when it is not one of the kinds or lies
// where it may not. Each page may be met once.
func (p *pages) read(id uint64, kinds ...uint16) (page []byte, err error) {
	if id < 2 || id >= p.end {
		p.complain("ledger.page-outside", id)
		return nil, nil
	}
	head := make([]byte, pageHeader)
	if _, err := p.file.ReadAt(head, int64(id*p.size)); err != nil {
		return nil, err
	}
	kind, more := native.Uint16(head[8:]), uint64(native.Uint32(head[12:]))
	known := false
	for _, k := range kinds {
		known = known || k == kind
	}
	if !known || native.Uint64(head) != id {
		p.complain("ledger.page-kind", id)
		return nil, nil
	}
	if more >= p.end-id {
		p.complain("ledger.page-outside", id)
		return nil, nil
	}
	for i := id; i <= id+more; i++ {
		if p.used[i] {
			p.complain("ledger.page-twice", i)
			return nil, nil
		}
		p.used[i] = true
	}
	page = make([]byte, (more+1)*p.size)
	_, err = p.file.ReadAt(page, int64(id*p.size))
	return page, err
}

// follow goes through the tree under a page. Since no page is met twice, it ends.
func (p *pages) follow(id uint64) error {
	page, err := p.read(id, branchPage, leafPage)
	if page == nil {
		return err
	}
	return p.elements(id, page)
}

// elements looks at what a branch or leaf holds: a page, or the inside of an element that is a small bucket.
func (p *pages) elements(id uint64, page []byte) error {
	count := uint64(native.Uint16(page[10:]))
	if pageHeader+count*elementSize > uint64(len(page)) {
		p.complain("ledger.page-element", id)
		return nil
	}
	for i := range count {
		start := pageHeader + i*elementSize
		e := page[start : start+elementSize]
		if native.Uint16(page[8:]) == branchPage {
			if _, ok := cut(page, start, native.Uint32(e), native.Uint32(e[4:])); !ok {
				p.complain("ledger.page-element", id)
			}
			if err := p.follow(native.Uint64(e[8:])); err != nil {
				return err
			}
			continue
		}
		key, ok := cut(page, start, native.Uint32(e[4:]), native.Uint32(e[8:]))
		value, ok2 := cut(page, start+uint64(len(key)), native.Uint32(e[4:]), native.Uint32(e[12:]))
		switch kind := native.Uint32(e); {
		case !ok || !ok2 || kind > subBucket || kind == subBucket && len(value) < 16:
			p.complain("ledger.page-element", id)
		case kind == subBucket:
			if err := p.bucket(id, string(key), value); err != nil {
				return err
			}
		}
	}
	return nil
}

// bucket goes through a bucket: in pages of its own, or within the value.
func (p *pages) bucket(id uint64, name string, value []byte) error {
	before := p.part
	p.part = name
	defer func() { p.part = before }()
	if root := native.Uint64(value); root != 0 {
		return p.follow(root)
	}
	inside := value[16:]
	if before != "" || len(inside) < pageHeader || native.Uint16(inside[8:]) != leafPage {
		p.complain("ledger.page-element", id)
		return nil
	}
	return p.elements(id, inside)
}

// cut is size bytes at offset from start, if they lie within b.
func cut(b []byte, start uint64, offset, size uint32) ([]byte, bool) {
	from := start + uint64(offset)
	to := from + uint64(size)
	if to > uint64(len(b)) {
		return nil, false
	}
	return b[from:to], true
}

// checkFree looks at the list of free pages, which nothing else may use; no page may be in neither.
func (p *pages) checkFree(id uint64) error {
	p.part = "free"
	page, err := p.read(id, freePage)
	if page == nil {
		return err
	}
	list, count := page[pageHeader:], uint64(native.Uint16(page[10:]))
	if count == 0xFFFF { // then the first number is the count
		count, list = native.Uint64(list), list[8:]
	}
	if count > uint64(len(list)/8) {
		p.complain("ledger.page-element", id)
		return nil
	}
	for i := range count {
		free := native.Uint64(list[8*i:])
		switch {
		case free < 2 || free >= p.end:
			p.complain("ledger.page-outside", free)
		case p.used[free]:
			p.complain("ledger.page-twice", free)
		}
		p.used[free] = true
	}
	for i := uint64(2); i < p.end; i++ {
		if !p.used[i] {
			p.complain("ledger.page-lost", i)
		}
	}
	return nil
}
